import { computed, signal, type ReadonlySignal } from '@preact/signals'
import type { LiveEvent } from '../../schemas/api.ts'

/** Silence after which the page asks by itself, in ms: sensors speak each minute, several of them more often. */
const askAfterMs = 25_000
/** Silence after which the page turns loud, in ms: one failed question after the wait for it. */
const loudAfterMs = 60_000
/** The same two after a broken stream or an unanswered question, in ms: the browser tries again each 3 s or so. */
const askAfterBrokenMs = 4000
const loudAfterBrokenMs = 10_000

const kinds: readonly LiveEvent['kind'][] = [
  'value',
  'alarm',
  'journal',
  'broker',
  'source',
  'diary',
  'tonight',
]

/** What the page needs of an `EventSource`. */
export type Stream = Pick<EventSource, 'addEventListener' | 'close' | 'readyState'>

export interface Live {
  /** When anything was last heard, by the browser's clock; null before the first time. */
  readonly heardAt: ReadonlySignal<number | null>
  readonly isLost: ReadonlySignal<boolean>
  /** A question was answered. */
  noteHeard(): void
  /** What is shown was heard at `at` by an earlier page: it is old, and said so at once. */
  noteKept(at: number): void
  /** A question went unanswered: the network or the daemon is gone. */
  noteBroken(): void
  open(): void
  close(): void
  /** Once a second: judges silence, asks, reopens. */
  tick(): void
}

/**
 * The live stream and its watchdog (N1): a stream can die without an error, so silence itself is asked about and
 * then shown. `askAnew` fetches the page's data and calls `noteHeard` when it was answered.
 */
export function createLive(world: {
  readonly now: () => number
  readonly openStream: () => Stream
  readonly onEvent: (event: LiveEvent) => void
  readonly askAnew: () => void
  /** The stream is back after a break: what was fetched before may have holes. */
  readonly onReturn: () => void
}): Live {
  let stream: Stream | null = null
  let askedAt = 0
  const heardAt = signal<number | null>(null)
  const brokenAt = signal<number | null>(null)
  const isKept = signal(false)
  const now = signal(world.now())

  const isLost = computed(() => {
    if (heardAt.value === null) return false
    if (isKept.value) return true
    const isQuietSinceBroken = brokenAt.value !== null && heardAt.value <= brokenAt.value
    return now.value - heardAt.value > (isQuietSinceBroken ? loudAfterBrokenMs : loudAfterMs)
  })

  /** A live stream does not make kept data new: only an answer does. */
  const noteSign = (): void => {
    if (!isKept.value) heardAt.value = world.now()
  }

  const noteBroken = (): void => {
    brokenAt.value = world.now()
  }

  const open = (): void => {
    stream?.close()
    const opened = world.openStream()
    stream = opened
    opened.addEventListener('open', () => {
      const isReturn = brokenAt.value !== null
      brokenAt.value = null
      noteSign()
      if (isReturn) world.onReturn()
      world.askAnew() // what happened before the stream was open
    })
    opened.addEventListener('error', noteBroken)
    for (const kind of kinds) {
      opened.addEventListener(kind, (message) => {
        noteSign()
        world.onEvent(JSON.parse((message as MessageEvent<string>).data) as LiveEvent)
      })
    }
  }

  return {
    heardAt,
    isLost,
    noteHeard() {
      isKept.value = false
      noteSign()
    },
    noteKept(at) {
      heardAt.value = at
      isKept.value = true
      noteBroken()
    },
    noteBroken,
    open,
    close() {
      stream?.close()
      stream = null
      brokenAt.value = null
    },
    tick() {
      now.value = world.now()
      if (stream === null) return
      const quietFor = now.value - Math.max(heardAt.value ?? 0, askedAt)
      if (quietFor < (brokenAt.value === null ? askAfterMs : askAfterBrokenMs)) return
      askedAt = now.value
      world.askAnew()
      if (stream.readyState === 2 || isLost.value) open() // 2 is CLOSED: the browser has given up
    },
  }
}

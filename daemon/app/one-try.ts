import { seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Delivery } from '../ports/outbox.ts'
import { say } from '../../shared/words/say.ts'

/** One try may take this long: a phone that rings a quarter of a minute late still rings in time. A design choice. */
export const usualTry: Millis = seconds(15)
/** A sender that was told to end has this long to say what came of it; after that its answer is nobody's. */
const graceToEnd: Millis = seconds(1)

export interface Try {
  /** Never rejects. */
  readonly done: Promise<Delivery>
  /** Tells the sender to end. */
  stop(): void
}

/** Sends once, within `lasts`. What a sender throws is its fault and a failed try; the message must not be lost with it. */
export function startTry(
  world: { readonly timer: Timer; readonly log: Log; readonly lasts: Millis },
  send: (signal: AbortSignal) => Promise<Delivery>,
): Try {
  const end = new AbortController()
  let limit: { cancel(): void } | null = null
  let stop = (): void => {}

  const done = new Promise<Delivery>((resolve) => {
    const over = (delivery: Delivery): void => {
      limit?.cancel()
      resolve(delivery)
    }
    stop = () => {
      limit?.cancel()
      limit = world.timer.after(graceToEnd, () => over(tryAgain(say('The channel did not answer in time.'))))
      end.abort()
    }
    limit = world.timer.after(world.lasts, stop)
    const sent = Promise.resolve().then(() => send(end.signal))
    sent.then(over, (fault: unknown) => {
      world.log.error(shownFault(fault), 'A channel failed in a way that is a fault of this program.')
      over(tryAgain(say('This channel failed by a fault of the program; see its log.')))
    })
  })
  return { done, stop: () => stop() }
}

const tryAgain = (sentence: string): Delivery => ({ outcome: 'later', retryAfter: null, sentence })

/** Where it came from, not what it says: the words of an error may hold an address or a key (X4). */
function shownFault(fault: unknown): object {
  if (!(fault instanceof Error)) return { fault: typeof fault }
  const frames = (fault.stack ?? '').split('\n').filter((line) => line.startsWith('    at '))
  return { fault: fault.name, at: frames.slice(0, 5).map((line) => line.trim()) }
}

import { seconds } from '../../schemas/amounts.ts'
import type { Channel } from '../../schemas/contact.ts'
import type { ChannelId, ContactId } from '../../schemas/ids.ts'
import type { Message, Parcel } from '../../schemas/outbox.ts'
import type { TellingNow } from '../../schemas/telling-now.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import {
  emptyQueue,
  type Moment,
  nextWake,
  type QueueEffect,
  type QueueEvent,
} from '../../shared/telling/outbox-queue.ts'
import { stepQueue } from '../../shared/telling/outbox-step.ts'
import {
  conditionOf,
  nothingTried,
  type ReachChange,
  recalledReach,
  stepReach,
} from '../../shared/telling/reach.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Delivery, OutboxStore, Sender, Senders } from '../ports/outbox.ts'
import { secretReader } from './channel-secrets.ts'
import { firstTries } from './first-tries.ts'
import type { Sending } from './house.ts'
import { startTry, type Try, usualTry } from './one-try.ts'
import { keepParcels } from './parcel-keeping.ts'
import { say } from '../../shared/words/say.ts'

export interface Outbox extends Sending {
  /** Takes up what an earlier run left waiting, and begins to send. */
  start(): void
  /** Ends what is under way, which waits on in the store; resolves when all of it has ended. */
  stop(): Promise<void>
  conditionOf(channel: ChannelId): ReturnType<typeof conditionOf>
  /** Newest born first. */
  recent(limit: number): readonly Parcel[]
  /** Resolves once something has come of this parcel: a try, its end, or a pause that its receiver wants first. */
  firstTry(key: string): Promise<Parcel>
  /** Another secret is kept for this channel, or none. */
  secretChanged(channel: ChannelId): void
  /** How many wait, those under way among them. */
  waiting(): number
  /** When the oldest of them was made; null where none waits. */
  oldest(): Instant | null
}

export interface OutboxWorld {
  readonly store: OutboxStore
  readonly senders: Senders
  readonly clock: Clock
  readonly timer: Timer
  /** From 0 (included) to 1 (left out). */
  readonly random: () => number
  readonly log: Log
  readonly channelOf: (contact: ContactId, channel: ChannelId) => Channel | null
  readonly channelsOf: (contact: ContactId) => readonly ChannelId[]
  readonly allChannels: () => readonly Channel[]
  /** The message as it would be said now; null where it is no longer true. */
  readonly refresh: (parcel: Parcel) => Message | null
  /** Called after the change is saved, or kept in memory where it cannot be. */
  readonly on: {
    delivered(parcel: Parcel): void
    /** For good. */
    failed(parcel: Parcel): void
    gone(contact: ContactId, channel: ChannelId, sentence: string): void
    reach(change: ReachChange): void
  }
  /** How long one try may last; 15 s where it is left out. */
  readonly tryLasts?: Millis
}

/** A message older than this is put into new words before it goes out: by then a value has moved. A design choice. */
const freshFor: Millis = seconds(60)
/** A store whose waiting messages cannot be read is asked again after this. */
const loadAgainAfter: Millis = seconds(5)
/** Messages from which a new start learns which channels work: as many as may wait. */
const recalled = 500

/**
 * Sends what was committed, tries again, and says what came of it: at least once, always with the same key, which lets
 * a receiver know a repeat. What is decided is in `shared/telling`; here are the senders, the store and the timer.
 */
export function openOutbox(world: OutboxWorld): Outbox {
  const { store, senders, clock, timer, log, on } = world
  const keeping = keepParcels(world)
  const secrets = secretReader(store, log)
  const underWay = new Map<string, { readonly stop: () => void; readonly settled: Promise<void> }>()
  const firsts = firstTries()
  /** What happened and is not judged yet: never inside somebody else's step. */
  const inbox: QueueEvent[] = []
  let queue = emptyQueue
  let reach = nothingTried
  let stage: 'closed' | 'open' | 'stopped' = 'closed'
  let isSoon = false
  let wake: { cancel(): void } | null = null
  let loading: { cancel(): void } | null = null

  function happen(event: QueueEvent): void {
    // What is put in after the end waits in the store.
    if (stage === 'stopped') return
    inbox.push(event)
    if (isSoon) return
    isSoon = true
    timer.soon(attend)
  }

  function attend(): void {
    isSoon = false
    for (let event = inbox.shift(); event !== undefined; event = inbox.shift()) step(event)
    if (stage !== 'open') return
    // One look at the clock for both: what came due between two would be neither tried now nor waited for.
    const at = moment()
    step({ kind: 'timePassed' }, at)
    wake?.cancel()
    const wait = nextWake(queue, at.uptime)
    wake = wait === null ? null : timer.after(wait, attend)
  }

  const moment = (): Moment => ({ now: clock.now(), uptime: clock.uptime() })

  function step(event: QueueEvent, at = moment()): void {
    const [next, effects] = stepQueue(queue, withoutEnded(event), at)
    queue = next
    for (const effect of effects) perform(effect)
  }

  /** The house hands over again what it could not store; what has ended by then must not go out a second time. */
  function withoutEnded(event: QueueEvent): QueueEvent {
    if (event.kind !== 'put' && event.kind !== 'found') return event
    return { ...event, parcels: event.parcels.filter(({ key }) => !keeping.hasEnded(key)) }
  }

  function perform(effect: QueueEffect): void {
    const { parcel } = effect
    if (effect.kind === 'try') return begin(parcel)
    keeping.save(parcel)
    firsts.tell(parcel)
    if (parcel.state === 'delivered') on.delivered(parcel)
    if (parcel.state === 'failed') on.failed(parcel)
    if (effect.reach === null) return
    const { contact, channel } = parcel
    // First the channel goes, so that whoever hears that nothing is left sees nothing left.
    if (effect.reach.kind === 'gone') on.gone(contact, channel, effect.reach.sentence)
    const event = { ...effect.reach, contact, channel, at: clock.now() }
    const [next, change] = stepReach(reach, event, world.channelsOf)
    reach = next
    if (change !== null) on.reach(change)
  }

  function begin(parcel: Parcel): void {
    const { key } = parcel
    const drop = (state: 'failed' | 'replaced', outcome: string) =>
      happen({ kind: 'dropped', key, state, outcome })
    const channel = world.channelOf(parcel.contact, parcel.channel)
    if (channel === null) return drop('replaced', say('This channel has been removed.'))
    const sender = senders[channel.kind] as Sender<Channel['kind']> | null
    if (sender === null) return drop('failed', unset[channel.kind])
    const message = isFresh(parcel, clock.now()) ? parcel.message : inNewWords(parcel)
    if (message === null) return drop('replaced', say('It was no longer true.'))

    const one: Try = startTry({ timer, log, lasts: world.tryLasts ?? usualTry }, async (signal) => {
      const secret = hasSecret(channel) ? secrets.of(channel.id) : null
      return secret === undefined
        ? secretUnread
        : sender.send(channel, secret, { ...parcel, message }, signal)
    })
    const settled = one.done.then((came) => {
      underWay.delete(key)
      log.debug({ key, tries: parcel.tries + 1, outcome: came.outcome }, came.sentence)
      // A try that we ended ourselves says nothing; it waits in the store as it was.
      if (stage === 'stopped' && came.outcome === 'later') return
      step({ kind: 'came', key, message, came, chance: world.random() })
      attend()
    })
    underWay.set(key, { stop: one.stop, settled })
  }

  function inNewWords(parcel: Parcel): Message | null {
    try {
      return world.refresh(parcel)
    } catch (cause) {
      log.error({ err: cause, key: parcel.key }, 'A message cannot be put into new words; it goes as it was.')
      return parcel.message
    }
  }

  function load(hasFailed = false): void {
    try {
      if (reach === nothingTried) reach = recalledReach(store.recent(recalled).toReversed())
      happen({ kind: 'found', parcels: store.waiting() })
    } catch (cause) {
      if (!hasFailed)
        log.error({ err: cause }, 'Messages that wait cannot be read from the store; new ones go out.')
      loading = timer.after(loadAgainAfter, () => load(true))
    }
  }

  const parcels = (): readonly Parcel[] => [...queue.waiting.values()].map(({ parcel }) => parcel)

  return {
    put: (more) => happen({ kind: 'put', parcels: more }),
    settle: (alarm, outcome) => happen({ kind: 'settled', alarm, outcome }),
    start() {
      stage = 'open'
      // Read while the disk gives them: at the first alarm it may give nothing.
      for (const channel of world.allChannels()) if (hasSecret(channel)) secrets.of(channel.id)
      load()
      keeping.tidy()
    },
    async stop() {
      stage = 'stopped'
      wake?.cancel()
      loading?.cancel()
      attend()
      for (const { stop } of underWay.values()) stop()
      await Promise.all([...underWay.values()].map(({ settled }) => settled))
      firsts.end(parcels())
      keeping.close()
    },
    conditionOf: (channel) => conditionOf(reach, channel),
    recent: (limit) => keeping.recent(limit, parcels()),
    firstTry(key) {
      const known = keeping.recent(recalled, parcels()).find((parcel) => parcel.key === key)
      if (known !== undefined && known.outcome !== null) return Promise.resolve(known)
      return firsts.of(key)
    },
    secretChanged: secrets.changed,
    waiting: () => queue.waiting.size,
    oldest: () =>
      parcels().reduce<Instant | null>(
        (oldest, { bornAt }) => (oldest === null || bornAt < oldest ? bornAt : oldest),
        null,
      ),
  }
}

/** What to do about a kind of channel that cannot be sent by. */
const unset: Readonly<Record<keyof TellingNow['kinds'], string>> = {
  mail: say('Mail cannot be sent: no mail server is set (mail.host in the settings).'),
  push: say('Browsers cannot be rung: nothing is set up to do it.'),
  relay: say('Relays cannot be sent to: nothing is set up to do it.'),
  webhook: say('Webhooks cannot be sent to: nothing is set up to do it.'),
}

/** The mail server's is in the settings. */
const hasSecret = ({ kind }: Channel): boolean => kind !== 'mail'

const secretUnread: Delivery = {
  outcome: 'later',
  retryAfter: null,
  sentence: say('What is kept secret for this channel cannot be read from the disk.'),
}

/** Never tried, and born within the last minute; a birth in the future is one that a clock set back has left there. */
function isFresh({ tries, bornAt }: Parcel, now: Instant): boolean {
  const age = now - bornAt
  return tries === 0 && age >= 0 && age <= freshFor
}

import type { ChannelId, ContactId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { ChannelNow } from '../../schemas/telling-now.ts'
import type { Instant } from '../../schemas/units.ts'

/** Failed tries in a row after which a channel is failing: with the usual waits half a minute of trying. A design choice. */
export const failingAfter = 3

/** What is known of one channel since it was last heard of. */
interface ChannelReach {
  readonly contact: ContactId
  /** In a row. */
  readonly failures: number
  readonly hasDelivered: boolean
  readonly lastSentence: string
  readonly lastAt: Instant
}

/** Plain data. */
export interface ReachState {
  readonly channels: { readonly [channel in ChannelId]?: ChannelReach }
  /** What was said last of each contact. */
  readonly reached: { readonly [contact in ContactId]?: boolean }
}

export const nothingTried: ReachState = { channels: {}, reached: {} }

/**
 * `failed`: one try came to nothing · `lost`: a message ended without arriving, or is held up for longer than any wait
 * of ours · `gone`: the channel will never work again.
 */
export interface ReachEvent {
  readonly kind: 'delivered' | 'failed' | 'lost' | 'gone'
  readonly contact: ContactId
  readonly channel: ChannelId
  readonly at: Instant
  readonly sentence: string
}

export interface ReachChange {
  readonly contact: ContactId
  readonly isReached: boolean
  /** What came of the try that made the difference. */
  readonly sentence: string
}

/**
 * Whether people can be reached (N1). A contact is out of reach when every channel that they have now (`channelsOf`) is
 * failing, or when their last one is gone; only a delivery ends that. Says only what changes. The first delivery after
 * a start counts as a change, since an alarm from before it may still stand.
 */
export function stepReach(
  state: ReachState,
  event: ReachEvent,
  channelsOf: (contact: ContactId) => readonly ChannelId[],
): readonly [ReachState, ReachChange | null] {
  const { contact, channel, kind, sentence } = event
  const own = channelsOf(contact)
  // What becomes of a try by a channel that was removed meanwhile says nothing about those that are left.
  if (!own.includes(channel) && kind !== 'gone') return [state, null]
  const channels: ReachState['channels'] = {
    ...withoutRemoved(state.channels, contact, own),
    ...(own.includes(channel) ? { [channel]: counted(state.channels[channel], event) } : {}),
  }
  const isOut = kind !== 'delivered' && own.every((id) => isFailing(channels[id]))
  const isReached = kind === 'delivered' ? true : isOut ? false : state.reached[contact]
  if (isReached === undefined || isReached === state.reached[contact]) return [{ ...state, channels }, null]
  return [
    { channels, reached: { ...state.reached, [contact]: isReached } },
    { contact, isReached, sentence },
  ]
}

/** What the messages of an earlier run say about their channels, oldest first. Nobody is in or out of reach by it yet. */
export function recalledReach(parcels: readonly Parcel[]): ReachState {
  const channels = new Map<ChannelId, ChannelReach>()
  for (const parcel of parcels) {
    const { contact, channel, state, tries, dueAt: at, outcome: sentence } = parcel
    if (tries === 0 || sentence === null || state === 'replaced') continue
    const kind = state === 'delivered' ? 'delivered' : state === 'failed' ? 'lost' : 'failed'
    const once = counted(channels.get(channel), { kind, contact, channel, at, sentence })
    channels.set(channel, kind === 'failed' ? { ...once, failures: Math.max(once.failures, tries) } : once)
  }
  return { channels: Object.fromEntries(channels), reached: {} }
}

/** `working`: its last messages arrived, or did until less than three tries ago. */
export function conditionOf(
  state: ReachState,
  channel: ChannelId,
): Pick<ChannelNow, 'condition' | 'lastSentence' | 'lastAt'> {
  const known = state.channels[channel]
  if (known === undefined) return { condition: 'unknown', lastSentence: null, lastAt: null }
  const { lastSentence, lastAt, hasDelivered } = known
  return {
    condition: isFailing(known) ? 'failing' : hasDelivered ? 'working' : 'unknown',
    lastSentence,
    lastAt,
  }
}

function counted(before: ChannelReach | undefined, event: ReachEvent): ChannelReach {
  const { kind, contact, at: lastAt, sentence: lastSentence } = event
  if (kind === 'delivered') return { contact, failures: 0, hasDelivered: true, lastSentence, lastAt }
  const more = (before?.failures ?? 0) + 1
  return {
    contact,
    failures: kind === 'failed' ? more : Math.max(more, failingAfter),
    hasDelivered: before?.hasDelivered ?? false,
    lastSentence,
    lastAt,
  }
}

const isFailing = (channel: ChannelReach | undefined): boolean =>
  channel !== undefined && channel.failures >= failingAfter

function withoutRemoved(
  channels: ReachState['channels'],
  contact: ContactId,
  own: readonly ChannelId[],
): ReachState['channels'] {
  const kept = Object.entries(channels).filter(
    ([id, channel]) => channel?.contact !== contact || own.includes(id as ChannelId),
  )
  return Object.fromEntries(kept)
}

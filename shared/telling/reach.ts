import type { ChannelId, ContactId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'

/** Failed tries in a row after which a channel counts as failing: about half a minute of trying. A design choice. */
const failingAfter = 3

interface ChannelReach {
  readonly contact: ContactId
  readonly failures: number
  readonly lastAt: Instant
  readonly lastSentence: string
  readonly isGone: boolean
}

/** What is known of each channel that was tried, and who is out of reach. */
export interface ReachState {
  readonly channels: { readonly [channel in ChannelId]?: ChannelReach }
  readonly outOfReach: readonly ContactId[]
}

export const nothingTried: ReachState = { channels: {}, outOfReach: [] }

/** `failed`: a try came to nothing · `ended`: the message will never arrive · `gone`: the channel never works again. */
export interface ReachEvent {
  readonly kind: 'delivered' | 'failed' | 'ended' | 'gone'
  readonly contact: ContactId
  readonly channel: ChannelId
  readonly at: Instant
  readonly sentence: string
}

export interface ReachChange {
  readonly contact: ContactId
  readonly isReached: boolean
  readonly sentence: string
}

/**
 * A contact is out of reach when each of their channels has failed three times in a row, or for good, and in reach again
 * with the first delivery. `channelsOf`: those that the contact has now. Says only what changes.
 */
export function stepReach(
  state: ReachState,
  event: ReachEvent,
  channelsOf: (contact: ContactId) => readonly ChannelId[],
): readonly [ReachState, ReachChange | null] {
  const { contact, channel, kind, at, sentence } = event
  const before = state.channels[channel]?.failures ?? 0
  const failures =
    kind === 'delivered' ? 0 : kind === 'failed' ? before + 1 : Math.max(before + 1, failingAfter)
  const channels: ReachState['channels'] = {
    ...state.channels,
    [channel]: { contact, failures, lastAt: at, lastSentence: sentence, isGone: kind === 'gone' },
  }
  const was = state.outOfReach.includes(contact)
  // One that is gone is removed from the contact; it still says why nothing is left.
  const left = channelsOf(contact).filter((id) => id !== channel || kind !== 'gone')
  const isOut = kind !== 'delivered' && left.every((id) => isFailing(channels[id]))
  if (isOut === was) return [{ ...state, channels }, null]
  const outOfReach = isOut
    ? [...state.outOfReach, contact]
    : state.outOfReach.filter((one) => one !== contact)
  // Some other channel failing less is no news of the contact: only a delivery ends it.
  if (!isOut && kind !== 'delivered') return [{ ...state, channels }, null]
  return [
    { channels, outOfReach },
    { contact, isReached: !isOut, sentence },
  ]
}

export function conditionOf(
  state: ReachState,
  channel: ChannelId,
): {
  readonly condition: 'unknown' | 'working' | 'failing'
  readonly lastSentence: string | null
  readonly lastAt: Instant | null
} {
  const known = state.channels[channel]
  if (known === undefined) return { condition: 'unknown', lastSentence: null, lastAt: null }
  const { lastSentence, lastAt, failures } = known
  return { condition: failures === 0 ? 'working' : 'failing', lastSentence, lastAt }
}

const isFailing = (channel: ChannelReach | undefined): boolean =>
  channel !== undefined && channel.failures >= failingAfter

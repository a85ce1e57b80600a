import type { Channel, Telling } from '../../schemas/contact.ts'
import type { ChannelNow, MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { agoWords } from './ago.ts'

export const channelKindName: Record<Channel['kind'], string> = {
  push: 'phone or browser',
  relay: 'push relay',
  mail: 'mail',
  webhook: 'webhook',
}

export const conditionName: Record<ChannelNow['condition'], string> = {
  unknown: 'not used yet',
  working: 'works',
  failing: 'fails',
}

/** `12 days ago`; within the first day in hours and minutes. */
export function daysAgoWords(ms: number): string {
  const days = Math.floor(ms / dayMs)
  return days < 1 ? agoWords(ms) : `${dayWords(days)} ago`
}

/** When a test of this channel was last heard, and whether it is time for another. */
export function rungWords({ rungAt, isRingDue }: ChannelNow, now: number): string {
  if (rungAt === null) return 'Never tested.'
  const last = daysAgoWords(now - rungAt)
  return isRingDue ? `Test due: it last rang ${last}.` : `Last rung: ${last}.`
}

/** What the waits mean, in the order in which things happen. */
export function waitsWords({ repeatEvery, escalateAfter, againAfter }: Telling): string {
  const [again, next, once] = [repeatEvery, escalateAfter, againAfter].map(durationWords)
  return `A high alarm rings the first contact at once, and again every ${again}. After ${next} without an answer it rings the next one too, and so on. A medium alarm is told once, and once more to everybody after ${once}. A low one waits for the morning.`
}

/** Something about telling that wants a hand in daylight, and the words of the link that leads to it. */
export interface TellingRemark {
  readonly sentence: string
  readonly link: string
}

/** What keeps people from being told, gravest first; of the tests that are due the first only. */
export function tellingRemarks({ contacts }: TellingNow, now: number): TellingRemark[] {
  if (contacts.length === 0) return [{ sentence: 'No phone rings yet.', link: 'Add a contact' }]
  const unreached = contacts
    .filter(({ channels }) => channels.length === 0)
    .map(({ contact }) => ({ sentence: `Nothing reaches ${contact.name} yet.`, link: 'Add a channel' }))
  const due = contacts.flatMap(({ contact, channels }) =>
    channels
      .filter((channel) => channel.isRingDue)
      .map((channel) => ({ of: `${contact.name}’s ${channel.channel.label}`, rungAt: channel.rungAt })),
  )
  const [first] = due
  if (first === undefined) return unreached
  const tested =
    first.rungAt === null
      ? 'has never been tested'
      : `has not been tested for ${dayWords(Math.floor((now - first.rungAt) / dayMs))}`
  const others = due.length - 1
  const rest = others === 0 ? '' : others === 1 ? ' One more test is due.' : ` ${others} more tests are due.`
  return [...unreached, { sentence: `${first.of} ${tested}.${rest}`, link: 'Ring it' }]
}

/** What came of a message so far. */
export function wayWords(line: MessageLine, now: number): string {
  const { state, tries, dueAt } = line
  const outcome = line.outcome === null ? '' : ` ${line.outcome}`
  switch (state) {
    case 'delivered':
      return `Delivered.${outcome}`
    case 'failed':
      return `Failed${tries > 1 ? ` after ${tries} tries` : ''}.${outcome}`
    case 'replaced':
      return 'No longer needed.'
    case 'waiting': {
      const next =
        dueAt === null || dueAt <= now ? 'Trying now.' : `Next try in ${durationWords(dueAt - now)}.`
      return tries === 0 ? `Waiting. ${next}` : `Not delivered yet.${outcome} ${next}`
    }
    default:
      return state satisfies never
  }
}

const dayMs = 86_400_000
const dayWords = (days: number): string => (days === 1 ? '1 day' : `${days} days`)

import type { Channel, Telling } from '../../schemas/contact.ts'
import type { ChannelNow, MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { agoWords } from './ago.ts'
import { say } from '../../shared/words/say.ts'

export const channelKindName: Record<Channel['kind'], string> = {
  push: say('phone or browser'),
  relay: say('push relay'),
  mail: say('mail'),
  webhook: say('webhook'),
}

export const conditionName: Record<ChannelNow['condition'], string> = {
  unknown: say('not used yet'),
  working: say('works'),
  failing: say('fails'),
}

/** `12 days ago`; within the first day in hours and minutes. */
export function daysAgoWords(ms: number): string {
  const days = Math.floor(ms / dayMs)
  return days < 1 ? agoWords(ms) : say('{day} ago', { day: dayWords(days) })
}

/** When a test of this channel was last heard, and whether it is time for another. */
export function rungWords({ rungAt, isRingDue }: ChannelNow, now: number): string {
  if (rungAt === null) return say('Never tested.')
  const last = daysAgoWords(now - rungAt)
  return isRingDue ? say('Test due: it last rang {last}.', { last }) : say('Last rung: {last}.', { last })
}

/** What the waits mean, in the order in which things happen. */
export function waitsWords({ repeatEvery, escalateAfter, againAfter }: Telling): string {
  const [again, next, once] = [repeatEvery, escalateAfter, againAfter].map(durationWords)
  return say(
    'A high alarm rings the first contact at once, and again every {again}. After {next} without an answer it rings the next one too, and so on. A medium alarm is told once, and once more to everybody after {once}. A low one waits for the morning.',
    { again, next, once },
  )
}

/** Something about telling that wants a hand in daylight, and the words of the link that leads to it. */
export interface TellingRemark {
  readonly sentence: string
  readonly link: string
}

/** What keeps people from being told, gravest first; of the tests that are due the first only. */
export function tellingRemarks({ contacts }: TellingNow, now: number): TellingRemark[] {
  if (contacts.length === 0) return [{ sentence: say('No phone rings yet.'), link: say('Add a contact') }]
  const unreached = contacts
    .filter(({ channels }) => channels.length === 0)
    .map(({ contact }) => ({
      sentence: say('Nothing reaches {contact} yet.', { contact: contact.name }),
      link: say('Add a channel'),
    }))
  const due = contacts.flatMap(({ contact, channels }) =>
    channels
      .filter((channel) => channel.isRingDue)
      .map((channel) => ({ of: `${contact.name}’s ${channel.channel.label}`, rungAt: channel.rungAt })),
  )
  const [first] = due
  if (first === undefined) return unreached
  const tested =
    first.rungAt === null
      ? say('has never been tested')
      : say('has not been tested for {day}', { day: dayWords(Math.floor((now - first.rungAt) / dayMs)) })
  const others = due.length - 1
  const rest =
    others === 0
      ? ''
      : others === 1
        ? say(' One more test is due.')
        : say(' {others} more tests are due.', { others })
  return [...unreached, { sentence: `${first.of} ${tested}.${rest}`, link: say('Ring it') }]
}

/** What came of a message so far. */
export function wayWords(line: MessageLine, now: number): string {
  const { state, tries, dueAt } = line
  const outcome = line.outcome === null ? '' : ` ${line.outcome}`
  switch (state) {
    case 'delivered':
      return say('Delivered.{outcome}', { outcome })
    case 'failed':
      return say('Failed{part}.{outcome}', {
        part: tries > 1 ? say(' after {tries} tries', { tries }) : '',
        outcome,
      })
    case 'replaced':
      return say('No longer needed.')
    case 'waiting': {
      const next =
        dueAt === null || dueAt <= now
          ? say('Trying now.')
          : say('Next try in {duration}.', { duration: durationWords(dueAt - now) })
      return tries === 0
        ? say('Waiting. {next}', { next })
        : say('Not delivered yet.{outcome} {next}', { outcome, next })
    }
    default:
      return state satisfies never
  }
}

const dayMs = 86_400_000
const dayWords = (days: number): string => (days === 1 ? say('1 day') : say('{days} days', { days }))

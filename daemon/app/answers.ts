import type { Alarm } from '../../schemas/alarm.ts'
import type { Contact } from '../../schemas/contact.ts'
import type { PersonId } from '../../schemas/ids.ts'
import type { Role } from '../../schemas/person.ts'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import { longestShelving } from '../../shared/judging/policy.ts'
import { firstThing } from '../../shared/telling/first-thing.ts'
import { type LinkPurpose, readPurpose } from '../../shared/telling/link.ts'
import { clockWords } from '../../shared/telling/words.ts'
import { alarmHeadline } from '../../shared/telling/alarm-words.ts'
import type { AlarmRefusal } from '../ports/alarms.ts'
import type { Answers, LinkRefusal } from '../ports/answers.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { Seal } from '../ports/seal.ts'
import { contactIn } from './contacts.ts'
import type { House } from './house.ts'
import { namesIn } from './names.ts'
import { say } from '../../shared/words/say.ts'

type Acts = Pick<Desk, 'acknowledge' | 'shelve' | 'tend' | 'rang'>
type Opened =
  | { readonly link: LinkPurpose; readonly contact: Contact; readonly alarm: Alarm | null }
  | { readonly refusal: Extract<Outcome<never, LinkRefusal>, { ok: false }> }

/** What somebody with the link in a message may see and do: one raising of one alarm, in the contact's own words. */
export function makeAnswers(world: {
  readonly house: House
  readonly clock: Clock
  readonly seal: Seal
  readonly acts: Acts
  /** Role of a sign-in; null for one that is gone. */
  readonly roleOf: (person: PersonId) => Role | null
}): Answers {
  const { house, clock, seal, acts, roleOf } = world

  function open(token: string): Opened {
    const text = seal.open(token)
    const link = text === null ? null : readPurpose(text)
    if (link === null)
      return { refusal: refused('badLink', say('This link is not one of ours, or part of it is missing.')) }
    if (clock.now() >= link.until)
      return {
        refusal: refused('oldLink', say('This link has had its day. Sign in to see how things stand.')),
      }
    const contact = contactIn(house.state().layout.household, link.contact)
    if (contact === undefined)
      return { refusal: refused('oldLink', say('This link was for somebody who is no longer told.')) }
    if (link.purpose === 'ring') return { link, contact, alarm: null }
    const alarm = house.state().alarms.get(link.alarm)
    if (alarm === undefined)
      return { refusal: refused('oldLink', say('What this link was about has been moved or removed.')) }
    return { link, contact, alarm }
  }

  const isKeeper = ({ person }: Contact): boolean => person !== null && roleOf(person) === 'keeper'

  function look(token: string): Outcome<AnswerNow, LinkRefusal> {
    const opened = open(token)
    if ('refusal' in opened) return opened.refusal
    const { link, contact, alarm } = opened
    const { household, placeIndex, places } = house.state().layout
    const about = { purpose: link.purpose, household: household.name, name: contact.name }
    if (alarm === null || link.purpose === 'ring') return { ok: true, value: { ...about, ...aboutRing } }
    const isThis = alarm.occurrence === link.occurrence
    const zone = contact.timeZone ?? household.timeZone
    const p = alarm.place === null ? undefined : placeIndex.get(alarm.place)
    const here = p === undefined ? undefined : places[p]
    const state = alarm.state.name
    const isHidden = state === 'shelved' || state === 'suppressed' || state === 'outOfService'
    const tended = house.state().tendings.find((tending) => tending.place === alarm.place)
    return {
      ok: true,
      value: {
        ...about,
        alarm,
        headline: alarmHeadline(alarm, namesIn(household), contact.units),
        sentence: isThis
          ? standsHow(alarm, zone)
          : say('It was raised again since this message: answer the newest message, or sign in.'),
        animals: (here?.tenants ?? []).map(({ animal, profile }) => `${animal.name} (${profile.common})`),
        firstThing: state === 'normal' ? null : firstThing(alarm, here?.place.kind ?? null),
        canAcknowledge: isThis && (state === 'unacknowledged' || state === 'returnedUnacknowledged'),
        canTend: isThis && alarm.place !== null && state !== 'normal',
        tendedUntil: tended?.until ?? null,
        canShelve: isThis && isKeeper(contact) && state !== 'normal' && !isHidden,
        longestShelving: longestShelving(alarm),
      },
    }
  }

  /** Does `act` about the very raising that the link is for, and says how things stand then. */
  function answer<Code extends string>(
    token: string,
    act: (alarm: Alarm, contact: Contact) => Outcome<unknown, Code>,
  ): Outcome<AnswerNow, LinkRefusal | 'earlierOccurrence' | Code> {
    const opened = open(token)
    if ('refusal' in opened) return opened.refusal
    const { link, contact, alarm } = opened
    if (alarm === null || link.purpose !== 'answer')
      return refused('badLink', say('This link says that a test rang; it answers no alarm.'))
    if (alarm.occurrence !== link.occurrence)
      return refused(
        'earlierOccurrence',
        say('It was raised again since this message: answer the newest message, or sign in.'),
      )
    const outcome = act(alarm, contact)
    return outcome.ok ? look(token) : outcome
  }

  return {
    look,
    acknowledge: (token) =>
      answer(token, (alarm, contact) => acts.acknowledge(alarm.id, alarm.occurrence, contact.name)),
    tend: (token, lasts) =>
      answer<'noSuchPlace' | 'tooLong' | 'notNow'>(token, (alarm, contact) =>
        alarm.place === null
          ? refused('notNow', say('This alarm is about no place that could be opened.'))
          : acts.tend(alarm.place, lasts, contact.name),
      ),
    shelve: (token, lasts, reason) =>
      answer<AlarmRefusal | 'keeperOnly'>(token, (alarm, contact) =>
        isKeeper(contact)
          ? acts.shelve(alarm.id, lasts, reason, contact.name)
          : refused('keeperOnly', say('Only a keeper may shelve an alarm.')),
      ),
    rang(token) {
      const opened = open(token)
      if ('refusal' in opened) return opened.refusal
      const { link, contact } = opened
      if (link.purpose !== 'ring')
        return refused('badLink', say('This link answers an alarm; it is no test.'))
      const outcome = acts.rang(contact.id, link.channel, contact.name)
      if (!outcome.ok)
        return refused('noSuchChannel', say('The channel of this test has been removed since.'))
      const seen = look(token)
      return seen.ok
        ? { ok: true, value: { ...seen.value, sentence: say('Thank you: it is noted that this rings.') } }
        : seen
    },
  }
}

const refused = <Code extends string>(error: Code, sentence: string) =>
  ({ ok: false, error, sentence }) as const

const aboutRing = {
  alarm: null,
  headline: say('A test of how you are reached'),
  sentence: say('Did this ring aloud, through silence and sleep mode?'),
  animals: [],
  firstThing: null,
  canAcknowledge: false,
  canTend: false,
  tendedUntil: null,
  canShelve: false,
  longestShelving: 0,
}

/** How the alarm stands, for whoever comes by its link: who did what, and when. */
function standsHow({ state }: Alarm, timeZone: string): string {
  const at = (instant: Parameters<typeof clockWords>[0]) => clockWords(instant, timeZone)
  switch (state.name) {
    case 'unacknowledged':
      return say('Nobody has answered it yet. It stands since {since}.', { since: at(state.since) })
    case 'acknowledged':
      return say('{by} acknowledged it at {acknowledgedAt}. It still stands.', {
        by: state.by,
        acknowledgedAt: at(state.acknowledgedAt),
      })
    case 'returnedUnacknowledged':
      return say('It is over since {returnedAt}. Nobody had answered it.', {
        returnedAt: at(state.returnedAt),
      })
    case 'normal':
      return say('It is over.')
    case 'shelved':
      return say('{by} shelved it until {until}: {reason}', {
        by: state.by,
        until: at(state.until),
        reason: state.reason,
      })
    case 'suppressed':
      return say('{by} is tending the place until {until}.', { by: state.by, until: at(state.until) })
    case 'outOfService':
      return say('{by} took it out of service: {reason}', { by: state.by, reason: state.reason })
    default:
      return state satisfies never
  }
}

import { randomBytes } from 'node:crypto'
import type { AlarmRefusal } from '../../daemon/ports/alarms.ts'
import type { Answers, LinkRefusal } from '../../daemon/ports/answers.ts'
import type { Desk } from '../../daemon/ports/desk.ts'
import type { Outcome } from '../../daemon/ports/outcome.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import { days, later } from '../../schemas/amounts.ts'
import type { Contact } from '../../schemas/contact.ts'
import type { ChannelId, ContactId } from '../../schemas/ids.ts'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import type { Instant } from '../../schemas/units.ts'

interface Link {
  readonly contact: ContactId
  readonly about: Alarm | ChannelId
  readonly until: Instant
}

export interface AnswersForHttp extends Answers {
  /** The token of a link as it stands in a message: one raising of an alarm, or a test of a channel; for two days. */
  linkFor(contact: ContactId, about: Alarm | ChannelId): string
}

/** Links that are remembered rather than signed, over the acts of a desk in memory. Ada alone is a keeper. */
export function answersForHttp(world: {
  readonly desk: () => Pick<Desk, 'household' | 'alarms' | 'acknowledge' | 'tend' | 'shelve' | 'rang'>
  readonly now: () => Instant
}): AnswersForHttp {
  const { desk, now } = world
  const links = new Map<string, Link>()

  const open = (token: string): Outcome<{ link: Link; contact: Contact }, LinkRefusal> => {
    const link = links.get(token)
    if (link === undefined) return refused('badLink', 'This link is not one of ours.')
    const contact = desk()
      .household()
      .contacts.find(({ id }) => id === link.contact)
    if (now() >= link.until || contact === undefined) return refused('oldLink', 'This link has had its day.')
    return { ok: true, value: { link, contact } }
  }
  const look = (token: string): Outcome<AnswerNow, LinkRefusal> => {
    const opened = open(token)
    if (!opened.ok) return opened
    const { link, contact } = opened.value
    const { about } = link
    const alarm = typeof about === 'string' ? null : (standing(about) ?? about)
    return {
      ok: true,
      value: {
        purpose: alarm === null ? 'ring' : 'answer',
        household: desk().household().name,
        name: contact.name,
        sentence: alarm === null ? 'Did this ring?' : `It is ${alarm.state.name}.`,
        alarm,
        headline: alarm === null ? 'A test' : 'The cellar fridge is too cold',
        animals: [],
        firstThing: null,
        canAcknowledge: alarm?.state.name === 'unacknowledged',
        canTend: alarm !== null,
        tendedUntil: null,
        canShelve: alarm !== null && contact.person === 'ada',
        longestShelving: alarm === null ? 0 : 3_600_000,
      },
    }
  }
  const standing = ({ id }: Alarm) =>
    desk()
      .alarms()
      .standing.find((alarm) => alarm.id === id)
  /** Acts by the link, then looks again. */
  const act = <Code extends string>(
    token: string,
    does: (alarm: Alarm, contact: Contact) => Outcome<unknown, Code>,
  ): Outcome<AnswerNow, LinkRefusal | Code> => {
    const opened = open(token)
    if (!opened.ok) return opened
    const { about } = opened.value.link
    if (typeof about === 'string') return refused('badLink', 'This link answers no alarm.')
    const outcome = does(about, opened.value.contact)
    return outcome.ok ? look(token) : outcome
  }

  return {
    linkFor(contact, about) {
      const token = randomBytes(32).toString('base64url')
      links.set(token, { contact, about, until: later(now(), days(2)) })
      return token
    },
    look,
    acknowledge: (token) =>
      act(token, (alarm, { name }) => desk().acknowledge(alarm.id, alarm.occurrence, name)),
    tend: (token, lasts) =>
      act<'noSuchPlace' | 'tooLong' | 'notNow'>(token, ({ place }, { name }) =>
        place === null ? refused('notNow', 'About no place.') : desk().tend(place, lasts, name),
      ),
    shelve: (token, lasts, reason) =>
      act<AlarmRefusal | 'keeperOnly'>(token, ({ id }, { name, person }) =>
        person === 'ada' ? desk().shelve(id, lasts, reason, name) : refused('keeperOnly', 'Keepers only.'),
      ),
    rang(token) {
      const opened = open(token)
      if (!opened.ok) return opened
      const { link, contact } = opened.value
      if (typeof link.about !== 'string') return refused('badLink', 'This link is no test.')
      const outcome = desk().rang(link.contact, link.about, contact.name)
      return outcome.ok ? look(token) : refused('noSuchChannel', 'The channel has been removed since.')
    },
  }
}

const refused = <Code extends string>(error: Code, sentence: string) =>
  ({ ok: false, error, sentence }) as const

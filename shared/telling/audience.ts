import type { Alarm } from '../../schemas/alarm.ts'
import type { Contact, Telling } from '../../schemas/contact.ts'
import type { ContactId } from '../../schemas/ids.ts'

/** Who may be told, and how soon again. */
export interface TellingRules {
  /** Those that have a channel, in order. */
  readonly contacts: readonly Contact[]
  /** Those of whom no channel works just now. They are told too, and so is the next. */
  readonly outOfReach: ReadonlySet<ContactId>
  readonly telling: Telling
}

/** Everybody but the one whom the alarms say is out of reach. */
export const audience = ({ contacts }: TellingRules, alarms: readonly Alarm[]): readonly ContactId[] =>
  contacts
    .map(({ id }) => id)
    .filter((id) => alarms.length === 0 || alarms.some(({ contact }) => contact !== id))

/** The first of them and, as long as those before are out of reach, the next. */
export function untilReached(
  { outOfReach }: TellingRules,
  contacts: readonly ContactId[],
): readonly ContactId[] {
  const reached = contacts.findIndex((id) => !outOfReach.has(id))
  return reached < 0 ? contacts : contacts.slice(0, reached + 1)
}

/** The first of `all` who has not been told. */
export const nextContact = (told: readonly ContactId[], all: readonly ContactId[]): ContactId | undefined =>
  all.find((contact) => !told.includes(contact))

/** All of them, in the order in which they were told. */
export const merged = (one: readonly ContactId[], other: readonly ContactId[]): readonly ContactId[] => [
  ...one,
  ...other.filter((contact) => !one.includes(contact)),
]

import type { MassStanding } from '../../schemas/condition.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Gate, Reminder, WakeNow, WakingStep } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { localDate } from '../time/wall.ts'
import { inOrder, reminderOf } from './reminder.ts'
import { tasksAhead } from './reminders-ahead.ts'
import { tasksAwake } from './reminders-awake.ts'
import { airings, tasksInHold } from './reminders-in-hold.ts'
import type { Subject } from './subject.ts'
import { say } from '../words/say.ts'

export interface ReminderFacts {
  readonly gate: Gate | null
  readonly wake: WakeNow
  readonly waking: readonly WakingStep[]
  /** When its place was last opened or aired, by contact, curve or diary; null: never seen. */
  readonly airedAt: Instant | null
  /** Local date up to which what is coming is wanted. */
  readonly until: string
  /** Of its mass in hold; a loss to be watched is weighed again sooner. */
  readonly mass?: MassStanding | null
  /** When somebody last noted that all in its place was looked at. */
  readonly lookedAt?: Instant | null
  /** What is shut round it and is to be aired; null: nothing is. Absent: its own box. */
  readonly airPlace?: { readonly id: PlaceId; readonly name: string } | null
}

/**
 * What the plan asks for and nobody has done yet (S4), for one animal, in order of time. One reminder for one thing: what
 * is late stays, on its own day, until it is done. An airing belongs to the place, so that all who share it have the same.
 */
export function remindersOf(subject: Subject, facts: ReminderFacts): readonly Reminder[] {
  const { animal, now, timeZone } = subject
  const { gate, wake, waking, airedAt, until, mass = null, lookedAt = null } = facts
  const today = localDate(now, timeZone)
  const own = { animal: animal.id, ...(animal.place === null ? {} : { place: animal.place }) }
  const tasks = [
    ...tasksAhead(subject, gate, until),
    ...tasksInHold(subject, { wake, mass, lookedAt, until }),
    ...tasksAwake(subject, waking),
  ]
  const aired = airPlaceOf(subject, facts)
  const airs = aired === null || wake.standing === 'now' ? [] : airings(subject, airedAt, aired.name, until)
  return inOrder([
    ...tasks.filter(({ on }) => on <= until).map((task) => reminderOf(task, own, today)),
    ...airs.map((task) => reminderOf(task, { place: (aired as { id: PlaceId }).id }, today)),
  ])
}

const airPlaceOf = (
  { animal }: Subject,
  { airPlace }: ReminderFacts,
): { id: PlaceId; name: string } | null =>
  airPlace !== undefined
    ? airPlace
    : animal.place === null
      ? null
      : { id: animal.place, name: say('the box of {animal}', { animal: animal.name }) }

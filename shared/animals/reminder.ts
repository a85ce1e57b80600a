import type { AnimalId, PlaceId } from '../../schemas/ids.ts'
import type { Reminder, ReminderKind } from '../../schemas/season.ts'
import type { Evidence, Figure } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, localDate } from '../time/wall.ts'

/** A task with its day, before it is known whether that day is behind us. */
export interface Task {
  readonly kind: ReminderKind
  readonly title: string
  /** Local date on which it is due. */
  readonly on: string
  readonly sentence: string
  readonly source?: string | null
  readonly evidence?: Evidence | null
  /** Told apart by this instead of its day: a task whose day is always today, until it is done. */
  readonly once?: string
}

export interface Whose {
  readonly animal?: AnimalId
  readonly place?: PlaceId
}

/** The same thing on the same day has the same id each time, so that a calendar knows it again. */
export function reminderOf(task: Task, whose: Whose, today: string): Reminder {
  const { kind, title, on, sentence, source = null, evidence = null, once = on } = task
  const standing = on < today ? 'late' : on === today ? 'due' : 'coming'
  const owner = whose.animal ?? whose.place ?? 'house'
  return { id: `${kind}:${owner}:${once}`, kind, ...whose, title, on, standing, sentence, source, evidence }
}

/** By day; on one day in the order of `kindOrder`, then by title. */
export function inOrder(reminders: readonly Reminder[]): readonly Reminder[] {
  return [...reminders].sort(
    (one, other) =>
      compare(one.on, other.on) ||
      kindOrder.indexOf(one.kind) - kindOrder.indexOf(other.kind) ||
      compare(one.title, other.title) ||
      compare(one.id, other.id),
  )
}

/** What harms most when it is left undone comes first. Derived. */
export const kindOrder: readonly ReminderKind[] = [
  'wakeNow',
  'vet',
  'drink',
  'urates',
  'beginWarming',
  'hold',
  'weigh',
  'air',
  'look',
  'firstMeal',
  'lastMeal',
  'beginCooling',
  'bathe',
  'healthCheck',
  'measure',
  'faecesTest',
  'order',
  'count',
]

/** The next time, and where times lie a week or more apart also those after it, up to `until`. */
export function repeated(first: string, every: number, today: string, until: string): readonly string[] {
  const on = [first]
  if (every < worthRepeating) return first <= until ? on : []
  // What is late is counted again from the day on which it can be done, which is today at the earliest.
  const start = first < today ? today : first
  for (let n = 1; n <= mostRepeats; n += 1) {
    const next = addDays(start, n * every)
    if (next > until) break
    on.push(next)
  }
  return on.filter((date) => date <= until)
}

/** A day list full of daily looks hides the weigh-ins: of those only the next one is named. */
const worthRepeating = 7

/** A year of weeks: no hold is longer (X3). */
const mostRepeats = 53

/** Whole days between two times of a task; less than one is each day. */
export const wholeDays = (days: number): number => Math.max(1, Math.floor(days))

export const dayOf = (at: Instant, timeZone: string): string => localDate(at, timeZone)

/** Where a figure comes from, to stand beside the sentence that rests on it. */
export const from = ({ source, evidence }: Figure): { source: string; evidence: Evidence } => ({
  source,
  evidence,
})

export const laterDay = (one: string, other: string): string => (one > other ? one : other)

function compare(one: string, other: string): number {
  return one < other ? -1 : one > other ? 1 : 0
}

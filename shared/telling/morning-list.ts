import type { Reminder } from '../../schemas/season.ts'
import { byUrgency } from '../animals/day-order.ts'
import { groupsOf } from '../animals/reminder-groups.ts'
import { say } from '../words/say.ts'

/** A message that lists more is not read through. Derived. */
const mostItems = 10

/** What is due today in a few lines, the most pressing first: `Weigh Pebble and Juno`. */
export function morningList(due: readonly Reminder[]): readonly string[] {
  const said = groupsOf(byUrgency(due)).map(({ title }) => title)
  if (said.length <= mostItems) return said
  return [...said.slice(0, mostItems - 1), say('and {part} more', { part: said.length - mostItems + 1 })]
}

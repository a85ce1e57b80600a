import type { Reminder, ReminderKind } from '../../schemas/season.ts'
import { say } from '../words/say.ts'

/** Reminders that are done in one go, with the title that names them all: `Weigh Pebble and Juno`. */
export interface ReminderGroup {
  readonly kind: ReminderKind
  readonly title: string
  /** At least one. */
  readonly reminders: readonly Reminder[]
}

/** What is done for several in one go is one group where `apart` gives the same; everything else stands alone. */
export function groupsOf(
  reminders: readonly Reminder[],
  apart: (reminder: Reminder) => string = () => '',
): readonly ReminderGroup[] {
  const groups: { readonly key: string | null; readonly reminders: Reminder[] }[] = []
  for (const one of reminders) {
    const key = verbs[one.kind] === undefined ? null : `${one.kind} ${apart(one)}`
    const known = key === null ? undefined : groups.find((group) => group.key === key)
    if (known === undefined) groups.push({ key, reminders: [one] })
    else known.reminders.push(one)
  }
  return groups.map(({ reminders: all }) => groupOf(all))
}

function groupOf(reminders: readonly Reminder[]): ReminderGroup {
  const [first] = reminders
  if (first === undefined) throw new Error('a group of no reminders')
  const verb = verbs[first.kind] ?? ''
  const names = reminders.map(({ title }) => (title.startsWith(verb) ? title.slice(verb.length) : title))
  const title = reminders.length === 1 ? first.title : `${verb}${together(names)}`
  return { kind: first.kind, title, reminders }
}

const verbs: Partial<Record<ReminderKind, string>> = {
  weigh: say('Weigh '),
  look: say('Look at '),
  air: say('Air '),
  bathe: say('Bathe '),
  measure: say('Measure '),
  count: say('Count '),
}

/** More names than a line of a phone holds are counted. Derived. */
const mostNames = 6

function together(names: readonly string[]): string {
  const over = names.length - mostNames + 1
  const shown =
    names.length > mostNames ? [...names.slice(0, mostNames - 1), say('{over} more', { over })] : names
  const last = shown.at(-1) ?? ''
  return shown.length < 2 ? last : say('{shown} and {last}', { shown: shown.slice(0, -1).join(', '), last })
}

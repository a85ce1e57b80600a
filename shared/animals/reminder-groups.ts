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
    const key = titleOf[one.kind] === undefined ? null : `${one.kind} ${apart(one)}`
    const known = key === null ? undefined : groups.find((group) => group.key === key)
    if (known === undefined) groups.push({ key, reminders: [one] })
    else known.reminders.push(one)
  }
  return groups.map(({ reminders: all }) => groupOf(all))
}

function groupOf(reminders: readonly Reminder[]): ReminderGroup {
  const [first] = reminders
  if (first === undefined) throw new Error('a group of no reminders')
  const title = titleOf[first.kind]
  if (title === undefined || reminders.length === 1)
    return { kind: first.kind, title: first.title, reminders }
  const [before = '', after = ''] = title(theName).split(theName)
  const names = reminders.map((one) =>
    one.title.startsWith(before) && one.title.endsWith(after)
      ? one.title.slice(before.length, one.title.length - after.length)
      : one.title,
  )
  return { kind: first.kind, title: title(together(names)), reminders }
}

/** As the reminders themselves are titled: what a title says besides the name is taken off and said once. */
const titleOf: Partial<Record<ReminderKind, (name: string) => string>> = {
  weigh: (animal) => say('Weigh {animal}', { animal }),
  look: (animal) => say('Look at {animal}', { animal }),
  air: (place) => say('Air {place}', { place }),
  bathe: (animal) => say('Bathe {animal}', { animal }),
  measure: (animal) => say('Measure {animal}', { animal }),
  count: (place) => say('Count {place}', { place }),
}

/** Stands where a title has its name; no text that is said holds it. */
const theName = '\u0000'

/** More names than a line of a phone holds are counted. Derived. */
const mostNames = 6

function together(names: readonly string[]): string {
  const over = names.length - mostNames + 1
  const shown =
    names.length > mostNames ? [...names.slice(0, mostNames - 1), say('{over} more', { over })] : names
  const last = shown.at(-1) ?? ''
  return shown.length < 2 ? last : say('{shown} and {last}', { shown: shown.slice(0, -1).join(', '), last })
}

import { hours, instant } from '../../schemas/amounts.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Trial } from '../../schemas/trial.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

/** A time in which nothing cooled the place. */
export interface PassiveStretch {
  readonly from: Instant
  readonly to: Instant
  /** How it is known: the keeper said so, a power sensor did, or its cooling alarm stood. */
  readonly by: 'plugOut' | 'powerAbsent' | 'notCooling'
  /** Water in bottles inside, L; null where nobody said. */
  readonly litres: number | null
}

/** What is asked of a line of the journal, oldest line first. */
export type OutlookLine = Pick<JournalEntry, 'at' | 'kind' | 'alarmKind' | 'text'>

/** Shorter ones show the air alone, which is warm long before what lies in it. Derived. */
const shortestStretch: Millis = hours(1)
/** What has been warming for two days tells no more by a third, and costs reading (X3). */
export const longestStretch: Millis = hours(48)
/** The newest count: a fridge is filled anew each winter (X3). */
export const mostStretches = 12

/** The trial run now kept with its place. */
export const plugsOfTrial = (trial: Trial | undefined, now: Instant): readonly PassiveStretch[] =>
  (trial?.plugOut ?? []).map(({ from, until }) => ({
    from,
    to: until ?? trial?.until ?? now,
    by: 'plugOut',
    litres: trial?.litres ?? null,
  }))

/** Earlier trial runs, of which a place keeps only the newest, by what the journal says of them (trial-acts.ts). */
export function plugsInJournal(lines: readonly OutlookLine[]): readonly PassiveStretch[] {
  const stretches: PassiveStretch[] = []
  let litres: number | null = null
  let since: Instant | null = null
  for (const { at, kind, text = '' } of lines) {
    if (kind !== 'changed') continue
    const began = /^A trial run of .* began(?:, with ([\d.e+-]+) L of water inside)?\.$/.exec(text)
    if (began !== null) {
      litres = Number(began[1] ?? 0)
      since = null
    } else if (/^The plug of .* was pulled on purpose, for its trial run\.$/.test(text)) since = at
    else if (/^The (?:plug of .* is in again|trial run of .* ended)\.$/.test(text)) {
      if (since !== null) stretches.push({ from: since, to: at, by: 'plugOut', litres })
      since = null
    }
  }
  return stretches
}

/** Times in which the alarm of its cooling stood; one that stands still runs until now. */
export function alarmsInJournal(lines: readonly OutlookLine[], now: Instant): readonly PassiveStretch[] {
  const stretches: PassiveStretch[] = []
  let since: Instant | null = null
  const end = (to: Instant): void => {
    if (since !== null) stretches.push({ from: since, to, by: 'notCooling', litres: null })
    since = null
  }
  for (const { at, kind, alarmKind } of lines) {
    if (alarmKind !== 'notCooling') continue
    if (kind === 'raised') since ??= at
    else if (kind === 'returned') end(at)
  }
  end(now)
  return stretches
}

/** Times without power, from what a power sensor said (1 present, 0 absent), oldest first; silence ends one. */
export function absences(
  readings: readonly { readonly at: Instant; readonly value: number }[],
  silentAfter: Millis,
): readonly PassiveStretch[] {
  const stretches: PassiveStretch[] = []
  let since: Instant | null = null
  let last: Instant | null = null
  const end = (to: Instant): void => {
    if (since !== null) stretches.push({ from: since, to, by: 'powerAbsent', litres: null })
    since = null
  }
  for (const { at, value } of readings) {
    if (last !== null && at - last > silentAfter) end(last)
    if (value >= 1) end(at)
    else since ??= at
    last = at
  }
  if (last !== null) end(last)
  return stretches
}

/** Those worth reading, newest first, each time once: what the keeper said goes before what was inferred. */
export function chosenStretches(
  all: readonly PassiveStretch[],
  from: Instant,
  now: Instant,
): readonly PassiveStretch[] {
  const chosen: PassiveStretch[] = []
  for (const stretch of all.toSorted((one, other) => rank[one.by] - rank[other.by])) {
    const to = instant(Math.min(stretch.to, now, stretch.from + longestStretch))
    if (stretch.from < from || to - stretch.from < shortestStretch) continue
    if (chosen.some((one) => one.from < to && stretch.from < one.to)) continue
    chosen.push({ ...stretch, to })
  }
  return chosen.toSorted((one, other) => other.from - one.from).slice(0, mostStretches)
}

const rank: Record<PassiveStretch['by'], number> = { plugOut: 0, powerAbsent: 1, notCooling: 2 }

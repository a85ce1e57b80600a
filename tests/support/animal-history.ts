import { days, instant, later } from '../../schemas/amounts.ts'
import { Animal, type PlanStep } from '../../schemas/animal.ts'
import { DiaryLine, type DiaryNote } from '../../schemas/diary.ts'
import { SpeciesId } from '../../schemas/ids.ts'
import type { Guidance, Phase } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Subject } from '../../shared/animals/subject.ts'
import { profileOf } from '../../shared/species/catalogue.ts'

/** Noon in Vienna on the day on which the hold begins in these stories; days before it are negative. */
const holdBegins = instant(Date.parse('2026-11-20T12:00:00+01:00'))

export const onDay = (day: number): Instant => later(holdBegins, Math.round(days(1) * day))

export type Noted = readonly [day: number, note: DiaryNote]

const line = ([day, note]: Noted, i: number): DiaryLine =>
  DiaryLine.parse({ id: `e${i}`, at: onDay(day), animal: 'pebble', note, by: 'Kim', notedAt: onDay(day) })

export const weighed = (
  day: number,
  grams: number,
  more: { box?: 'wet' | 'dry'; scaleStep?: number } = {},
): Noted => [day, { kind: 'weighed', grams, ...more }]

/** Fast, cooling of three weeks, hold from day 0, warmed from day 84. */
const winter: readonly (readonly [Phase, number])[] = [
  ['fast', -49],
  ['coolDown', -21],
  ['hold', 0],
  ['warmUp', 84],
  ['awake', 86],
]

export const stepsOf = (phases: readonly (readonly [Phase, number])[]): PlanStep[] =>
  phases.map(([phase, day]) => ({ phase, from: onDay(day) }))

export interface Told {
  readonly species?: string
  readonly guidance?: Guidance
  readonly now: number
  readonly notes: readonly Noted[]
  readonly animal?: Partial<Animal>
}

/** A grown animal in its winter, on a day of it. */
export function subjectOf({
  species = 'testudo-hermanni',
  guidance = 'strict',
  now,
  notes,
  animal = {},
}: Told): Subject {
  const profile = profileOf(SpeciesId.parse(species))
  if (profile === undefined) throw new Error(`no profile ${species}`)
  return {
    animal: {
      ...Animal.parse({
        id: 'pebble',
        name: 'Pebble',
        species,
        place: null,
        mode: 'goesDown',
        plan: stepsOf(winter),
        draft: [],
        ageClass: 'adult',
        hasWintered: true,
      }),
      ...animal,
    },
    profile,
    guidance,
    history: notes.map(line).toSorted((a, b) => a.at - b.at),
    now: onDay(now),
    timeZone: 'Europe/Vienna',
  }
}

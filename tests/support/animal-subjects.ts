import { days, later } from '../../schemas/amounts.ts'
import { Animal } from '../../schemas/animal.ts'
import type { DiaryLine, DiaryNote } from '../../schemas/diary.ts'
import { HealthQuestion } from '../../schemas/diary.ts'
import { EntryId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Subject } from '../../shared/animals/subject.ts'
import { wallInstant } from '../../shared/time/wall.ts'
import { aTortoise } from './season-profiles.ts'

export const zone = 'Europe/Vienna'
export const noon = (date: string, timeZone = zone): Instant => wallInstant(date, '12:00', timeZone)

let made = 0
/** An entry about Pebble, invented. */
export const noted = (at: Instant, note: DiaryNote): DiaryLine => ({
  id: EntryId.parse(`note-${(made += 1)}`),
  animal: pebble.id,
  at,
  note,
  by: 'Ada',
  notedAt: at,
})

/** A grown tortoise that has wintered here before. */
export const pebble = Animal.parse({
  id: 'pebble',
  name: 'Pebble',
  species: 'test-tortoise',
  place: 'box',
  mode: 'goesDown',
  hatched: '2012-06',
  since: '2015',
  sex: 'male',
  hasWintered: true,
})

export function aSubject(
  more: Partial<Subject> & { readonly with?: Partial<Animal>; readonly profile?: SpeciesProfile } = {},
): Subject {
  const { with: change, ...rest } = more
  return {
    animal: { ...pebble, ...change },
    profile: aTortoise,
    guidance: 'strict',
    history: [],
    now: noon('2026-09-01'),
    timeZone: zone,
    ...rest,
  }
}

/** Every question answered well. */
export const allWell = Object.fromEntries(
  HealthQuestion.options.map((question) => [question, 'yes']),
) as Record<HealthQuestion, 'yes'>

/** All that the gate asks of the diary, met at `now`. */
export const fitHistory = (now: Instant): DiaryLine[] => [
  noted(later(now, -days(40)), { kind: 'checked', answers: allWell }),
  noted(later(now, -days(30)), { kind: 'fed', eaten: 'all' }),
  noted(later(now, -days(20)), { kind: 'passed', faeces: true, urates: true, urine: true }),
  noted(later(now, -days(2)), { kind: 'weighed', grams: 900 }),
]

/** Steps from days, each at local noon. */
export const steps = (...days_: readonly [Animal['plan'][number]['phase'], string][]): Animal['plan'] =>
  days_.map(([phase, date]) => ({ phase, from: noon(date) }))

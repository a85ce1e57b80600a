import { days } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { withLoggers } from '../../shared/judging/past-layout.ts'
import { journalSentence } from '../../shared/telling/journal-words.ts'
import { type Cell, csvText } from '../../shared/report/csv-text.ts'
import type { Desk } from '../ports/desk.ts'
import type { Store } from '../ports/store.ts'
import type { ReportDesk } from '../ports/reports.ts'
import { calibratedHistory } from './calibrated-history.ts'
import type { PastHouse } from './past-house.ts'
import { namesIn } from './names.ts'
import { say } from '../../shared/words/say.ts'

/** A month at 10 s is 270,000 lines, 12 MB: what a small board makes in a second (X3). */
const longestReadings = days(31)
/** A journal of two years, at most so many lines (X3). */
const longestJournal = days(800)
const mostLines = 100_000

/** What is kept, as files for a spreadsheet. Temperatures in °C, times in UTC, lengths of time in minutes. */
export function openCsv(world: {
  readonly house: PastHouse
  readonly store: Store
  readonly winter: Desk['winter']
}): Pick<ReportDesk, 'nightsCsv' | 'readingsCsv' | 'journalCsv'> {
  const { house, store } = world
  return {
    nightsCsv(place, quantity, season) {
      const found = world.winter(place, quantity, season)
      if (!found.ok) return found
      const rows = found.value.nights
        .toReversed()
        .map((night): Cell[] => [
          night.date,
          iso(night.from),
          iso(night.to),
          place,
          quantity,
          night.readings,
          night.min,
          night.mean,
          night.max,
          night.low,
          night.high,
          minutesOf(night.below),
          minutesOf(night.inside),
          minutesOf(night.above),
          minutesOf(night.unknown),
          night.alarms,
        ])
      return { ok: true, value: csvText([nightHead, ...rows]) }
    },

    readingsCsv(sensor, quantity, from, to) {
      const layout = withLoggers(house.state().layout)
      const spec = layout.sensors[layout.sensorIndex.get(sensor) ?? -1]
      if (spec === undefined)
        return { ok: false, error: 'noSuchSensor', sentence: say('There is no sensor {sensor}.', { sensor }) }
      if (from >= to || to - from > longestReadings)
        return {
          ok: false,
          error: 'badStretch',
          sentence: say('The stretch must end after it begins and be at most 31 days long.'),
        }
      house.catchUp()
      const rows = calibratedHistory(store, () => spec.calibrations)
        .readings(sensor, quantity, from, to)
        .map(({ at, value, quality }): Cell[] => [iso(at), sensor, quantity, value, quality])
      return { ok: true, value: csvText([['at', 'sensor', 'quantity', 'value', 'quality'], ...rows]) }
    },

    journalCsv(from, to) {
      if (from >= to || to - from > longestJournal)
        return {
          ok: false,
          error: 'badStretch',
          sentence: say('The stretch must end after it begins and be at most 800 days long.'),
        }
      house.catchUp()
      const names = namesIn(house.state().layout.household)
      const rows = store
        .journal({ from, to, limit: mostLines })
        .toReversed()
        .map((line): Cell[] => [
          iso(line.at),
          line.kind,
          line.by,
          line.alarm ?? null,
          line.place ?? null,
          line.animal ?? null,
          line.value ?? null,
          journalSentence(line, names),
        ])
      return {
        ok: true,
        value: csvText([['at', 'kind', 'by', 'alarm', 'place', 'animal', 'value', 'sentence'], ...rows]),
      }
    },
  }
}

const nightHead = [
  'date',
  'from',
  'to',
  'place',
  'quantity',
  'readings',
  'min',
  'mean',
  'max',
  'low',
  'high',
  'below_min',
  'inside_min',
  'above_min',
  'unknown_min',
  'alarms',
]

const iso = (at: Instant): string => new Date(at).toISOString()
const minutesOf = (ms: number): number => Math.round(ms / 6000) / 10

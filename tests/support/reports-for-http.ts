import type { AnimalReport, SeasonReport } from '../../schemas/animal-report.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import type { ReportDesk } from '../../daemon/ports/reports.ts'
import { csvText } from '../../shared/report/csv-text.ts'
import { animalPage } from '../../shared/report/animal-page.ts'
import { reportCss } from '../../shared/report/report-css.ts'
import { seasonPage } from '../../shared/report/season-page.ts'
import { seasonDates } from '../../shared/time/season.ts'

/** Reports of a household that has animals and nothing written down of them. */
export function reportsForHttp(world: {
  readonly household: () => Household
  readonly now: () => Instant
}): ReportDesk {
  const refused = <Code extends string>(error: Code, sentence: string) =>
    ({ ok: false, error, sentence }) as const
  const isSeason = (name: string | null): boolean => name === null || seasonDates(name) !== null
  const about = (season: string | null) => ({
    at: world.now(),
    household: world.household().name,
    timeZone: world.household().timeZone,
    season: season ?? '2026/27',
    seasons: [season ?? '2026/27'],
    cautions: 'Ask a reptile vet.',
  })
  const desk: Pick<ReportDesk, 'animalReport' | 'seasonReport'> = {
    async animalReport(id, season) {
      const animal = world.household().animals.find((one) => one.id === id)
      if (animal === undefined) return refused('noSuchAnimal', 'No such animal.')
      if (!isSeason(season)) return refused('badSeason', 'No such season.')
      const value: AnimalReport = {
        ...about(season),
        animal: { id: animal.id, name: animal.name, species: animal.species },
        latin: animal.species,
        common: animal.species,
        place: null,
        winter: null,
        days: [],
        weighIns: [],
        alarms: [],
        alarmsLeftOut: 0,
        notes: [],
        notesLeftOut: 0,
        earlier: [],
      }
      return { ok: true, value }
    },
    async seasonReport(season) {
      if (!isSeason(season)) return refused('badSeason', 'No such season.')
      const value: SeasonReport = { ...about(season), rows: [] }
      return { ok: true, value }
    },
  }
  return {
    ...desk,
    reportStyle: reportCss,
    async animalPage(animal, season) {
      const found = await desk.animalReport(animal, season)
      return found.ok ? { ok: true, value: animalPage(found.value) } : found
    },
    async seasonPage(season) {
      const found = await desk.seasonReport(season)
      return found.ok ? { ok: true, value: seasonPage(found.value) } : found
    },
    nightsCsv(place, _quantity, season) {
      if (!world.household().places.some(({ id }) => id === place))
        return refused('noSuchPlace', 'No such place.')
      return isSeason(season)
        ? { ok: true, value: csvText([['date']]) }
        : refused('badSeason', 'No such season.')
    },
    readingsCsv(sensor, _quantity, from, to) {
      if (!world.household().sensors.some(({ id }) => id === sensor))
        return refused('noSuchSensor', 'No such sensor.')
      return from < to
        ? { ok: true, value: csvText([['at']]) }
        : refused('badStretch', 'It ends before it begins.')
    },
    journalCsv: (from, to) =>
      from < to ? { ok: true, value: csvText([['at']]) } : refused('badStretch', 'It ends before it begins.'),
  }
}

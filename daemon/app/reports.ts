import type { AnimalReport, SeasonReport, WinterFigures } from '../../schemas/animal-report.ts'
import type { Animal } from '../../schemas/animal.ts'
import type { MassNow } from '../../schemas/condition.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { later } from '../../schemas/amounts.ts'
import { conditionOf } from '../../shared/animals/condition.ts'
import { massOf } from '../../shared/animals/mass.ts'
import { linesOf, type Subject } from '../../shared/animals/subject.ts'
import { type ColdWinter, wintersOf } from '../../shared/animals/winters.ts'
import { type ProfileOf, profilesIn } from '../../shared/judging/layout.ts'
import { animalPage } from '../../shared/report/animal-page.ts'
import { reportCss } from '../../shared/report/report-css.ts'
import { seasonPage } from '../../shared/report/season-page.ts'
import { cautions } from '../../shared/telling/first-thing.ts'
import { seasonDates, seasonOf } from '../../shared/time/season.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'
import type { Clock } from '../ports/clock.ts'
import type { Store } from '../ports/store.ts'
import type { ReportDesk } from '../ports/reports.ts'
import type { DiaryStore } from '../ports/season.ts'
import { namesIn } from './names.ts'
import { alarmsIn } from './report-alarms.ts'
import { afterMs, beforeMs, notesOf } from './report-notes.ts'
import { daysOf, reportPlace } from './report-place.ts'
import { figuresOf } from './winter-figures.ts'
import { type PastHouse, pastHouse } from './past-house.ts'
import { drawCurves } from './curves.ts'
import { say } from '../../shared/words/say.ts'

/** On one page of paper there is room for so many lines; what is left out is counted. */
const mostAlarms = 25
const mostNotes = 40
/** A winter of saved plans and moved animals (X3). */
const mostLines = 20_000

/** The winter of an animal on one page, and of all of them beside each other. */
export function openReports(world: {
  readonly house: PastHouse
  readonly store: Store
  readonly diary: DiaryStore
  readonly clock: Clock
  readonly catalogue: ProfileOf
  readonly pause: () => Promise<void>
}): Omit<ReportDesk, 'nightsCsv' | 'readingsCsv' | 'journalCsv'> {
  const { house, store, diary, clock } = world
  const household = () => house.state().layout.household

  const historyOf = (animal: Animal): readonly DiaryLine[] =>
    diary.entries({ animal: animal.id }).toReversed()

  const wintersOfAnimal = (animal: Animal, history: readonly DiaryLine[]): readonly ColdWinter[] =>
    wintersOf({
      animal,
      history,
      now: clock.now(),
      timeZone: household().timeZone,
      hemisphere: household().hemisphere,
    })

  /** The season by its name; null where the name is none. */
  function seasonNamed(name: string | null): { season: string; from: Instant; to: Instant } | null {
    const { timeZone, hemisphere } = household()
    const season = name ?? seasonOf(localDate(clock.now(), timeZone), hemisphere)
    const dates = seasonDates(season)
    if (dates === null) return null
    return {
      season,
      from: wallInstant(dates.first, '00:00', timeZone),
      to: wallInstant(addDays(dates.last, 1), '00:00', timeZone),
    }
  }

  const subjectAt = (
    animal: Animal,
    profile: SpeciesProfile,
    history: readonly DiaryLine[],
    now: Instant,
  ): Subject => ({
    animal,
    profile,
    guidance: household().guidance,
    history: history.filter(({ at }) => at <= now),
    now,
    timeZone: household().timeZone,
  })

  /** As it stood at the end of that winter, with the weigh-in of the day of waking, whatever is planned by now. */
  function massIn(
    animal: Animal,
    profile: SpeciesProfile,
    history: readonly DiaryLine[],
    winter: ColdWinter,
  ): MassNow | null {
    const { to, from } = winter
    const now = to === null ? clock.now() : (Math.min(later(to, dayMs), clock.now()) as Instant)
    const cold = winter.steps.filter(({ phase }) => phase !== 'warmUp' && phase !== 'awake')
    const down = history.filter(({ note, at }) => note.kind !== 'warmingBegan' || at < from)
    return massOf(subjectAt({ ...animal, plan: cold }, profile, down, now), null)
  }

  /** Where it lived in the middle of that winter, by the journal; where that does not say, where it lives now. */
  function placeIn(animal: Animal, winter: ColdWinter): PlaceId | null {
    const end = winter.to ?? clock.now()
    const middle = Math.round((winter.from + end) / 2) as Instant
    const said = store
      .journal({ to: later(middle, 1), limit: mostLines, kinds: ['changed', 'coolingBegan', 'warmingBegan'] })
      .find((line) => line.animal === animal.id)
    return said?.place ?? animal.place
  }

  /** The house as this one animal had it that winter: in that place, by that plan, whatever is planned by now. */
  function houseIn(animal: Animal, winter: ColdWinter): PastHouse {
    const then: Animal = { ...animal, place: placeIn(animal, winter), plan: [...winter.steps], draft: [] }
    return pastHouse({ ...household(), animals: [then] }, world.catalogue, clock.now())
  }

  async function judged(animal: Animal, history: readonly DiaryLine[], winter: ColdWinter) {
    const profile = profilesIn(household(), world.catalogue)(animal.species)
    const past = houseIn(animal, winter)
    const place = reportPlace(past, store, past.state().layout.household.animals[0]?.place ?? null)
    const stretch = { from: winter.from, to: winter.to ?? clock.now() }
    const mass = profile === undefined ? null : massIn(animal, profile, history, winter)
    const { cost: costOf } = drawCurves({ house: past, store, clock, pause: world.pause })
    const found = place === null ? null : await costOf(place.id, stretch.from, stretch.to)
    const cost = found?.ok === true ? found.value : null
    const alarms = place === null ? [] : alarmsIn(store, place.around, stretch, namesIn(household()))
    const figures = figuresOf(winter, {
      cost,
      mass,
      alarms: alarms.length,
      now: clock.now(),
      timeZone: household().timeZone,
    })
    return { profile, mass, cost, figures, alarms, place, past }
  }

  const seasonsKnown = (winters: readonly ColdWinter[], wanted: string): string[] =>
    [...new Set([wanted, ...winters.map(({ season }) => season)])].toSorted().toReversed()

  const reports: Pick<ReportDesk, 'animalReport' | 'seasonReport'> = {
    async animalReport(id, name) {
      const animal = household().animals.find((one) => one.id === id)
      if (animal === undefined)
        return { ok: false, error: 'noSuchAnimal', sentence: say('There is no animal {id}.', { id }) }
      const season = seasonNamed(name)
      if (season === null) return badSeason
      house.catchUp()
      const now = clock.now()
      const { timeZone } = household()
      const history = historyOf(animal)
      const winters = wintersOfAnimal(animal, history)
      // Of two in one season the later is the one that is asked about
      const winter = winters.findLast((one) => one.season === season.season) ?? null
      const found = winter === null ? null : await judged(animal, history, winter)
      const place = found === null ? reportPlace(house, store, animal.place) : found.place
      const stretch = {
        from: winter?.from ?? season.from,
        to: Math.min(winter === null ? season.to : (winter.to ?? now), now) as Instant,
      }
      const profile = profilesIn(household(), world.catalogue)(animal.species)
      const alarms = place === null ? [] : alarmsIn(store, place.around, stretch, namesIn(household()))
      const told = notesOf(history, stretch)
      const earlier: WinterFigures[] = []
      for (const other of winters.toReversed())
        if (other !== winter) earlier.push((await judged(animal, history, other)).figures)
      const heard =
        place === null || place.sensor === null ? null : store.span(place.sensor.id, 'temperature')
      const drawn = { ...stretch, from: Math.max(stretch.from, heard?.first ?? stretch.from) as Instant }
      const value: AnimalReport = {
        at: now,
        household: household().name,
        timeZone,
        animal: identityOf(animal),
        latin: profile?.latin ?? animal.species,
        common: profile?.common ?? animal.species,
        place: place === null ? null : { id: place.id, name: place.name },
        season: season.season,
        seasons: seasonsKnown(winters, season.season),
        winter:
          winter === null || found === null
            ? null
            : {
                figures: found.figures,
                steps: [...winter.steps],
                anyway: winter.anyway,
                wokenWhy: winter.wokenWhy,
                condition:
                  profile === undefined
                    ? null
                    : conditionOf(subjectAt(animal, profile, history, winter.from)),
                mass: found.mass,
                cost: found.cost,
              },
        days:
          place === null
            ? []
            : [...daysOf(found?.past ?? house, store, place, winter === null ? drawn : stretch, timeZone)],
        weighIns: linesOf(history, 'weighed')
          .filter(({ at }) => at >= later(stretch.from, -beforeMs) && at <= later(stretch.to, afterMs))
          .map(({ at, note }) => ({ at, grams: note.grams })),
        alarms: alarms.slice(-mostAlarms),
        alarmsLeftOut: Math.max(0, alarms.length - mostAlarms),
        notes: told.slice(-mostNotes),
        notesLeftOut: Math.max(0, told.length - mostNotes),
        earlier,
        cautions,
      }
      return { ok: true, value }
    },

    async seasonReport(name) {
      const season = seasonNamed(name)
      if (season === null) return badSeason
      house.catchUp()
      const rows: SeasonReport['rows'] = []
      const all: ColdWinter[] = []
      for (const animal of household().animals) {
        const history = historyOf(animal)
        const winters = wintersOfAnimal(animal, history)
        all.push(...winters)
        const winter = winters.findLast((one) => one.season === season.season)
        const profile = profilesIn(household(), world.catalogue)(animal.species)
        rows.push({
          animal: animal.id,
          name: animal.name,
          common: profile?.common ?? animal.species,
          latin: profile?.latin ?? animal.species,
          winter: winter === undefined ? null : (await judged(animal, history, winter)).figures,
        })
      }
      return {
        ok: true,
        value: {
          at: clock.now(),
          household: household().name,
          timeZone: household().timeZone,
          season: season.season,
          seasons: seasonsKnown(all, season.season),
          rows,
          cautions,
        },
      }
    },
  }
  return {
    ...reports,
    reportStyle: reportCss,
    async animalPage(animal, season) {
      const found = await reports.animalReport(animal, season)
      return found.ok ? { ok: true, value: animalPage(found.value) } : found
    },
    async seasonPage(season) {
      const found = await reports.seasonReport(season)
      return found.ok ? { ok: true, value: seasonPage(found.value) } : found
    },
  }
}

const dayMs = 86_400_000

const badSeason = {
  ok: false,
  error: 'badSeason',
  sentence: say('A season is named by its years, as 2026 or 2026/27.'),
} as const

function identityOf({ id, name, species, sex, hatched, since, mark }: Animal): AnimalReport['animal'] {
  return {
    id,
    name,
    species,
    ...(sex === undefined ? {} : { sex }),
    ...(hatched === undefined ? {} : { hatched }),
    ...(since === undefined ? {} : { since }),
    ...(mark === undefined ? {} : { mark }),
  }
}

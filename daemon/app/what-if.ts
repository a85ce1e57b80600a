import type { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { WhatIfAsk, WhatIfBasis, WhatIfId, WhatIfNow } from '../../schemas/what-if.ts'
import { days } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Layout, PlaceLayout, ProfileOf } from '../../shared/judging/layout.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import { seasonDates, seasonOf } from '../../shared/time/season.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'
import { objectionToTried } from '../../shared/what-if/objection.ts'
import type { Stretch } from '../../shared/what-if/tally.ts'
import type { Clock } from '../ports/clock.ts'
import type { DiaryStore } from '../ports/season.ts'
import type { WhatIfDesk } from '../ports/what-if.ts'
import type { PastHouse } from './past-house.ts'
import { pastPlan } from './past-plans.ts'
import { bandsOf, quantitiesOf, seasonsOf, stretchToOffer } from './what-if-basis.ts'
import { type PastStore, runWhatIf, seriesIn } from './what-if-run.ts'
import { say } from '../../shared/words/say.ts'

/** Looks back kept with their results, of about 100 kB each (X3). */
const mostKept = 5
/** A season and a month. */
const longestStretch = days(400)

/** "What would these limits have done last winter?" */
export function openWhatIf(world: {
  readonly house: PastHouse
  readonly store: PastStore
  readonly diary: Pick<DiaryStore, 'entries'>
  readonly clock: Clock
  readonly profileOf: ProfileOf
  readonly pause: () => Promise<void>
}): WhatIfDesk {
  const { house, store, diary, clock, profileOf } = world
  /** Oldest first. */
  const runs = new Map<WhatIfId, WhatIfNow>()
  const opened = clock.now().toString(36)
  let begun = 0

  const running = (): WhatIfId | null =>
    [...runs.values()].find(({ state }) => state === 'running')?.id ?? null

  const zoneOf = ({ household }: Layout, here: PlaceLayout | null): string =>
    here?.place.timeZone ?? household.timeZone

  function seasonStretch(season: string, zone: string): Stretch | null {
    const dates = seasonDates(season)
    if (dates === null) return null
    const to = Math.min(wallInstant(addDays(dates.last, 1), '00:00', zone), clock.now()) as Instant
    return { from: wallInstant(dates.first, '00:00', zone), to }
  }

  /** The household of today as far as it matters to the places, with the plans of then. */
  function householdThen(layout: Layout, here: PlaceLayout | null, stretch: Stretch) {
    const { household, places } = layout
    const meant = here === null ? places.map((_, p) => p) : [...here.within, ...here.around]
    const ids = new Set(meant.flatMap((p) => places[p]?.place.id ?? []))
    const isMeant = (id: PlaceId | null) => id !== null && ids.has(id)
    const animals = household.animals
      .filter(({ place }) => isMeant(place))
      .map((animal) => pastPlan(household, animal, diary, stretch, clock.now()))
    const then: Household = {
      ...household,
      places: household.places.filter(({ id }) => ids.has(id)),
      sensors: household.sensors.filter(({ place }) => isMeant(place)),
      animals: animals.map(({ animal }) => animal),
      contacts: [],
    }
    const withoutPlan = animals.flatMap(({ animal, winters }) =>
      animal.mode === 'goesDown' && winters.length === 0 ? [animal.name] : [],
    )
    return { household: then, withoutPlan, winters: animals.flatMap(({ winters }) => winters) }
  }

  function begin(id: WhatIfId, ask: WhatIfAsk, layout: Layout, here: PlaceLayout | null, stretch: Stretch) {
    const zone = zoneOf(layout, here)
    const { household, withoutPlan } = householdThen(layout, here, stretch)
    const counted = here === null ? layout.places.map((_, p) => p) : here.within
    const nights = nightsBetween(
      addDays(localDate(stretch.from, zone), -1),
      localDate(stretch.to, zone),
      zone,
      here?.place.night ?? layout.household.night,
    ).filter((night) => night.to > stretch.from && night.from < stretch.to)
    const isCancelled = () => runs.get(id)?.state !== 'running'
    const { from, to } = stretch
    return runWhatIf(
      { store, clock, zonesOf: house.zonesOf, pause: world.pause },
      {
        ask,
        household,
        withoutPlan,
        profileOf,
        places: new Set(counted.flatMap((p) => layout.places[p]?.place.id ?? [])),
        stretch,
        nights,
        timeZone: zone,
        isCancelled,
        onProgress(at, readings) {
          if (isCancelled()) return
          const done = Math.min(1, Math.max(0, (at - from) / (to - from)))
          runs.set(id, { state: 'running', id, ask, done, readings })
        },
      },
    )
  }

  return {
    whatIfBasis(id, season) {
      const { layout } = house.state()
      const here = placeIn(layout, id)
      if (here === null) return noSuchPlace
      house.catchUp()
      const zone = zoneOf(layout, here)
      const now = clock.now()
      const sensors = layout.sensors.filter((_, s) => isWithin(here, layout.placeOfSensor[s] ?? -1))
      const stored = seriesIn({ sensors }, store, 0 as Instant, now)
      const { hemisphere } = layout.household
      const seasons = seasonsOf(stored, zone, hemisphere)
      const wanted = season ?? seasons[0] ?? seasonOf(localDate(now, zone), hemisphere)
      const whole = seasonStretch(wanted, zone)
      if (whole === null) return badSeason
      const first = sensors[0]
      const value: WhatIfBasis = {
        place: id,
        name: here.place.name,
        timeZone: zone,
        season: wanted,
        seasons: [...new Set([wanted, ...seasons])].toSorted().toReversed(),
        stretch: stretchToOffer(stored, whole, householdThen(layout, here, whole).winters, now),
        bands: bandsOf(layout, here, now),
        quantities: quantitiesOf(stored),
        isGuarded: here.place.guardBand !== 'off',
        silentAfter: first === undefined ? null : silentAfter(first),
        running: running(),
      }
      return { ok: true, value }
    },

    startWhatIf(ask) {
      const { layout } = house.state()
      const here = ask.place === null ? null : placeIn(layout, ask.place)
      if (ask.place !== null && here === null) return noSuchPlace
      if (ask.tried.some(({ place }) => !layout.placeIndex.has(place))) return noSuchPlace
      const objection = objectionToTried(ask.tried)
      if (objection !== null) return { ok: false, error: 'badLimits', sentence: objection }
      if (running() !== null)
        return {
          ok: false,
          error: 'alreadyRuns',
          sentence: say('Another look back is going on. Wait for its end or cancel it.'),
        }
      const zone = zoneOf(layout, here)
      const { over } = ask
      const stretch = 'season' in over ? seasonStretch(over.season, zone) : over
      if (stretch === null) return badSeason
      const { from, to } = { from: stretch.from, to: Math.min(stretch.to, clock.now()) as Instant }
      if (from >= to || to - from > longestStretch)
        return {
          ok: false,
          error: 'badStretch',
          sentence: say(
            'The stretch must end after it begins, begin in the past and be at most 400 days long.',
          ),
        }
      house.catchUp()
      const { household } = householdThen(layout, here, { from, to })
      if (seriesIn(household, store, from, to).length === 0)
        return { ok: false, error: 'nothingStored', sentence: say('No readings are stored of that time.') }

      begun += 1
      const id = `${opened}-${begun}` as WhatIfId
      const now: WhatIfNow = { state: 'running', id, ask, done: 0, readings: 0 }
      runs.set(id, now)
      for (const old of [...runs.keys()].slice(0, -mostKept)) runs.delete(old)
      begin(id, ask, layout, here, { from, to }).then(
        (result) => {
          if (result !== null && runs.get(id)?.state === 'running')
            runs.set(id, { state: 'done', id, ask, result })
        },
        (cause: unknown) => {
          const why = cause instanceof Error ? cause.message : String(cause)
          if (runs.has(id))
            runs.set(id, { state: 'failed', id, ask, sentence: `Looking back failed: ${why}`.slice(0, 400) })
        },
      )
      return { ok: true, value: now }
    },

    whatIf(id) {
      const run = runs.get(id)
      return run === undefined ? noSuchRun : { ok: true, value: run }
    },

    cancelWhatIf(id) {
      const run = runs.get(id)
      if (run === undefined) return noSuchRun
      if (run.state === 'running') runs.set(id, { state: 'cancelled', id, ask: run.ask })
      else runs.delete(id)
      return { ok: true, value: null }
    },
  }
}

const placeIn = (layout: Layout, id: PlaceId): PlaceLayout | null =>
  layout.places[layout.placeIndex.get(id) ?? -1] ?? null

const isWithin = (here: PlaceLayout, p: number): boolean => here.within.includes(p)

const noSuchPlace = { ok: false, error: 'noSuchPlace', sentence: say('There is no such place.') } as const
const noSuchRun = {
  ok: false,
  error: 'noSuchRun',
  sentence: say('There is no such look back; results are kept for a while only.'),
} as const
const badSeason = {
  ok: false,
  error: 'badSeason',
  sentence: say('A season is named by its years, as 2026 or 2026/27.'),
} as const

import type { PlaceId, SensorId, SpeciesId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { TrialNow } from '../../schemas/trial-report.ts'
import type { Instant } from '../../schemas/units.ts'
import { hours, later, millis } from '../../schemas/amounts.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import type { Layout, PlaceLayout } from '../../shared/judging/layout.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { actOnTrial } from '../../shared/thermal/trial-acts.ts'
import { limitsOf, trialReport, type Walked } from '../../shared/thermal/trial-report.ts'
import { countedOf, plugsOf, skipsOf, type Stretch, stretchOf } from '../../shared/thermal/trial-times.ts'
import { endTrialWalk, type HoldLimit, startTrialWalk, walkTrial } from '../../shared/thermal/trial-walk.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { Store } from '../ports/store.ts'
import { calibratedHistory } from './calibrated-history.ts'
import { withOne } from './edits.ts'
import type { House } from './house.ts'
import { hoursOf } from './place-air.ts'
import { say } from '../../shared/words/say.ts'

/** Read at a time, and then others have their turn: a sensor that speaks each second says 21,600 values in it. */
const chunk = hours(6)

/** What people ask of and do with the trial runs of places. */
export function openTrials(world: {
  readonly house: House
  readonly store: Store
  readonly clock: Clock
  readonly catalogue: readonly SpeciesProfile[]
  readonly save: (
    next: Layout['household'],
    by: string,
    text: string,
    place: PlaceId,
  ) => { readonly ok: true } | { readonly ok: false; readonly error: EditRefusal; readonly sentence: string }
  readonly pause: () => Promise<void>
}): Pick<Desk, 'trial' | 'actOnTrial'> {
  const { house, store, clock, catalogue, pause } = world
  const history = calibratedHistory(store, (sensor) => {
    const { layout } = house.state()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })

  return {
    async trial(id, wanted) {
      const { layout } = house.state()
      const here = placeIn(layout, id)
      if (here === null) return noSuchPlace
      const species = speciesFor(layout, catalogue, here, wanted)
      if (!species.ok) return species
      const { trial, name } = here.place
      if (trial === undefined) return { ok: true, value: { place: id, name, trial: null, report: null } }
      house.catchUp()
      const run = stretchOf(trial, clock.now())
      const limits = limitsOf(species.value, layout.household.guidance)
      const sensors: Walked[] = []
      for (const s of sensorsWithin(layout, here)) sensors.push(await walked(layout, here, s, run, limits))
      const around = roomSensor(layout, here, store)
      const value: TrialNow = {
        place: id,
        name,
        trial,
        report: trialReport({
          trial,
          run,
          kind: here.place.kind,
          isGuarded: here.place.guardBand !== 'off',
          sensors,
          room: around === null ? null : await walked(layout, here, around, run, []),
          species: species.value,
          guidance: layout.household.guidance,
        }),
      }
      return { ok: true, value }
    },

    actOnTrial(id, act, by) {
      const { layout } = house.state()
      const here = placeIn(layout, id)
      if (here === null) return noSuchPlace
      const now = clock.now()
      const moved = actOnTrial(
        {
          name: here.place.name,
          trial: here.place.trial,
          animalsDown: animalsDown(layout, here, now),
          hasSensor: sensorsWithin(layout, here).length > 0,
        },
        act,
        now,
        by,
      )
      if (!moved.ok) return moved
      const { trial: _, ...rest } = here.place
      const place = moved.value === null ? rest : { ...rest, trial: moved.value }
      const saved = world.save(withOne(layout.household, 'places', place), by, moved.says, id)
      return saved.ok ? { ok: true, value: { trial: moved.value } } : saved
    },
  }

  async function walked(
    layout: Layout,
    here: PlaceLayout,
    s: number,
    run: Stretch,
    limits: readonly HoldLimit[],
  ): Promise<Walked> {
    const sensor = layout.sensors[s]
    const place = layout.places[layout.placeOfSensor[s] ?? -1]?.place
    if (sensor === undefined || place === undefined) throw new RangeError(`no sensor ${s} in a place`)
    const { trial } = here.place
    const plugs = trial === undefined ? [] : plugsOf(trial, run)
    const skips = skipsOf(run, plugs, sensor.check)
    const zone = here.place.timeZone ?? layout.household.timeZone
    const [first, last] = [addDays(localDate(run.from, zone), -1), localDate(run.to, zone)]
    const walk = startTrialWalk({
      run,
      holds: silentAfter(sensor),
      isAir: layout.roles[s]?.isAir ?? false,
      skips,
      plugs,
      nights: nightsBetween(first, last, zone, here.place.night ?? layout.household.night),
      limits,
    })
    let hourly = 0
    for (let start = run.from; start < run.to; start = later(start, chunk)) {
      if (start > run.from) await pause()
      const part = { from: start, to: Math.min(run.to, start + chunk) as Instant }
      const good = history
        .readings(sensor.id, 'temperature', part.from, part.to)
        .filter(({ quality }) => quality === 'good')
      for (const { at, value } of good) walkTrial(walk, { at, celsius: value })
      for (const hour of thinnedIn(part, sensor.id, good)) hourly += countedOf(hour, skips)
    }
    endTrialWalk(walk)
    return { sensor, place, walk, hourly: millis(hourly) }
  }

  /** Hours that hold more than the single readings that are left of them. */
  function thinnedIn(
    { from, to }: Stretch,
    sensor: SensorId,
    good: readonly { readonly at: Instant }[],
  ): readonly Stretch[] {
    const hours = hoursOf(from, to)
    const summaries = store.summaries(sensor, 'temperature', hours, house.zonesOf)
    return hours.filter((hour, i) => {
      const left = good.filter(({ at }) => at >= hour.from && at < hour.to).length
      return (summaries[i]?.readings ?? 0) > left
    })
  }
}

const placeIn = (layout: Layout, id: PlaceId): PlaceLayout | null =>
  layout.places[layout.placeIndex.get(id) ?? -1] ?? null

/** Thermometers of the place and of what stands in it. A contact's own is no air's. */
const sensorsWithin = (layout: Layout, { within }: PlaceLayout): readonly number[] =>
  within.flatMap((p) =>
    (layout.places[p]?.sensors ?? []).filter((s) => layout.sensors[s]?.type !== 'contact'),
  )

/** The nearest thermometer in the air around the place, that was ever heard. */
function roomSensor(layout: Layout, { around }: PlaceLayout, store: Pick<Store, 'span'>): number | null {
  for (const p of around)
    for (const s of layout.places[p]?.sensors ?? []) {
      const spec = layout.sensors[s]
      if (spec?.spot === 'air' && store.span(spec.id, 'temperature') !== null) return s
    }
  return null
}

function animalsDown(layout: Layout, here: PlaceLayout, at: Instant): readonly string[] {
  return here.within.flatMap((p) =>
    (layout.places[p]?.own ?? []).flatMap(({ animal }) =>
      ['coolDown', 'hold', 'warmUp'].includes(phaseAt(animal, at).phase) ? [animal.name] : [],
    ),
  )
}

/** Those asked for; else those of the household's animals that go down; else all that may. */
function speciesFor(
  layout: Layout,
  catalogued: readonly SpeciesProfile[],
  { within }: PlaceLayout,
  wanted: readonly SpeciesId[] | null,
): Outcome<readonly SpeciesProfile[], 'noSuchSpecies'> {
  const catalogue = [...catalogued, ...layout.household.profiles]
  if (wanted !== null) {
    const unknown = wanted.find((id) => !catalogue.some((profile) => profile.id === id))
    if (unknown !== undefined)
      return {
        ok: false,
        error: 'noSuchSpecies',
        sentence: say('No profile is known for the species {unknown}.', { unknown }),
      }
    return { ok: true, value: catalogue.filter(({ id }) => wanted.includes(id)) }
  }
  const down = layout.household.animals.filter(({ mode }) => mode === 'goesDown')
  const inside = down.filter(
    ({ place }) => place !== null && within.includes(layout.placeIndex.get(place) ?? -1),
  )
  const meant = inside.length > 0 ? inside : down
  const theirs = catalogue.filter(
    ({ id, hold }) => hold !== undefined && meant.some(({ species }) => species === id),
  )
  return { ok: true, value: theirs.length > 0 ? theirs : catalogue.filter(({ hold }) => hold !== undefined) }
}

const noSuchPlace = { ok: false, error: 'noSuchPlace', sentence: say('There is no such place.') } as const

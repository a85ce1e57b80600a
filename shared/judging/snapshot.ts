import type { Alarm } from '../../schemas/alarm.ts'
import type { Household } from '../../schemas/household.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import type { ProfileOf } from './layout.ts'
import { nothingTold, type TellingState } from '../telling/telling-state.ts'
import { rulesAt } from './place-rules.ts'
import { type PackedThermal, packThermal, unpackThermal } from './thermal-pack.ts'
import { startWatch } from './watch.ts'
import type { PlaceWatch, SensorWatch, SeriesWatch, Tending, WatchState } from './watch-state.ts'

/** The watch, and what was said about it, as text (L7): everything but what follows from the household. */
export function toSnapshot(state: WatchState, telling: TellingState = nothingTold): string {
  const kept: Kept = {
    version: 4,
    at: state.at,
    listeningSince: state.listeningSince,
    sensors: state.sensors.map((sensor) => withThermal(sensor, packThermal)),
    places: state.places.map(({ rules: _, ...place }) => place),
    alarms: [...state.alarms.values()],
    tendings: state.tendings,
    stages: state.stages,
    telling,
  }
  return JSON.stringify(kept)
}

/** The watch as it was when the snapshot was made. Throws when the text is not a snapshot of this version. */
export function fromSnapshot(text: string, household: Household, profileOf: ProfileOf): WatchState {
  const kept = read(text)
  const fresh = startWatch(household, profileOf, kept.at)
  return {
    ...fresh,
    listeningSince: kept.listeningSince,
    sensors: fresh.sensors.map((sensor) => {
      const known = kept.sensors.find((one) => one.id === sensor.id)
      return known !== undefined && known.place === sensor.place ? withThermal(known, unpackThermal) : sensor
    }),
    places: fresh.places.map((place, p): PlaceWatch => {
      const here = fresh.layout.places[p]
      const known = kept.places.find((one) => one.id === place.id)
      const rules = here === undefined ? place.rules : rulesAt(here, household.guidance, kept.at)
      return { ...place, ...known, rules }
    }),
    alarms: new Map(kept.alarms.map((alarm) => [alarm.id, { ...alarm, contact: alarm.contact ?? null }])),
    tendings: kept.tendings,
    stages: kept.stages ?? {},
  }
}

/** What had been said when the snapshot was made; version 1 knew of no telling, 2 of no stages, 3 of no curves. */
export const tellingIn = (text: string): TellingState => read(text).telling ?? nothingTold

/** How far time had been judged when the snapshot was made. */
export const instantIn = (text: string): Instant => read(text).at

function read(text: string): Kept {
  const kept = JSON.parse(text) as Kept
  if (![1, 2, 3, 4].includes(kept.version))
    throw new Error(`The kept state has version ${String(kept.version)}; this program knows 1 to 4.`)
  return kept
}

/** A sensor whose curves are remembered as `Thermal`. */
type SensorKept<Thermal> = Omit<SensorWatch, 'series'> & {
  readonly series: {
    readonly [quantity in Quantity]?: Omit<SeriesWatch, 'thermal'> & { readonly thermal?: Thermal }
  }
}

/** The same sensor with what is remembered of its curves in its other form. */
function withThermal<From, To>(sensor: SensorKept<From>, turn: (thermal: From) => To): SensorKept<To> {
  const entries = Object.entries(sensor.series).map(([quantity, { thermal, ...one }]) => [
    quantity,
    thermal === undefined ? one : { ...one, thermal: turn(thermal) },
  ])
  return { ...sensor, series: Object.fromEntries(entries) as SensorKept<To>['series'] }
}

interface Kept {
  readonly version: 1 | 2 | 3 | 4
  readonly at: Instant
  readonly listeningSince: Instant
  readonly sensors: readonly SensorKept<PackedThermal>[]
  readonly places: readonly Omit<PlaceWatch, 'rules'>[]
  readonly alarms: readonly (Omit<Alarm, 'contact'> & Partial<Pick<Alarm, 'contact'>>)[]
  readonly tendings: readonly Tending[]
  readonly stages?: WatchState['stages']
  readonly telling?: TellingState
}

import type { Alarm } from '../../schemas/alarm.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import type { ProfileOf } from './layout.ts'
import { rulesAt } from './place-rules.ts'
import { startWatch } from './watch.ts'
import type { PlaceWatch, SensorWatch, Tending, WatchState } from './watch-state.ts'

/** The watch as text (L7): everything but what follows from the household. */
export function toSnapshot(state: WatchState): string {
  const kept: Kept = {
    version: 1,
    at: state.at,
    listeningSince: state.listeningSince,
    sensors: state.sensors,
    places: state.places.map(({ id, unwatchedSince, wasWatched }) => ({ id, unwatchedSince, wasWatched })),
    alarms: [...state.alarms.values()],
    tendings: state.tendings,
  }
  return JSON.stringify(kept)
}

/** The watch as it was when the snapshot was made. Throws when the text is not a snapshot of this version. */
export function fromSnapshot(text: string, household: Household, profileOf: ProfileOf): WatchState {
  const kept = JSON.parse(text) as Kept
  if (kept.version !== 1)
    throw new Error(`The kept state has version ${String(kept.version)}; this program knows 1.`)
  const fresh = startWatch(household, profileOf, kept.at)
  return {
    ...fresh,
    listeningSince: kept.listeningSince,
    sensors: fresh.sensors.map((sensor) => {
      const known = kept.sensors.find((one) => one.id === sensor.id)
      return known !== undefined && known.place === sensor.place ? known : sensor
    }),
    places: fresh.places.map((place, p): PlaceWatch => {
      const here = fresh.layout.places[p]
      const known = kept.places.find((one) => one.id === place.id)
      const rules = here === undefined ? place.rules : rulesAt(here, household.guidance, kept.at)
      return { ...place, ...known, rules }
    }),
    alarms: new Map(kept.alarms.map((alarm) => [alarm.id, alarm])),
    tendings: kept.tendings,
  }
}

interface Kept {
  readonly version: 1
  readonly at: Instant
  readonly listeningSince: Instant
  readonly sensors: readonly SensorWatch[]
  readonly places: readonly Omit<PlaceWatch, 'rules'>[]
  readonly alarms: readonly Alarm[]
  readonly tendings: readonly Tending[]
}

import type { Alarm } from '../../schemas/alarm.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import { forgetSingles } from './disagreement.ts'
import { layOut, type ProfileOf } from './layout.ts'
import { startInside } from './limit.ts'
import { holdBy, rulesAt } from './place-rules.ts'
import { applyTo, type Draft } from './raising.ts'
import { settleThermal } from './thermal-alarms.ts'
import { fittedTo } from './thermal-state.ts'
import type { ThermalRole } from './thermal-role.ts'
import type { PlaceWatch, SensorWatch, WatchState } from './watch-state.ts'
import { say } from '../words/say.ts'

/** Takes a changed household in: what is still there keeps its memory, what is gone ends its alarms. */
export function rehouse(draft: Draft, household: Household, profileOf: ProfileOf, at: Instant): void {
  const before = draft.state
  const layout = layOut(household, profileOf)
  draft.state = {
    ...before,
    layout,
    sensors: household.sensors.map((spec, s) =>
      fitted(sensorWatch(before, spec.id, spec.place, at), layout.roles[s] ?? null),
    ),
    places: layout.places.map((here): PlaceWatch => {
      const known = before.places.find((place) => place.id === here.place.id)
      return {
        id: here.place.id,
        rules: rulesAt(here, household.guidance, at),
        unwatchedSince: known?.unwatchedSince ?? null,
        wasWatched: known?.wasWatched ?? false,
        ...(known?.apart === undefined ? {} : { apart: known.apart }),
      }
    }),
    tendings: before.tendings.filter((tending) => layout.placeIndex.has(tending.place)),
  }
  for (const alarm of before.alarms.values()) if (isGone(draft.state, alarm)) forget(draft, alarm, at)
  layout.places.forEach((_, p) => {
    forgetSingles(draft, p, at)
    holdBy(draft, p, at)
    settleThermal(draft, p, at, [])
  })
}

function sensorWatch(
  before: WatchState,
  id: SensorWatch['id'],
  place: SensorWatch['place'],
  at: Instant,
): SensorWatch {
  const known = before.sensors.find((sensor) => sensor.id === id)
  if (known === undefined)
    return { id, place, since: at, heardAt: null, silent: false, series: {}, lastKnown: {}, clockAhead: null }
  if (known.place === place) return known
  const series = Object.fromEntries(
    Object.entries(known.series).map(([quantity, { thermal: _, ...one }]) => [
      quantity,
      { ...one, limits: one.limits.map(() => startInside) },
    ]),
  )
  const { battery: _, ...rest } = known
  return { ...rest, place, series, silent: false, since: at }
}

/** What is remembered of its curves, as far as they are still read for the same. */
function fitted(sensor: SensorWatch, role: ThermalRole | null): SensorWatch {
  if (Object.values(sensor.series).every(({ thermal }) => thermal === undefined)) return sensor
  const series = Object.fromEntries(
    Object.entries(sensor.series).map(([quantity, { thermal, ...one }]) => {
      const kept = fittedTo(thermal, role)
      return [quantity, kept === undefined ? one : { ...one, thermal: kept }]
    }),
  )
  return { ...sensor, series }
}

/** Its place or sensor is no longer there, or the sensor has moved away from the place that the alarm names. */
function isGone(state: WatchState, alarm: Alarm): boolean {
  if (alarm.contact !== null) return !state.layout.household.contacts.some(({ id }) => id === alarm.contact)
  if (alarm.place !== null && !state.layout.placeIndex.has(alarm.place)) return true
  if (alarm.sensor === null) return false
  const s = state.layout.sensorIndex.get(alarm.sensor)
  return s === undefined || (state.sensors[s]?.place ?? null) !== alarm.place
}

function forget(draft: Draft, alarm: Alarm, at: Instant): void {
  applyTo(draft, alarm, { kind: 'cameBack', at, value: null, text: say('It was moved or removed.') })
  const alarms = new Map(draft.state.alarms)
  alarms.delete(alarm.id)
  draft.state = { ...draft.state, alarms }
  draft.effects.push({ kind: 'alarm', alarm: { ...alarm, state: { name: 'normal' } } })
}

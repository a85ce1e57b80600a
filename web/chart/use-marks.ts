import { useSignal } from '@preact/signals'
import { useEffect, useMemo } from 'preact/hooks'
import type { JournalLine, NightCurve, PlaceNow, Series } from '../../schemas/api.ts'
import type { Band } from '../../schemas/band.ts'
import type { Household } from '../../schemas/household.ts'
import { minutes } from '../../schemas/amounts.ts'
import { doorOf } from '../../shared/air/one-door.ts'
import { roleOf, type ThermalRole } from '../../shared/judging/thermal-role.ts'
import { pathTo, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import type { Opening } from '../words/thermal-words.ts'
import { type AirColumns, animalLine, noAir } from './animal-side.ts'
import { openedIn } from './chart-data.ts'
import { coolingRuns } from './cooling-runs.ts'
import { faultsIn, faultsOn } from './faults.ts'
import { type Guarded, type Marks, noMarks } from './marks.ts'

/** What the page of a place knows of its past. */
export interface PlaceLines {
  readonly openings: readonly Opening[]
  /** Of the journal, about this place and those behind its door. */
  readonly lines: readonly JournalLine[]
}

/** What is drawn beside the curve of `place`. */
export function useMarks(place: PlaceNow, curve: NightCurve | null, told: PlaceLines): Marks {
  const { household, tonight } = usePage()
  const home = household.value
  const found = useMemo(
    () => (curve?.quantity === 'temperature' ? rolesOf(curve, home) : noRoles),
    [curve?.place, curve?.quantity, sensorsOf(curve), home],
  )
  // A household that comes anew is mostly the old one
  const roles = useMemo(() => found, [JSON.stringify([...found])])
  const before = useAirBefore(curve, roles)
  const bands = place.bands
  const isLearnt = place.thermal?.cycle?.isLearnt === true
  const alarms = tonight.value?.alarms ?? []
  const fridge = doorOf(place.id, tonight.value?.places ?? [])?.id
  return useMemo(() => {
    if (curve === null) return noMarks
    const air = curve.series.find(({ sensor }) => roles.get(sensor)?.isAir === true)
    const faults = faultsIn(
      told.lines,
      alarms,
      new Set([place.id, ...(fridge === undefined ? [] : [fridge])]),
    )
    return {
      animals: curve.series.flatMap(({ sensor, columns }) => {
        const follows = roles.get(sensor)?.follows
        if (follows?.by !== 'animalLag') return []
        return [animalLine(sensor, before.get(sensor) ?? noAir, columns, follows.tau)]
      }),
      guards: guardsOf(bands[curve.quantity]),
      doors: openedIn(curve.night, told.openings),
      runs: isLearnt && air !== undefined ? coolingRuns(air.columns) : [],
      faults: faultsOn(faults, curve.night, curve.quantity),
    }
  }, [curve, told.lines, told.openings, roles, before, bands, isLearnt, alarms, fridge, place.id])
}

const noRoles: ReadonlyMap<string, ThermalRole> = new Map()

const sensorsOf = (curve: NightCurve | null): string =>
  (curve?.series ?? []).map(({ sensor }) => sensor).join(' ')

/** What each curve is read for, as the daemon has it. */
function rolesOf(curve: NightCurve, household: Household | null): ReadonlyMap<string, ThermalRole> {
  const roles = new Map<string, ThermalRole>()
  if (household === null) return roles
  const { places, sensors } = household
  const sensorsIn = (id: string) => sensors.filter((sensor) => sensor.place === id)
  for (const { sensor: id } of curve.series) {
    const sensor = sensors.find((one) => one.id === id)
    const place = places.find((one) => one.id === sensor?.place)
    if (sensor === undefined || place === undefined) continue
    const around = []
    const seen = new Set<string>([place.id])
    for (let next = place.parent; next !== null && !seen.has(next); ) {
      seen.add(next)
      const outer = places.find((one) => one.id === next)
      if (outer === undefined) break
      around.push({ place: outer, sensors: sensorsIn(outer.id) })
      next = outer.parent
    }
    const role = roleOf(sensor, { place, mates: sensorsIn(place.id), around })
    if (role !== null) roles.set(id, role)
  }
  return roles
}

/** A little more than the three time constants after which an estimate is settled. */
const constantsBefore = 3.5
/** Columns of the time before: finer than what counts as a gap, coarser than needed for what lags by hours. */
const beforeEvery = minutes(5)

/** The air of the time before the night, for what follows it; fetched once for each. Without it the lines begin later. */
function useAirBefore(
  curve: NightCurve | null,
  roles: ReadonlyMap<string, ThermalRole>,
): ReadonlyMap<string, AirColumns> {
  const page = usePage()
  const air = useSignal<ReadonlyMap<string, AirColumns>>(new Map())
  const from = curve?.night.from
  useEffect(() => {
    let isCurrent = true
    air.value = new Map()
    if (from === undefined) return undefined
    for (const [sensor, { follows }] of roles) {
      if (follows?.by !== 'animalLag' || follows.tau === 0) continue
      const length = Math.ceil(follows.tau * constantsBefore)
      const columns = Math.max(2, Math.ceil(length / beforeEvery))
      const path =
        pathTo('sensors', sensor, 'series') +
        query({ quantity: 'temperature', from: from - length, to: from, columns })
      void page.ask<Series>('GET', path).then((answer) => {
        if (isCurrent && answer.ok) air.value = new Map(air.peek()).set(sensor, answer.value.columns)
      })
    }
    return () => {
      isCurrent = false
    }
  }, [from, roles])
  return air.value
}

function guardsOf(band: Band | undefined): Guarded[] {
  if (band === undefined) return []
  return (['lowCritical', 'low', 'high', 'highCritical'] as const).flatMap((name) => {
    const limit = band[name]
    return limit?.guarded === undefined || limit.guarded === limit.value
      ? []
      : [{ name, limit: limit.value, guarded: limit.guarded }]
  })
}

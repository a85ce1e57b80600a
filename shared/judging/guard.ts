import type { Limit } from '../../schemas/band.ts'
import { days, instant, later } from '../../schemas/amounts.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { rawOf } from '../sensing/calibration.ts'
import { guardedLimit } from '../sensing/conformance.ts'
import { budgetOf } from '../sensing/uncertainty.ts'
import { doubtClearFor, doubtFor } from './guard-figures.ts'
import type { JudgedLimit } from './limit.ts'

/** From when on a sensor's temperatures may be off by this much, ±, K (expanded uncertainty, k = 2). */
export interface Guard {
  readonly from: Instant
  readonly expanded: number
}

const year = days(365)
/** After as many years without a check its maker's ± is taken for the drift. Derived: 0.1 K a year is a kelvin by then. */
const yearsFollowed = 10

/**
 * How far a sensor may be off near freezing, in steps of time, oldest first: by its data sheet, or by the calibration in
 * force and the drift since (L9). Of each year after a check its end counts, so that nothing moves between two readings.
 */
export function guardsOf(
  sensor: Pick<Sensor, 'type' | 'accuracy' | 'placement' | 'calibrations'>,
): readonly Guard[] {
  const checks = sensor.calibrations
    .filter(({ quantity }) => quantity === 'temperature')
    .toSorted((one, other) => one.from - other.from)
  const unchecked = { from: instant(0), expanded: budgetAt(instant(0), 0) }
  function budgetAt(at: Instant, raw: number): number {
    return budgetOf(sensor, 'temperature', { at, raw }).expanded
  }
  return checks.reduce<readonly Guard[]>(
    (guards, check, i) => {
      const next = checks[i + 1]?.from ?? Infinity
      const raw = rawOf([check], 'temperature', check.from, 0)
      const years = Array.from({ length: yearsFollowed }, (_, k) => ({
        from: later(check.from, k * year),
        // The end of that year, but never past the next check: from there on another one is in force.
        end: later(check.from, Math.min((k + 1) * year, next - 1 - check.from)),
      }))
      const followed = years
        .filter(({ from }) => from < next)
        .map(({ from, end }) => ({ from, expanded: budgetAt(end, raw) }))
      return [...guards.filter(({ from }) => from < check.from), ...followed]
    },
    [unchecked],
  )
}

/** How far the sensor may be off at `at`, ±, K. */
export const guardAt = (guards: readonly Guard[], at: Instant): number =>
  guards.findLast(({ from }) => from <= at)?.expanded ?? 0

/**
 * The limit by which a sensor that may be off by ±`expanded` K is judged: near freezing with the limit of its animals
 * moved inwards by that much, where that comes first (L9). `guarded` is that of the animals; null: none.
 */
export function guardedBy(limit: Limit, guarded: number | null, expanded: number): JudgedLimit {
  if (guarded === null || limit.id !== 'lowCritical' || limit.quantity !== 'temperature') return limit
  const value = guardedLimit('lowCritical', guarded, expanded)
  return value > limit.value
    ? { ...limit, guard: { value, expanded, for: doubtFor, clearFor: doubtClearFor } }
    : limit
}

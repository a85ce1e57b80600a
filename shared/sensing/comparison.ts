import type { CalibratedQuantity, Reference } from '../../schemas/calibration.ts'
import type { SensorType } from '../../schemas/sensor.ts'
import { dataSheets } from './data-sheet.ts'
import { steadyWithin } from './ice-point.ts'
import { type IceReading, meanOf, readingsForSteady, scatterOf, withReading } from './ice-point-readings.ts'
import { coverageFactor } from './coverage.ts'
import { resolutionLine } from './uncertainty.ts'

/** The newest readings of a sensor beside something known. */
export interface Shown {
  readonly mean: number
  readonly scatter: number
  readonly spread: number
  readonly readings: number
  /** Five of them, and near enough to each other to be compared. */
  readonly isSteady: boolean
}

/** What a hygrometer at rest still wanders, %RH, ends included. Common practice, no source. */
export const steadyHumidity = 1

/** A comparison needs no better rest than this many of the ice point's bounds: no room is as still as ice. Derived. */
const roomFactor = 2

/** The last five readings, thirty seconds apart at least; null before the first. */
export function shownBy(
  readings: readonly IceReading[],
  quantity: CalibratedQuantity,
  type: SensorType,
): Shown | null {
  const kept = readings.reduce<readonly IceReading[]>(withReading, []).slice(-readingsForSteady)
  if (kept.length === 0) return null
  const raws = kept.map(({ raw }) => raw)
  const spread = Math.max(...raws) - Math.min(...raws)
  const within = quantity === 'temperature' ? roomFactor * steadyWithin(type) : steadyHumidity
  return {
    mean: meanOf(kept),
    scatter: scatterOf(kept),
    spread,
    readings: kept.length,
    isSteady: kept.length === readingsForSteady && spread <= within + rounding,
  }
}

/**
 * One point of a comparison. `expanded` is ± of the true value with k = 2, as certificates give it; what the sensor shows
 * adds its step and its scatter, as squares (GUM 5.1.2, 4.2.3).
 */
export function referenceOf(
  shown: Shown,
  truth: { readonly value: number; readonly expanded: number },
  quantity: CalibratedQuantity,
  type: SensorType,
): Reference {
  const step = resolutionLine(dataSheets[quantity][type].resolution).u
  const mean = shown.scatter / Math.sqrt(shown.readings)
  return {
    raw: shown.mean,
    true: truth.value,
    uncertainty: Math.hypot(truth.expanded / coverageFactor, step, mean),
  }
}

/** Sums of binary fractions: a spread of exactly the bound must not fail by its last bit. */
const rounding = 1e-9

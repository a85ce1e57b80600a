import type { Calibration, CalibratedQuantity, Reference } from '../../schemas/calibration.ts'
import { leastGain, mostGain, mostOffset } from '../../schemas/calibration-bounds.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { say } from '../words/say.ts'

/** What a comparison with the truth gives; with an instant, a method and a person it is a calibration. */
export type Correction = Pick<Calibration, 'gain' | 'offset' | 'uncertainty' | 'references'>

type CorrectionError = 'notNumbers' | 'pointsTooClose' | 'gainTooFar' | 'offsetTooFar'

export type CorrectionResult =
  | { readonly ok: true; readonly value: Correction }
  | { readonly ok: false; readonly error: CorrectionError; readonly sentence: string }

/**
 * Two points nearer than this (raw, in the quantity's unit) are refused. Derived: beyond them the uncertainty grows with
 * the distance; with points 5 K apart, each known to 0.1 K, it is 0.36 K at 10 K beyond: no better than a data sheet.
 */
const closestPoints: Readonly<Record<CalibratedQuantity, number>> = { temperature: 5, humidity: 20 }

/** A larger correction than this at a point, either way, is refused. Derived: more than twice the worst data sheet's error. */
const largestCorrection: Readonly<Record<CalibratedQuantity, number>> = {
  temperature: 5,
  humidity: 20,
}

/** The calibration in force: of this quantity the newest that is not after `at`. Null before the first. */
export function calibrationAt(
  calibrations: readonly Calibration[],
  quantity: Quantity,
  at: Instant,
): Calibration | null {
  let found: Calibration | null = null
  for (const one of calibrations) {
    if (one.quantity === quantity && one.from <= at && (found === null || one.from > found.from)) found = one
  }
  return found
}

/**
 * The corrected value of a raw one; the raw one itself where no calibration is in force. Not held to the quantity's
 * range: a wet hygrometer may come out at 103 %.
 */
export function calibrated(
  calibrations: readonly Calibration[],
  quantity: Quantity,
  at: Instant,
  raw: number,
): number {
  const calibration = calibrationAt(calibrations, quantity, at)
  return calibration === null ? raw : calibration.gain * raw + calibration.offset
}

/** What the sensor showed when the corrected value is `value`: the inverse of `calibrated`. */
export function rawOf(
  calibrations: readonly Calibration[],
  quantity: Quantity,
  at: Instant,
  value: number,
): number {
  const calibration = calibrationAt(calibrations, quantity, at)
  return calibration === null ? value : (value - calibration.offset) / calibration.gain
}

/** An offset only, from one comparison; the same everywhere, as far as one point can tell. */
export function onePoint(quantity: CalibratedQuantity, reference: Reference): CorrectionResult {
  return checked(quantity, {
    gain: 1,
    offset: reference.true - reference.raw,
    uncertainty: reference.uncertainty,
    references: [reference],
  })
}

/** An offset that somebody else has found, as a certificate gives it, with its standard uncertainty (k = 1). */
export function enteredOffset(
  quantity: CalibratedQuantity,
  offset: number,
  uncertainty: number,
): CorrectionResult {
  const result = onePoint(quantity, { raw: 0, true: offset, uncertainty })
  return result.ok ? { ok: true, value: { ...result.value, references: [] } } : result
}

/** The straight line through two comparisons, in either order. `uncertainty` is the larger of theirs. */
export function twoPoint(quantity: CalibratedQuantity, one: Reference, other: Reference): CorrectionResult {
  const [low, high] = one.raw <= other.raw ? [one, other] : [other, one]
  const apart = closestPoints[quantity]
  if (high.raw - low.raw < apart) {
    const unit = unitOf[quantity]
    return refused(
      'pointsTooClose',
      say('The two points must be at least {apart} {unit} apart.', { apart, unit }),
    )
  }
  const gain = (high.true - low.true) / (high.raw - low.raw)
  return checked(quantity, {
    gain,
    offset: low.true - gain * low.raw,
    uncertainty: Math.max(low.uncertainty, high.uncertainty),
    references: [low, high],
  })
}

/**
 * Standard uncertainty of the correction at a raw value. With two references the corrected value is w₁y₁ + w₂y₂, a
 * weighted mean between them, so by JCGM 100:2008 (GUM) 5.1.2 for uncorrelated inputs u² = (w₁u₁)² + (w₂u₂)²: smaller
 * between the points, growing beyond them. Else it is the calibration's own, everywhere.
 */
export function correctionUncertainty(
  { references, uncertainty }: Pick<Calibration, 'references' | 'uncertainty'>,
  raw: number,
): number {
  const [one, other] = references
  if (one === undefined || other === undefined) return uncertainty
  const share = (raw - one.raw) / (other.raw - one.raw)
  return Math.hypot((1 - share) * one.uncertainty, share * other.uncertainty)
}

const unitOf: Readonly<Record<CalibratedQuantity, string>> = { temperature: 'K', humidity: '%' }

/** What no correction may be: a value of its own, for the keeper has typed it. */
function checked(quantity: CalibratedQuantity, correction: Correction): CorrectionResult {
  const { gain, offset, uncertainty, references } = correction
  const numbers = [gain, offset, uncertainty, ...references.map((reference) => reference.uncertainty)]
  if (!numbers.every(Number.isFinite) || references.some((reference) => reference.uncertainty < 0)) {
    return refused('notNumbers', say('Each point needs what was shown, what was true, and how sure that is.'))
  }
  const most = largestCorrection[quantity]
  const isFar = references.some((reference) => Math.abs(reference.true - reference.raw) > most)
  if (isFar || Math.abs(offset) > mostOffset) {
    const bound = say('A correction may be {most} {part} at most', { most, part: unitOf[quantity] })
    return refused(
      'offsetTooFar',
      say('{bound}: this looks like a broken sensor rather than a need of correction.', { bound }),
    )
  }
  if (gain < leastGain || gain > mostGain) {
    return refused(
      'gainTooFar',
      say(
        'The two points do not fit one sensor: this looks like a broken sensor rather than a need of correction.',
      ),
    )
  }
  return { ok: true, value: correction }
}

const refused = (error: CorrectionError, sentence: string): CorrectionResult => ({
  ok: false,
  error,
  sentence,
})

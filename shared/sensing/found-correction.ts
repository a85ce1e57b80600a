import type { FoundCorrection } from '../../schemas/sensor-check.ts'
import { type CorrectionResult, enteredOffset, onePoint, twoPoint } from './calibration.ts'

/** The correction that somebody's points make, or the one given without points; refused where it cannot be right. */
export function correctionOf(found: FoundCorrection): CorrectionResult {
  const [one, other] = found.references
  if (one !== undefined && other !== undefined) return twoPoint(found.quantity, one, other)
  if (one !== undefined) return onePoint(found.quantity, one)
  const { offset, uncertainty } = found.method === 'entered' ? found : noFigures
  return enteredOffset(found.quantity, offset ?? Number.NaN, uncertainty ?? Number.NaN)
}

const noFigures = { offset: undefined, uncertainty: undefined }

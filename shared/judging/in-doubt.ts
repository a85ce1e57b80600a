import type { Alarm } from '../../schemas/alarm.ts'
import { chanceTrueBelow } from '../sensing/conformance.ts'
import { coverageFactor } from '../sensing/uncertainty.ts'

/** Whether the value is short of the limit itself, and only the sensor's uncertainty made the alarm ring (L9). */
export function isInDoubt({
  value,
  threshold,
  guarded,
}: Pick<Alarm, 'value' | 'threshold' | 'guarded'>): boolean {
  return guarded !== undefined && value !== null && threshold !== null && value > threshold
}

/** Chance, 0 to 1, that the true value is past the limit (JCGM 106:2012); null where nothing is in doubt. */
export function chancePast(alarm: Pick<Alarm, 'value' | 'threshold' | 'guarded'>): number | null {
  const { value, threshold, guarded } = alarm
  if (!isInDoubt(alarm) || value === null || threshold === null || guarded === undefined) return null
  return chanceTrueBelow(threshold, { value, u: (guarded - threshold) / coverageFactor })
}

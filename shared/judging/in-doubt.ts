import type { Alarm } from '../../schemas/alarm.ts'
import { chanceTrueBelow } from '../sensing/conformance.ts'
import { coverageFactor } from '../sensing/coverage.ts'

/** What is asked of an alarm, or of a line of the journal about one. */
export type Doubtful = Pick<Alarm, 'value' | 'threshold' | 'guarded' | 'expanded'>

/** Whether the value is short of the limit itself, and only the sensor's uncertainty made the alarm ring (L9). */
export function isInDoubt({ value, threshold, guarded }: Doubtful): boolean {
  return guarded !== undefined && value !== null && threshold !== null && value > threshold
}

/** Whether what is in doubt is a value that nobody would doubt: it only waits to return. */
export const isClearOfDoubt = (alarm: Doubtful): boolean =>
  isInDoubt(alarm) && (alarm.value ?? 0) > (alarm.guarded ?? Infinity)

/** Chance, 0 to 1, that the true value is past the limit (JCGM 106:2012); null where nothing is in doubt. */
export function chancePast(alarm: Doubtful): number | null {
  const { value, threshold, guarded } = alarm
  if (!isInDoubt(alarm) || value === null || threshold === null || guarded === undefined) return null
  // Before the sensor's own figure was kept, the guard's width was all that told it: too small where a keeper's limit lies in it.
  const expanded = alarm.expanded ?? guarded - threshold
  return chanceTrueBelow(threshold, { value, u: expanded / coverageFactor })
}

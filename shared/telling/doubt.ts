import type { Alarm } from '../../schemas/alarm.ts'
import { chancePast } from '../judging/in-doubt.ts'
import { type Units, valueWords } from './words.ts'

/** Why it rang short of its limit, and how likely the truth is past it; empty where nothing is in doubt. */
export function doubtWords(
  alarm: Pick<Alarm, 'value' | 'threshold' | 'guarded' | 'quantity'>,
  units: Units = 'celsius',
): string {
  const chance = chancePast(alarm)
  if (chance === null || alarm.guarded === undefined) return ''
  const inHundred = Math.round(100 * chance)
  const often = inHundred < 1 ? 'fewer than 1' : `about ${inHundred}`
  return `It rings from ${valueWords(alarm.quantity ?? 'temperature', alarm.guarded, units)} on, for this sensor may be off: in ${often} of 100 such cases the truth is past the limit.`
}

import type { Alarm } from '../../schemas/alarm.ts'
import { doubtClearFor } from '../judging/guard-figures.ts'
import { chancePast, type Doubtful, isClearOfDoubt } from '../judging/in-doubt.ts'
import { durationWords, type Units, valueWords } from './words.ts'
import { reader } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** Why it rang short of its limit, and how likely the truth is past it or, clear by now, when it ends; empty where nothing is in doubt. */
export function doubtWords(alarm: Doubtful & Pick<Alarm, 'quantity'>, units: Units = reader().units): string {
  const chance = chancePast(alarm)
  if (chance === null || alarm.guarded === undefined) return ''
  const from = say('from {value} on, for this sensor may be off', {
    value: valueWords(alarm.quantity ?? 'temperature', alarm.guarded, units),
  })
  if (isClearOfDoubt(alarm))
    return say('It rings {from}, and ends once it has been clear of that for {duration}.', {
      from,
      duration: durationWords(doubtClearFor),
    })
  const inHundred = Math.round(100 * chance)
  const often = inHundred < 1 ? say('fewer than 1') : say('about {inHundred}', { inHundred })
  return say('It rings {from}: in {often} of 100 such cases the truth is past the limit.', { from, often })
}

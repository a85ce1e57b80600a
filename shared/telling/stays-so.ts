import type { LimitName } from '../../schemas/band.ts'
import type { OutlookTime } from '../../schemas/outlook.ts'
import { durationWords, sideWords, type Units, valueWords } from './words.ts'
import { say } from '../words/say.ts'

/** When a place meets a limit if its cooling stays as it is. */
export interface StaysSo {
  readonly limit: LimitName
  readonly threshold: number
  readonly time: OutlookTime
  /** Where it would settle, °C. */
  readonly towards: number
  /** The room that it warms towards; null where it is the compressor that does not stop. */
  readonly room: { readonly celsius: number; readonly isMeasured: boolean } | null
}

/** `If it stays so: dangerously warm (10.0 °C) in about 6 h, 4 h to 9 h, taking the room to stay at 14.0 °C (measured).` */
export function staysSoWords({ limit, threshold, time, towards, room }: StaysSo, units: Units): string {
  const where = `${sideWords('temperature', limit)} (${valueWords('temperature', threshold, units)})`
  const given =
    room === null
      ? ''
      : say(', taking the room to stay at {value} ({part})', {
          value: valueWords('temperature', room.celsius, units),
          part: room.isMeasured ? say('measured') : say('assumed'),
        })
  const { likely, least, most } = time
  if (least === null)
    return say('If it stays so: it settles near {value} and is not {where}{given}.', {
      value: valueWords('temperature', towards, units),
      where,
      given,
    })
  if (likely === null)
    return say('If it stays so: perhaps never {where}, at the soonest in {about}{given}.', {
      where,
      about: aboutWords(least),
      given,
    })
  const until = most === null ? say('or never') : say('to {about}', { about: aboutWords(most) })
  return say('If it stays so: {where} in about {about}, {about2} {until}{given}.', {
    where,
    about: aboutWords(likely),
    about2: aboutWords(least),
    until,
    given,
  })
}

/** No finer than it can be known: to five minutes within two hours, a quarter hour within six, then whole hours. */
export function aboutWords(ms: number): string {
  const steps = [
    [2, 5],
    [6, 15],
    [48, 60],
  ] as const
  const step = steps.find(([withinHours]) => ms < withinHours * 3_600_000)?.[1] ?? 360
  const rounded = Math.round(ms / 60_000 / step) * step
  return rounded === 0 ? say('minutes') : durationWords(rounded * 60_000)
}

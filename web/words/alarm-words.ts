import type { Alarm, AlarmState } from '../../schemas/alarm.ts'
import type { PlaceNow, Tonight } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import { doubtWords } from '../../shared/telling/doubt.ts'
import type { Names } from '../../shared/telling/alarm-words.ts'
import { durationWords, limitWords } from '../../shared/telling/words.ts'
import { agoWords } from './ago.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

/** Names by what the page knows now; an id that is gone stands for itself. */
export function namesOf(tonight: Tonight | null, household: Household | null): Names {
  return {
    place: (id) =>
      (tonight?.places.find((one) => one.id === id) ?? household?.places.find((one) => one.id === id))
        ?.name ?? id,
    sensor: (id) => household?.sensors.find((one) => one.id === id)?.name ?? id,
    contact: (id) => household?.contacts.find((one) => one.id === id)?.name ?? id,
  }
}

/** Zone of the place that an alarm is about; the household's, then the first place's, where it is about none. */
export function zoneOf(place: string | null, tonight: Tonight | null, household: Household | null): string {
  const found = tonight?.places.find((one) => one.id === place)
  return found?.timeZone ?? household?.timeZone ?? tonight?.places[0]?.timeZone ?? 'UTC'
}

/** `1.0 °C or below for 1 min: now −0.6 °C`; how long a silent sensor has been so; what a failing part of Brumal says of itself. Empty where there is no more to say. */
export function alarmDetail(alarm: Alarm, tonight: Tonight | null, now: number, tell: Tell): string {
  const place = tonight?.places.find((one) => one.id === alarm.place)
  if (alarm.kind === 'silent') {
    const heard =
      place?.values.filter((value) => value.sensor === alarm.sensor).map((value) => value.at) ?? []
    return heard.length === 0 ? '' : say('Last heard {ago}', { ago: agoWords(now - Math.max(...heard)) })
  }
  if (alarm.text !== undefined) return alarm.text
  if (alarm.kind !== 'limit' || alarm.limit === null || alarm.quantity === null || alarm.threshold === null)
    return ''
  const limit = place?.bands[alarm.quantity]?.[alarm.limit] ?? null
  const edge = { value: alarm.threshold, inclusive: limit?.inclusive ?? true }
  const delay =
    limit === null || limit.for === 0 ? '' : say(' for {duration}', { duration: durationWords(limit.for) })
  const current = valueNow(alarm, place)
  const value =
    current === null
      ? say('no fresh value now')
      : say('now {value}', { value: tell.value(current, alarm.quantity) })
  const doubt = doubtWords({ ...alarm, value: current ?? alarm.value })
  return `${limitWords(alarm.quantity, alarm.limit, edge)}${delay}: ${value}${doubt === '' ? '' : `. ${doubt}`}`
}

/** When the condition began, where the state knows it. */
export const sinceOf = (state: AlarmState): number | null => ('since' in state ? state.since : null)

/** Whether somebody still has to answer. */
export const isUnanswered = (alarm: Alarm): boolean =>
  alarm.state.name === 'unacknowledged' || alarm.state.name === 'returnedUnacknowledged'

/** Whether it is set aside: by a person, or because the place is being tended. */
export const isSetAside = (alarm: Alarm): boolean =>
  alarm.state.name === 'shelved' || alarm.state.name === 'outOfService' || alarm.state.name === 'suppressed'

/** The state as sentences. */
export function stateWords(state: AlarmState, when: (at: number) => string): string {
  const under = 'out' in state ? (state.out ? say(' It still holds.') : say(' Back to normal now.')) : ''
  switch (state.name) {
    case 'normal':
      return say('Normal.')
    case 'unacknowledged':
      return say('Not acknowledged yet.')
    case 'acknowledged':
      return say('Acknowledged by {by} at {time}.', { by: state.by, time: when(state.acknowledgedAt) })
    case 'returnedUnacknowledged':
      return say('Back to normal since {time}, not acknowledged yet.', { time: when(state.returnedAt) })
    case 'shelved':
      return say('Shelved until {time} by {by}: {endStopped}{under}', {
        time: when(state.until),
        by: state.by,
        endStopped: endStopped(state.reason),
        under,
      })
    case 'suppressed':
      return say('Hidden until {time} while {by} tends the place.{under}', {
        time: when(state.until),
        by: state.by,
        under,
      })
    case 'outOfService':
      return say('Out of service since {time}, by {by}: {endStopped}{under}', {
        time: when(state.at),
        by: state.by,
        endStopped: endStopped(state.reason),
        under,
      })
    default:
      return state satisfies never
  }
}

function valueNow(alarm: Alarm, place: PlaceNow | undefined): number | null {
  const values = place?.values.filter((value) => value.quantity === alarm.quantity) ?? []
  const value = values.find((one) => one.sensor === alarm.sensor) ?? values[0]
  return value === undefined || !value.fresh ? null : value.value
}

const endStopped = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`)

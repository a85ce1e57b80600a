import { later } from '../../schemas/amounts.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import type { LiveEvent, NightCurve, Tonight, ValueNow } from '../../schemas/api.ts'

/** Tonight after one live event. An event about something unknown changes nothing. */
export function tonightAfter(tonight: Tonight, event: LiveEvent): Tonight {
  switch (event.kind) {
    case 'value':
      return { ...tonight, places: tonight.places.map((place) => withValue(place, event.value)) }
    case 'alarm':
      return { ...tonight, alarms: withAlarm(tonight.alarms, event.alarm) }
    case 'broker':
      return { ...tonight, broker: event.broker }
    case 'journal':
    case 'source':
    case 'tonight':
      return tonight
    default:
      return event satisfies never
  }
}

/**
 * A curve after a new value; only its own sensor's, inside its night and later than what it holds. A curve that runs on
 * through the day grows with its values.
 */
export function curveAfter(curve: NightCurve, value: ValueNow, runsOn: boolean): NightCurve {
  const { night } = curve
  const isSensorOfIt = curve.series.some((one) => one.sensor === value.sensor)
  if (value.quantity !== curve.quantity || !isSensorOfIt || value.at < night.from) return curve
  if (value.at >= night.to && !runsOn) return curve
  const series = curve.series.map((one) => {
    if (one.sensor !== value.sensor) return one
    if (value.quality !== 'good') {
      return { ...one, bad: [...one.bad, { at: value.at, value: value.value, quality: value.quality }] }
    }
    const { at, low, mean, high } = one.columns
    if (value.at <= (at[at.length - 1] ?? -1)) return one
    const last = value.value
    return {
      ...one,
      columns: { at: [...at, value.at], low: [...low, last], mean: [...mean, last], high: [...high, last] },
    }
  })
  const to = value.at < night.to ? night.to : later(value.at, 1)
  return { ...curve, night: { ...night, to }, series }
}

/** Alarms with one of them replaced, added or, when it is normal again, gone. */
export function withAlarm(alarms: readonly Alarm[], alarm: Alarm): Alarm[] {
  const others = alarms.filter((other) => other.id !== alarm.id)
  if (alarm.state.name === 'normal') return others
  const at = alarms.findIndex((other) => other.id === alarm.id)
  return at === -1 ? [alarm, ...others] : alarms.map((other) => (other.id === alarm.id ? alarm : other))
}

function withValue(place: Tonight['places'][number], value: ValueNow): Tonight['places'][number] {
  const known = place.values.some((old) => isSame(old, value))
  if (!known) return place
  return {
    ...place,
    values: place.values.map((old) => (isSame(old, value) && value.at >= old.at ? value : old)),
  }
}

const isSame = (a: ValueNow, b: ValueNow): boolean => a.sensor === b.sensor && a.quantity === b.quantity

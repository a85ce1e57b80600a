import { later } from '../../schemas/amounts.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import type { LiveEvent, NightCurve, PlaceNow, Tonight, ValueNow } from '../../schemas/api.ts'

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
    case 'diary':
    case 'tonight':
      return tonight
    default:
      return event satisfies never
  }
}

/**
 * Whether the page must ask the daemon what this value means: it is the first of its kind in its place, or it may change
 * how a place stands. How a place stands is judged by the daemon alone.
 */
export function mustAskAbout(tonight: Tonight, event: LiveEvent): boolean {
  if (event.kind !== 'value') return false
  const { value } = event
  const showing = tonight.places.filter((place) => place.values.some((old) => isSame(old, value)))
  const isNew = event.place !== null && !showing.some((place) => place.id === event.place)
  return isNew || showing.some((place) => isDoubtful(place) || isBeyond(place, value))
}

const isDoubtful = (place: PlaceNow): boolean => place.standing === 'unsure' || place.standing === 'leaving'

function isBeyond(place: PlaceNow, value: ValueNow): boolean {
  const band = place.bands[value.quantity]
  if (place.standing !== 'safe' || band === undefined) return false
  if (value.quality !== 'good') return true
  const low = Math.max(band.low?.value ?? -Infinity, band.lowCritical?.value ?? -Infinity)
  const high = Math.min(band.high?.value ?? Infinity, band.highCritical?.value ?? Infinity)
  return value.value <= low || value.value >= high
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

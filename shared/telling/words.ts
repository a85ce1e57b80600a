import type { Band, BandLimit, LimitName, Priority } from '../../schemas/band.ts'
import type { Phase } from '../../schemas/species.ts'
import { unitOf } from '../../schemas/unit-of.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Quality } from '../../schemas/reading.ts'

export const priorityWord: Record<Priority, string> = { low: 'Low', medium: 'Medium', high: 'High' }

export const phaseWord: Record<Phase, string> = {
  feedUp: 'feeding up',
  fast: 'fasting',
  coolDown: 'cooling down',
  hold: 'in hold',
  warmUp: 'warming up',
  awake: 'awake',
}

export const qualityWords: Record<Exclude<Quality, 'good'>, string> = {
  outOfRange: 'outside what this sensor can measure',
  spike: 'a jump that no second reading has confirmed',
  stuck: 'the same value for too long',
  powerOn: 'the value shown before a first conversion',
  busOpen: 'the value of a broken wire',
  busLow: 'the value of a shorted line',
  saturated: 'the end of the sensor’s scale',
  openCircuit: 'the value of a disconnected probe',
  checking: 'its sensor is being checked',
}

export type Units = 'celsius' | 'fahrenheit'

/** A value with its unit, as written on every screen and in every message: `−0.6 °C`, `84 %RH`, `open`. */
export function valueWords(quantity: Quantity, value: number, units: Units = 'celsius'): string {
  if (quantity === 'door') return value >= 1 ? 'open' : 'closed'
  if (quantity === 'power') return value >= 1 ? 'present' : 'absent'
  const isFahrenheit = quantity === 'temperature' && units === 'fahrenheit'
  const digits = quantity === 'temperature' ? 1 : quantity === 'voltage' ? 2 : 0
  const shown = isFahrenheit ? value * 1.8 + 32 : value
  // A value that rounds to minus nothing is written as nothing.
  const rounded = Number(shown.toFixed(digits)) === 0 ? 0 : shown
  return `${rounded.toFixed(digits).replace('-', '−')} ${isFahrenheit ? '°F' : unitOf[quantity]}`
}

/** A length of time in the two largest units that matter: `45 s`, `12 min`, `3 h 20 min`, `2 d 4 h`. */
export function durationWords(ms: number): string {
  const s = Math.max(0, Math.round(ms / 1000))
  if (s < 60) return `${s} s`
  const min = Math.round(s / 60)
  if (min < 60) return `${min} min`
  const h = Math.floor(min / 60)
  if (h < 24) return min % 60 === 0 ? `${h} h` : `${h} h ${min % 60} min`
  const d = Math.floor(h / 24)
  return h % 24 === 0 ? `${d} d` : `${d} d ${h % 24} h`
}

/** `1.0 °C or below`, `above 8.0 °C`. */
export function limitWords(
  quantity: Quantity,
  name: LimitName,
  limit: Pick<BandLimit, 'value' | 'inclusive'>,
): string {
  const low = name === 'lowCritical' || name === 'low'
  const value = valueWords(quantity, limit.value)
  if (limit.inclusive) return `${value} or ${low ? 'below' : 'above'}`
  return `${low ? 'below' : 'above'} ${value}`
}

/** The safe range in one phrase: `safe between 3.0 and 7.0 °C`; empty when nothing is limited. */
export function bandWords(quantity: Quantity, band: Band): string {
  const low = band.low ?? band.lowCritical
  const high = band.high ?? band.highCritical
  if (low !== null && high !== null)
    return `safe between ${valueWords(quantity, low.value).split(' ')[0]} and ${valueWords(quantity, high.value)}`
  if (low !== null) return `safe above ${valueWords(quantity, low.value)}`
  if (high !== null) return `safe below ${valueWords(quantity, high.value)}`
  return ''
}

export function sideWords(quantity: Quantity, limit: LimitName): string {
  if (quantity === 'humidity') {
    const words = {
      lowCritical: 'dangerously dry',
      low: 'too dry',
      high: 'too damp',
      highCritical: 'dangerously damp',
    }
    return words[limit]
  }
  if (quantity === 'temperature') {
    const words = {
      lowCritical: 'dangerously cold',
      low: 'too cold',
      high: 'too warm',
      highCritical: 'dangerously warm',
    }
    return words[limit]
  }
  const words = { lowCritical: 'far too low', low: 'too low', high: 'too high', highCritical: 'far too high' }
  return `${words[limit]} in ${quantity}`
}

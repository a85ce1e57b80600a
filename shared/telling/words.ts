import type { Band, BandLimit, LimitName, Priority } from '../../schemas/band.ts'
import type { Phase } from '../../schemas/species.ts'
import { unitOf } from '../../schemas/unit-of.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Quality } from '../../schemas/reading.ts'
import type { Instant } from '../../schemas/units.ts'
import { clockOf, fahrenheit, fahrenheitApart, inReadersDigits, reader, type Units } from '../words/reader.ts'
import { say } from '../words/say.ts'

export type { Units }

export const priorityWord: Record<Priority, string> = {
  low: say('Low'),
  medium: say('Medium'),
  high: say('High'),
}

export const phaseWord: Record<Phase, string> = {
  feedUp: say('feeding up'),
  fast: say('fasting'),
  coolDown: say('cooling down'),
  hold: say('in hold'),
  warmUp: say('warming up'),
  awake: say('awake'),
}

export const qualityWords: Record<Exclude<Quality, 'good'>, string> = {
  outOfRange: say('outside what this sensor can measure'),
  spike: say('a jump that no second reading has confirmed'),
  stuck: say('the same value for too long'),
  powerOn: say('the value shown before a first conversion'),
  busOpen: say('the value of a broken wire'),
  busLow: say('the value of a shorted line'),
  saturated: say('the end of the sensor’s scale'),
  openCircuit: say('the value of a disconnected probe'),
  checking: say('its sensor is being checked'),
}

/** A value with its unit, as written on every screen and in every message: `−0.6 °C`, `84 %RH`, `open`. */
export function valueWords(quantity: Quantity, value: number, units: Units = reader().units): string {
  if (quantity === 'door') return value >= 1 ? say('open') : say('closed')
  if (quantity === 'power') return value >= 1 ? say('present') : say('absent')
  const isFahrenheit = quantity === 'temperature' && units === 'fahrenheit'
  const digits = quantity === 'temperature' ? 1 : quantity === 'voltage' ? 2 : 0
  const shown = isFahrenheit ? fahrenheit(value) : value
  // A value that rounds to minus nothing is written as nothing.
  const rounded = Number(shown.toFixed(digits)) === 0 ? 0 : shown
  return `${inReadersDigits(rounded.toFixed(digits))} ${isFahrenheit ? '°F' : unitOf[quantity]}`
}

/**
 * By how much warmer or colder, without its sign: `1.9 °C`. Its narrow space tells it from a temperature, which is
 * shifted where it is read in °F (`inReadersUnits`).
 */
export function apartWords(kelvin: number, units: Units = reader().units): string {
  const isFahrenheit = units === 'fahrenheit'
  const shown = Math.abs(isFahrenheit ? fahrenheitApart(kelvin) : kelvin)
  return `${inReadersDigits(shown.toFixed(1))}\u202f${isFahrenheit ? '°F' : '°C'}`
}

/** A length of time in the two largest units that matter: `45 s`, `12 min`, `3 h 20 min`, `2 d 4 h`. */
export function durationWords(ms: number): string {
  const s = Math.max(0, Math.round(ms / 1000))
  if (s < 60) return `${s} s`
  const min = Math.round(s / 60)
  if (min < 60) return say('{min} min', { min })
  const h = Math.floor(min / 60)
  if (h < 24) return min % 60 === 0 ? `${h} h` : say('{h} h {min} min', { h, min: min % 60 })
  const d = Math.floor(h / 24)
  return h % 24 === 0 ? `${d} d` : `${d} d ${h % 24} h`
}

/** `03:12`, `3:12 AM`, in the contact's own zone; with the day when it was not today is for screens, not for three in the morning. */
export const clockWords = (at: Instant, timeZone: string): string => clockOf(at, timeZone)

/** `1.0 °C or below`, `above 8.0 °C`. */
export function limitWords(
  quantity: Quantity,
  name: LimitName,
  limit: Pick<BandLimit, 'value' | 'inclusive'>,
  units: Units = reader().units,
): string {
  const low = name === 'lowCritical' || name === 'low'
  const value = valueWords(quantity, limit.value, units)
  if (limit.inclusive) return low ? say('{value} or below', { value }) : say('{value} or above', { value })
  return low ? say('below {value}', { value }) : say('above {value}', { value })
}

/** The safe range in one phrase: `safe between 3.0 and 7.0 °C`; empty when nothing is limited. */
export function bandWords(quantity: Quantity, band: Band, units: Units = reader().units): string {
  const words = (value: number): string => valueWords(quantity, value, units)
  const low = band.low ?? band.lowCritical
  const high = band.high ?? band.highCritical
  if (low !== null && high !== null)
    return say('safe between {least} and {most}', {
      least: words(low.value).split(' ')[0],
      most: words(high.value),
    })
  if (low !== null) return say('safe above {value}', { value: words(low.value) })
  if (high !== null) return say('safe below {value}', { value: words(high.value) })
  return ''
}

export function sideWords(quantity: Quantity, limit: LimitName): string {
  if (quantity === 'humidity') {
    const words = {
      lowCritical: say('dangerously dry'),
      low: say('too dry'),
      high: say('too damp'),
      highCritical: say('dangerously damp'),
    }
    return words[limit]
  }
  if (quantity === 'temperature') {
    const words = {
      lowCritical: say('dangerously cold'),
      low: say('too cold'),
      high: say('too warm'),
      highCritical: say('dangerously warm'),
    }
    return words[limit]
  }
  const words = {
    lowCritical: say('far too low'),
    low: say('too low'),
    high: say('too high'),
    highCritical: say('far too high'),
  }
  return say('{side} in {quantity}', { side: words[limit], quantity: quantityWord(quantity) })
}

/** A quantity as it stands within a sentence: `humidity`. */
export function quantityWord(quantity: Quantity): string {
  const words: Record<Quantity, string> = {
    temperature: say('temperature'),
    humidity: say('humidity'),
    battery: say('battery'),
    voltage: say('voltage'),
    door: say('door'),
    power: say('power'),
  }
  return words[quantity]
}

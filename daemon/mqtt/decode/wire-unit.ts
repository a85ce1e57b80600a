import type { Quantity } from '../../../schemas/quantity.ts'
import type { WireUnit } from '../../../schemas/sensor.ts'
import { asNumber } from './number-text.ts'
import { refused, taken, type Step } from './decoded.ts'

/** A JSON value or text as a number in the quantity's own unit; without a unit it is taken to be in that unit. */
export function valueFrom(raw: unknown, quantity: Quantity, unit: WireUnit | undefined): Step<number> {
  const isState = quantity === 'door' || quantity === 'power'
  const number = isState ? (stateOf(raw) ?? numberOf(raw)) : numberOf(raw)
  if (number === null) return refused('noNumber')
  const value = inOwnUnit(number, quantity, unit)
  return value === null ? refused('badUnit') : taken(value)
}

/** The number in the quantity's own unit; null when the unit is not one of that quantity. */
export function inOwnUnit(number: number, quantity: Quantity, unit: WireUnit | undefined): number | null {
  if (unit === undefined) return number
  const convert = conversions[quantity][unit]
  return convert === undefined ? null : convert(number)
}

/** 1 or 0 for a boolean or a word that says open or closed, on or off, present or absent; null for anything else. */
export function stateOf(raw: unknown): 0 | 1 | null {
  if (typeof raw === 'boolean') return raw ? 1 : 0
  if (typeof raw !== 'string' || raw.length > MAX_WORD_LENGTH) return null
  return stateWords.get(raw.trim().toLowerCase()) ?? null
}

/** Decimal dust of a conversion is rounded away at a billionth: 75.2 °F is 24 °C, not 24.000000000000004. */
const tidy = (value: number): number => Math.round(value * 1e9) / 1e9

const same = (value: number): number => value
const hundredfold = (value: number): number => tidy(value * 100)

const conversions: Record<Quantity, Partial<Record<WireUnit, (value: number) => number>>> = {
  temperature: {
    celsius: same,
    fahrenheit: (value) => tidy(((value - 32) * 5) / 9),
    kelvin: (value) => tidy(value - 273.15),
  },
  humidity: { percent: same, ratio: hundredfold },
  battery: { percent: same, ratio: hundredfold },
  voltage: { volt: same, millivolt: (value) => value / 1000 },
  door: { boolean: same },
  power: { boolean: same },
}

const MAX_WORD_LENGTH = 20

const stateWords: ReadonlyMap<string, 0 | 1> = new Map<string, 0 | 1>([
  ...['1', 'on', 'true', 'open', 'opened', 'yes', 'present'].map((word) => [word, 1] as const),
  ...['0', 'off', 'false', 'closed', 'close', 'no', 'absent'].map((word) => [word, 0] as const),
])

function numberOf(raw: unknown): number | null {
  if (typeof raw === 'number') return raw
  return typeof raw === 'string' ? asNumber(raw.trim()) : null
}

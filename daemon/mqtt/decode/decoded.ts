import type { Quantity } from '../../../schemas/quantity.ts'
import type { Found, Refusal } from '../../../schemas/source.ts'
import type { Instant } from '../../../schemas/units.ts'

/** What came of a payload: the values that it held, at least one, or the one reason why it was not taken. */
export type Decoded =
  | { readonly ok: true; readonly found: readonly Found[] }
  | { readonly ok: false; readonly refusal: Refusal }

/** A step's value, or the reason why it was not taken. */
export type Step<Value> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly refusal: Refusal }

export const taken = <Value>(value: Value): { readonly ok: true; readonly value: Value } => ({
  ok: true,
  value,
})
export const refused = (refusal: Refusal): { readonly ok: false; readonly refusal: Refusal } => ({
  ok: false,
  refusal,
})

/** Bytes: a thousand SenML records need about 60 000; a device that sends more is broken or hostile (X3). */
export const MAX_PAYLOAD_BYTES = 65_536

/** Characters: as long as a sensor's channel may be (schemas/sensor). */
export const MAX_CHANNEL_LENGTH = 120

/**
 * Collects the values of one payload. A value that cannot be used is left out, so that a battery that reads 255 does
 * not hide the temperature beside it; its reason counts only when nothing else is left.
 */
export interface Gathering {
  readonly found: Found[]
  refusal: Refusal | null
}

export const gathering = (): Gathering => ({ found: [], refusal: null })

/** Adds a value in its quantity's own unit, or notes `outOfBounds`. */
export function gather(
  into: Gathering,
  quantity: Quantity,
  value: number,
  channel: string,
  at: Instant | null,
): void {
  if (isWithinBounds(quantity, value))
    into.found.push({ channel, quantity, value: value + 0, at }) // −0 becomes 0
  else leaveOut(into, 'outOfBounds')
}

/** Notes why a value was left out; the first reason stands. */
export function leaveOut(from: Gathering, refusal: Refusal): void {
  from.refusal ??= refusal
}

export function decodedFrom(gathered: Gathering): Decoded {
  if (gathered.found.length > 0) return { ok: true, found: gathered.found }
  return refused(gathered.refusal ?? 'nothingRecognised')
}

/**
 * What a number must lie in, ends included, to mean anything at all (X3). Wider than any probe, so that the values
 * that a broken one gives can be named later instead of being refused here. Temperature: absolute zero to the top of
 * `Celsius`. Humidity: a raw code misread by a sign or a factor still fits. Battery and on/off: exact. Voltage: mains.
 */
const boundsOf: Record<Quantity, readonly [low: number, high: number]> = {
  temperature: [-273.15, 1000],
  humidity: [-100, 1000],
  battery: [0, 100],
  voltage: [-1000, 1000],
  door: [0, 1],
  power: [0, 1],
}

function isWithinBounds(quantity: Quantity, value: number): boolean {
  const [low, high] = boundsOf[quantity]
  if (!(value >= low && value <= high)) return false // NaN fails both
  return (quantity !== 'door' && quantity !== 'power') || Number.isInteger(value)
}

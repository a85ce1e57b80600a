import type { Quantity } from '../../schemas/quantity.ts'
import type { Quality } from '../../schemas/reading.ts'
import type { SensorType } from '../../schemas/sensor.ts'
import { hours, instant, millis, minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { elements, isNear, otherAlone, powerOnCelsius, showsPowerOn, temperatureAlone } from './elements.ts'

/** What must be remembered of one (sensor, quantity) series. Plain data, always of this shape. */
export interface QualityState {
  /** The last believed value and when it was read; null before the first. */
  readonly good: number | null
  readonly goodAt: Instant
  /** A value that jumped away and waits for the next reading to confirm it. */
  readonly suspect: number | null
  /** The value that has not changed, since when, and in how many readings. */
  readonly run: number | null
  readonly runSince: Instant
  readonly runCount: number
  /** The newest reading that the element could have measured, and the time between it and the one before. */
  readonly at: Instant
  readonly interval: Millis
}

export const noHistory: QualityState = {
  good: null,
  goodAt: instant(0),
  suspect: null,
  run: null,
  runSince: instant(0),
  runCount: 0,
  at: instant(0),
  interval: millis(0),
}

/** A jump of more than this many kelvin asks for a second reading. From the trade's fault list: "step > 10 K in one interval". */
export const spikeStep = 10

/** Intervals since the last believed reading within which such a jump is doubted. Derived: two lost messages are everyday. */
const spikeIntervals = 3

/**
 * After this long a jump is believed at once. Derived: in half an hour a place can truly move 10 K, and a fridge that
 * fails into a 20 °C room passes 8 °C after 27 min, so waiting for a second reading would cost more than it saves.
 */
export const spikeWindow: Millis = minutes(30)

/** A second value within this many kelvin of the first confirms it, ends included. Derived: half the step. */
export const confirmWithin = 5

/** From a believed value farther than this from zero, exactly 0.0 °C asks for a second reading. Derived. */
const zeroStep = 2

/** 85.0 °C is believed from a last value this near, ends included. Derived: no probe of this kind warms faster in air. */
const powerOnStep = 2

/** An identical temperature counts as stuck only after this many readings: a slow sender may repeat itself by chance. */
export const stuckReadings = 60

/** Air that shows 100 %RH for longer than this wets the element; worth a remark, the value stays believed. */
export const saturatedAfter: Millis = hours(12)

/**
 * Judges the next reading of one series: what is now remembered, and whether the reading is believed. A jump is
 * `spike` (or `busLow` for exactly 0.0 °C) until the next reading confirms it, so a real fall is judged one reading
 * late at most. Readings not newer than the last are judged alone and change nothing (L5). The first reading is judged
 * alone. Total: any number gets a verdict.
 */
export function judgeQuality(
  state: QualityState,
  reading: { readonly quantity: Quantity; readonly value: number; readonly at: Instant },
  sensor: { readonly type: SensorType; readonly expectedEvery: Millis },
): readonly [QualityState, Quality] {
  const { quantity, value, at } = reading
  if (quantity !== 'temperature') {
    const alone = otherAlone(quantity, value, sensor.type)
    if (quantity !== 'humidity' || alone !== 'good' || at <= state.at) return [state, alone]
    // A little above 100 is saturated air as well, and one run with it.
    return [remember(state, Math.min(value, 100), at, true), alone]
  }
  const possible = temperatureAlone(value, sensor.type)
  if (possible !== 'good') return [state, possible]
  if (isPowerOn(state.good, value, sensor.type)) return [state, 'powerOn']
  if (at <= state.at) return [state, possible]

  const doubt = doubtOf(state, value, at, sensor)
  if (doubt !== null && !isConfirmed(state, value)) return [remember(state, value, at, false), doubt]
  const next = remember(state, value, at, true)
  const isStuck = next.runCount >= stuckReadings && at - next.runSince >= elements[sensor.type].stuckAfter
  return [next, isStuck ? 'stuck' : 'good']
}

/** The verdict on a reading without its neighbours: range and fault values only. For late readings (L5). */
export function judgeAlone(
  reading: { readonly quantity: Quantity; readonly value: number },
  type: SensorType,
): Quality {
  if (reading.quantity !== 'temperature') return otherAlone(reading.quantity, reading.value, type)
  if (isPowerOn(null, reading.value, type)) return 'powerOn'
  return temperatureAlone(reading.value, type)
}

/** Whether a humidity series has shown 100 %RH or more without a break for longer than 12 h up to its newest reading. */
export function isSaturatedForLong(humidity: QualityState): boolean {
  return humidity.run === 100 && humidity.at - humidity.runSince > saturatedAfter
}

/** 85.0 °C from a probe that starts anew, unless it was as warm as that a reading ago. */
function isPowerOn(good: number | null, value: number, type: SensorType): boolean {
  if (!isNear(value, powerOnCelsius) || !showsPowerOn(type)) return false
  return good === null || Math.abs(value - good) > powerOnStep
}

/** Why a value that the element can measure is not believed yet; null when nothing speaks against it. */
function doubtOf(
  state: QualityState,
  value: number,
  at: Instant,
  sensor: { readonly type: SensorType; readonly expectedEvery: Millis },
): 'spike' | 'busLow' | null {
  if (state.good === null) return null
  const jump = Math.abs(value - state.good)
  if (jump > zeroStep && isNear(value, 0) && elements[sensor.type].zeroFrame) return 'busLow'
  if (jump <= spikeStep) return null
  // A sender slower than it is set up to be is measured by its own pace.
  const pace = Math.max(sensor.expectedEvery, state.interval)
  return at - state.goodAt <= Math.min(spikeIntervals * pace, spikeWindow) ? 'spike' : null
}

/**
 * Whether the reading before points the same way: it lay near, or the value moves on away from the old level by no
 * more than the first jump, as everything that cools or warms by Newton's law does.
 */
function isConfirmed(state: QualityState, value: number): boolean {
  if (state.suspect === null || state.good === null) return false
  const first = state.suspect - state.good
  const second = value - state.suspect
  if (Math.abs(second) <= confirmWithin) return true
  return first * second > 0 && Math.abs(second) <= Math.abs(first)
}

function remember(state: QualityState, value: number, at: Instant, isBelieved: boolean): QualityState {
  const isSame = value === state.run
  return {
    good: isBelieved ? value : state.good,
    goodAt: isBelieved ? at : state.goodAt,
    suspect: isBelieved ? null : value,
    run: value,
    runSince: isSame ? state.runSince : at,
    runCount: isSame ? state.runCount + 1 : 1,
    at,
    interval: state.at === 0 ? millis(0) : millis(at - state.at),
  }
}

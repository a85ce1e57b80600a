import type { Calibration } from '../../schemas/calibration.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { dataSheets } from './data-sheet.ts'
import { judgeAlone } from './quality.ts'
import {
  isCreeping,
  lowestOf,
  meanOf,
  readingsForSteady,
  scatterOf,
  windowOf,
  withReading,
  type IceReading,
} from './ice-point-readings.ts'
import { protectionOf, type Protection } from './ice-point-steps.ts'
import { rectangular, repeatabilityLine, resolutionLine, sumOf, type Budget } from './uncertainty.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** How well the bath is made; see `bathHalfWidth`. */
export type BathQuality = 'kitchen' | 'careful'

/** What does not change during one check. */
interface IceCheck {
  readonly type: Sensor['type']
  readonly bath: BathQuality
  /** When the check was begun, and how long it may take from when the probe is in the bath. */
  readonly since: Instant
  readonly within: Millis
}

export interface IceResult {
  readonly at: Instant
  /** To be added to a raw reading, K. */
  readonly offset: number
  /** Mean of the steady readings, °C, and their number. */
  readonly mean: number
  readonly readings: number
  /** How sure the offset is, line by line; its `u` is the calibration's uncertainty. */
  readonly budget: Budget
}

/** What the keeper should look at; the check goes on. */
export type IceNotice = 'outOfBath' | 'warming'

type IceRefusal = 'notWaterproof' | 'noThermometer' | 'timedOut' | 'offTooFar' | 'stopped'

/**
 * preparing: the bath is being made · settling: the probe is in it · settled: a figure stands and waits for the keeper
 * · done: the keeper took it · refused: no figure. The last two are ends.
 */
export type IceState =
  | { readonly name: 'preparing'; readonly check: IceCheck }
  | {
      readonly name: 'settling'
      readonly check: IceCheck
      readonly immersedAt: Instant
      readonly readings: readonly IceReading[]
      readonly notice: IceNotice | null
    }
  | { readonly name: 'settled'; readonly check: IceCheck; readonly result: IceResult }
  | { readonly name: 'done'; readonly check: IceCheck; readonly result: IceResult }
  | { readonly name: 'refused'; readonly why: IceRefusal; readonly sentence: string }

export type IceEvent =
  | { readonly kind: 'immersed'; readonly at: Instant }
  /** A raw temperature by its own time; must not be corrected by a calibration that is in force. */
  | { readonly kind: 'reading'; readonly at: Instant; readonly raw: number }
  | { readonly kind: 'timePassed'; readonly at: Instant }
  | { readonly kind: 'accept'; readonly at: Instant }
  | { readonly kind: 'stop'; readonly at: Instant }

/**
 * How far the bath may be from 0 °C, ±, K. ASTM E563 baths reach 0.002 K with great care and 0.01 K as routine; with ice
 * and water from the tap 0.05 to 0.1 K. From memory.
 */
export const bathHalfWidth: Readonly<Record<BathQuality, number>> = { kitchen: 0.1, careful: 0.01 }

/** Steady readings lie within one step of the display, as is usual at the ice point (from memory). */
export const steadySteps = 1

/** … but elements finer than this, K, are not held to their step: their own noise is larger (SHT3x: 0.04 K, from memory). */
const finestBound = 0.05

/** A reading this far above the coldest, K, was not taken in the bath. Derived: no bath warms a kelvin in ten minutes. */
const outOfBathAbove = 1

/** Readings this far above the coldest, K or two steps, are those of a bath that warms. Derived: twice a kitchen's ±0.1 K. */
const warmingAbove = 0.2

/** A larger offset, K, is refused; exactly this is taken. Derived: twice the worst thermometer's data sheet, ±1 K. */
const largestOffset = 2

/** A bath, once made, is given up after this long. Derived: the ice of a kitchen's mug lasts about an hour. */
export const longestSettling: Millis = minutes(45)

/** … or after this many of the sensor's intervals, whichever is longer: it needs five readings, and may lose some. */
export const settlingIntervals = 15

/** Making a bath takes half an hour; what was begun and left is given up after this. A design choice. */
export const longestPreparing: Millis = hours(2)

/** Begins a check, or refuses one at once: what is not waterproof must not go into water. */
export function startIcePoint(
  sensor: Pick<Sensor, 'type' | 'expectedEvery'>,
  bath: BathQuality,
  protection: Protection,
  since: Instant,
): IceState {
  const kind = protectionOf(sensor.type)
  switch (kind) {
    case 'noThermometer':
      return refusedFor('noThermometer')
    case 'board':
      if (protection !== 'sealedBag') return refusedFor('notWaterproof')
      break
    case 'probe':
      if (protection === 'none') return refusedFor('notWaterproof')
      break
    default:
      return kind satisfies never
  }
  const within = Math.max(longestSettling, settlingIntervals * sensor.expectedEvery) as Millis
  return { name: 'preparing', check: { type: sensor.type, bath, since, within } }
}

/** Moves a check by one event. Total: an event that a state has no use for changes nothing. */
export function stepIcePoint(state: IceState, event: IceEvent): IceState {
  switch (state.name) {
    case 'preparing':
      if (event.kind === 'stop') return refusedFor('stopped')
      if (event.at - state.check.since > longestPreparing) return refusedFor('timedOut')
      if (event.kind !== 'immersed') return state
      return { name: 'settling', check: state.check, immersedAt: event.at, readings: [], notice: null }
    case 'settling':
      if (event.kind === 'stop') return refusedFor('stopped')
      if (event.at - state.immersedAt > state.check.within) return refusedFor('timedOut')
      return event.kind === 'reading' ? heard(state, event) : state
    case 'settled':
      if (event.kind === 'stop') return refusedFor('stopped')
      return event.kind === 'accept' ? { ...state, name: 'done' } : state
    case 'done':
    case 'refused':
      return state
    default:
      return state satisfies never
  }
}

/** The calibration that a result makes, in force from when it was found. */
export function calibrationOfIcePoint(result: IceResult, by: string): Calibration {
  const { at, offset, mean, budget } = result
  return {
    from: at,
    quantity: 'temperature',
    gain: 1,
    offset,
    uncertainty: budget.u,
    references: [{ raw: mean, true: 0, uncertainty: budget.u }],
    method: 'icePoint',
    by,
  }
}

/** The spread, K, that steady readings of this element may have, ends included. */
export const steadyWithin = (type: Sensor['type']): number =>
  Math.max(steadySteps * stepOf(type), finestBound)

type Settling = Extract<IceState, { name: 'settling' }>

const stepOf = (type: Sensor['type']): number => dataSheets.temperature[type].resolution

/** Sums of binary fractions: a spread of exactly one step must not fail by its last bit. */
const rounding = 1e-9

function heard(state: Settling, { at, raw }: IceReading): IceState {
  const { check, immersedAt } = state
  const newest = state.readings.at(-1)?.at ?? immersedAt
  // Late and repeated readings, and the element's own fault values, say nothing about the bath.
  if (at <= newest || judgeAlone({ quantity: 'temperature', value: raw }, check.type) !== 'good') return state
  const lowest = lowestOf([...state.readings, { at, raw }])
  if (raw > lowest + outOfBathAbove + rounding) {
    return { ...state, readings: withReading(state.readings, { at, raw }), notice: 'outOfBath' }
  }
  const readings = withReading(state.readings, { at, raw })
  // Between two that are kept; only what is kept can become steady.
  if (readings === state.readings) return state.notice === 'outOfBath' ? { ...state, notice: null } : state

  const within = steadyWithin(check.type)
  // Even the coldest of five: one that still falls, or trembles, is not warming.
  const lately = readings.slice(-readingsForSteady).map((reading) => reading.raw)
  const isWarming = Math.min(...lately) > lowest + Math.max(warmingAbove, 2 * stepOf(check.type)) + rounding
  if (isWarming) return { ...state, readings, notice: 'warming' }
  const steady = windowOf(readings)
  if (steady === null || spreadOf(steady) > within + rounding || isCreeping(steady)) {
    return { ...state, readings, notice: null }
  }
  return settled(check, steady, at)
}

function settled(check: IceCheck, steady: readonly IceReading[], at: Instant): IceState {
  const mean = meanOf(steady)
  if (Math.abs(mean) > largestOffset + rounding) {
    return {
      name: 'refused',
      why: 'offTooFar',
      sentence: say(
        'The probe shows {mean} °C where ice stands at 0 °C. Either it is not in the ice, or it is broken: do not correct it.',
        { mean: inReadersDigits(mean.toFixed(1)) },
      ),
    }
  }
  const halfWidth = bathHalfWidth[check.bath]
  const budget = sumOf([
    rectangular(
      'bath',
      halfWidth,
      say('A {bath} bath may be ±{halfWidth} K from 0 °C: ASTM E563, from memory.', {
        bath: check.bath,
        halfWidth,
      }),
    ),
    resolutionLine(stepOf(check.type)),
    // Of a mean of n readings: s / √n (GUM 4.2.3).
    repeatabilityLine(scatterOf(steady) / Math.sqrt(steady.length)),
  ])
  return {
    name: 'settled',
    check,
    // Not −0 for a probe that is right.
    result: { at, offset: 0 - mean, mean, readings: steady.length, budget },
  }
}

function spreadOf(readings: readonly IceReading[]): number {
  const raws = readings.map(({ raw }) => raw)
  return Math.max(...raws) - Math.min(...raws)
}

const sentences: Readonly<Record<Exclude<IceRefusal, 'offTooFar'>, string>> = {
  notWaterproof: say(
    'This must not go into water as it is. Seal it in a bag, or compare it with a thermometer that was checked.',
  ),
  noThermometer: say('This sensor measures no temperature, so ice cannot check it.'),
  timedOut: say('The readings did not come to rest in time. Add ice, stir, and begin again.'),
  stopped: say('The check was stopped. Nothing was changed.'),
}

const refusedFor = (why: Exclude<IceRefusal, 'offTooFar'>): IceState => ({
  name: 'refused',
  why,
  sentence: sentences[why],
})

/** What to do about a notice. */
export const noticeSentence: Readonly<Record<IceNotice, string>> = {
  outOfBath: say('The probe has left the bath. Put it back into the middle of the ice.'),
  warming: say('The bath is getting warmer. Add crushed ice, stir, and pour off the water.'),
}

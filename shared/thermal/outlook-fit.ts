import { hours, millis, minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { fitOneNode, fitTwoNodes, type ThermalModel } from './fit-nodes.ts'
import type { Estimate } from './forecast.ts'
import type { Point } from './lag.ts'
import type { PassiveStretch } from './outlook-stretch.ts'
import { tauFromStep } from './step-response.ts'

/** What was measured in and just before one stretch. Points are means of `pointEvery`. */
export interface StretchData {
  readonly stretch: PassiveStretch
  /** By the sensor that judges the place; `before` is its mean while the thermostat still held it. */
  readonly readings: readonly Point[]
  readonly before: Estimate | null
  /** The other one of air and load, where both are measured. */
  readonly pair: { readonly isOfLoad: boolean; readonly readings: readonly Point[] } | null
  /** The room around it; null where nothing measured it. */
  readonly room: { readonly readings: readonly Point[]; readonly uncertainty: number } | null
}

/** What one stretch showed. */
export interface StretchFit {
  readonly at: Instant
  readonly lasted: Millis
  readonly litres: number | null
  readonly tau: Millis
  /** Standard uncertainty of its logarithm, with what the model itself leaves open. */
  readonly share: number
  /**
   * How far the slow way starts from where all settles, as a share of how far the mean stood from it before: the air is quick
   * to part with the cold that was blown into it, and what lies inside is late to begin.
   */
  readonly start: { readonly share: number; readonly uncertainty: number } | null
  /** Time constant with which the air meets that slow way; null where it was on it from the start. */
  readonly quick: Millis | null
  /** Where it was going; `isMeasured` by a thermometer, else from the bend of the curve. */
  readonly room: Estimate & { readonly isMeasured: boolean }
  readonly two: (ThermalModel & { readonly nodes: 2 }) | null
}

export type StretchRefusal = 'tooShort' | 'tooUnsure'

/** The readings are gathered to these means: a curve of hours needs no more, and the fit reads 240 at most. */
export const pointEvery: Millis = minutes(2)
/** At first the air alone warms to what stands in it; from then on all warms as one lump. Derived. */
const airFirst = minutes(20)
/** Less than this on the way tells no time constant from a probe that wanders. Derived. */
const leastWay = 0.8
/** The second part of a stretch is past what is quick in it. */
const laterPart = 1 / 3
/** A slow way that begins outside of these shares was no such way. Derived. */
const startBounds = { least: 0.3, most: 1.6 }
/** Where nothing measures the room: one of a house in winter, heated or not. Common practice, no source. */
export const usualRoom: Estimate = { celsius: 17, uncertainty: 3 }
/** A cooling alarm's stretch counts only where it went to the room: something may have cooled a little. K. */
const offTheRoom = 2
/** The room as such is no closer known by one thermometer in it: walls and floor are colder or warmer. K; derived. */
const roomItself = 0.5

/** Null readings apart, from the data of a stretch to its constants, or why not. */
export function fitStretch(
  data: StretchData,
): { readonly ok: true; readonly fit: StretchFit } | { readonly ok: false; readonly why: StretchRefusal } {
  const points = data.stretch.by === 'notCooling' ? untilTurn(data.readings) : data.readings
  const first = points[0]
  const last = points.at(-1)
  if (first === undefined || last === undefined || last.at - first.at < hours(1) - pointEvery)
    return { ok: false, why: 'tooShort' }
  const late = points.filter(({ at }) => at >= first.at + airFirst)
  const [lateFirst] = late
  if (lateFirst === undefined || Math.abs(last.celsius - lateFirst.celsius) < leastWay)
    return { ok: false, why: 'tooShort' }
  const found = slowWay(late, data.room)
  if (found === null) return { ok: false, why: 'tooUnsure' }
  // What is left of quick parts bends the curve early: how far the constant moves without them is the model's own error.
  const second = slowWay(
    late.filter(({ at }) => at >= lateFirst.at + (last.at - lateFirst.at) * laterPart),
    data.room,
  )
  if (!found.room.isMeasured && second === null) return { ok: false, why: 'tooUnsure' }
  // A second part that has hardly anything left to tell is no better witness than the whole.
  const way = second !== null && second.share <= 2 * found.share + sureEnough ? second : found
  const moved =
    second === null ? unmoved : Math.max(0, Math.abs(Math.log(second.tau / found.tau)) - second.share)
  const step = data.room === null ? null : tauFromStep(late)
  if (
    data.stretch.by === 'notCooling' &&
    step !== null &&
    Math.abs(step.final - found.room.celsius) >
      offTheRoom + 3 * Math.hypot(step.finalUncertainty, found.room.uncertainty)
  )
    return { ok: false, why: 'tooUnsure' }
  const lasted = millis(last.at - first.at)
  // Where it goes is read from the bend alone: for that a whole time constant must have been seen.
  if (!way.room.isMeasured && way.tau > lasted) return { ok: false, why: 'tooUnsure' }
  const beyond = (beyondSeen * way.tau) / lasted
  const two = twoOf(points, data)
  const start = data.stretch.by === 'notCooling' ? null : startOf(data, way, late)
  return {
    ok: true,
    fit: {
      at: data.stretch.from,
      lasted,
      litres: data.stretch.litres,
      tau: way.tau,
      share: Math.hypot(way.share, moved / 1.5, beyond),
      start,
      quick: start === null ? null : quickOf(data, way, start.share),
      room: way.room,
      two: two === null ? null : slower(two, beyond),
    },
  }
}

/**
 * A way of which only the beginning was seen may turn slower or faster: so much for each of its time constants over the time
 * seen. Derived from simulated fridges with boxes and bottles, which are no one lump.
 */
const beyondSeen = 0.02
/** The error of the model where it cannot be looked at: a short stretch. Derived. */
const unmoved = 0.15
/** Added to twice the whole's own uncertainty. */
const sureEnough = 0.02

interface SlowWay {
  readonly tau: Millis
  readonly share: number
  readonly room: StretchFit['room']
}

function slowWay(late: readonly Point[], room: StretchData['room']): SlowWay | null {
  if (room === null || room.readings.length === 0) {
    const step = tauFromStep(late)
    // Air that has met what stands in it bends as if it were at its goal: that is no room.
    if (step === null || Math.abs(step.final - usualRoom.celsius) > 2 * usualRoom.uncertainty) return null
    const towards = { celsius: step.final, uncertainty: step.finalUncertainty, isMeasured: false }
    return { tau: step.tau, share: step.tauUncertainty / step.tau, room: towards }
  }
  const mean = meanOf(room.readings)
  const uncertainty = Math.hypot(room.uncertainty, roomItself)
  const roomAt = following(room.readings, mean)
  const fitted = fitOneNode(
    late.map(({ at, celsius }) => ({ at, celsius, room: roomAt(at) })),
    uncertainty,
  )
  if (fitted === null) return null
  return { tau: fitted.tau, share: fitted.share, room: { celsius: mean, uncertainty, isMeasured: true } }
}

/** All of its times longer or shorter together, by a standard uncertainty of their logarithm. */
export const slower = <T extends { readonly covariance: readonly (readonly number[])[] }>(
  model: T,
  by: number,
): T => ({ ...model, covariance: model.covariance.map((row) => row.map((v) => v + by * by)) })

function startOf(
  { stretch, before }: StretchData,
  { tau, room }: SlowWay,
  late: readonly Point[],
): StretchFit['start'] {
  if (before === null) return null
  const way = room.celsius - before.celsius
  if (Math.abs(way) < 2) return null
  // Each late reading, gone back along the slow way to the stretch's beginning.
  const back = late.map(({ at, celsius }) => (room.celsius - celsius) * Math.exp((at - stretch.from) / tau))
  const near = back.slice(0, Math.max(5, Math.ceil(back.length / 3)))
  const share = near.reduce((sum, one) => sum + one, 0) / near.length / way
  if (!(share >= startBounds.least && share <= startBounds.most)) return null
  return { share, uncertainty: Math.hypot(before.uncertainty / Math.abs(way), startItself) }
}

/** One fridge starts no two times alike: the compressor may have just run or just rested. Derived. */
const startItself = 0.04

/** A departure from the slow way smaller than this is none, K. Derived: a compressor's swing leaves as much. */
const leastDeparture = 0.4
/** Share of the first departure at which the quick part is taken to be over. */
const quickOver = 0.1

/** The area between the curve and its slow way is the first departure times the quick constant. */
function quickOf(
  { stretch, before, readings }: StretchData,
  { tau, room }: SlowWay,
  share: number,
): Millis | null {
  if (before === null) return null
  const way = room.celsius - before.celsius
  const first = (1 - share) * way
  if (Math.abs(first) < leastDeparture || share >= 1) return null
  let area = 0
  let last = stretch.from
  for (const { at, celsius } of readings) {
    if (at - stretch.from > tau / 2) break
    const slow = room.celsius - share * way * Math.exp(-(at - stretch.from) / tau)
    // Past the quick part only the slow way's own error is left.
    if ((slow - celsius) / first < quickOver) break
    area += (slow - celsius) * (at - last)
    last = at
  }
  const quick = area / first
  return quick > pointEvery ? millis(Math.round(Math.min(quick, tau / 4))) : null
}

function twoOf(points: readonly Point[], { pair, room }: StretchData): StretchFit['two'] {
  if (pair === null || room === null || room.readings.length === 0) return null
  const other = new Map(pair.readings.map(({ at, celsius }) => [at, celsius]))
  const roomAt = following(room.readings, meanOf(room.readings))
  const both = points.flatMap(({ at, celsius }) => {
    const with_ = other.get(at)
    if (with_ === undefined) return []
    const [air, load] = pair.isOfLoad ? [celsius, with_] : [with_, celsius]
    return [{ at, air, load, room: roomAt(at) }]
  })
  return fitTwoNodes(both, Math.hypot(room.uncertainty, roomItself))
}

/** Up to the highest or lowest mean, whichever it went to: after it something cooled again. */
function untilTurn(points: readonly Point[]): readonly Point[] {
  const first = points[0]
  if (first === undefined) return []
  let far = 0
  points.forEach(({ celsius }, i) => {
    const way = Math.abs(celsius - first.celsius)
    if (way > Math.abs((points[far]?.celsius ?? first.celsius) - first.celsius)) far = i
  })
  return points.slice(0, far + 1)
}

const meanOf = (points: readonly Point[]): number =>
  points.reduce((sum, { celsius }) => sum + celsius, 0) / points.length

/** The newest at or before each asked instant; asked in ascending order. */
function following(points: readonly Point[], otherwise: number): (at: Instant) => number {
  let next = 0
  let last = -Infinity
  return (at) => {
    if (at < last) next = 0
    last = at
    while ((points[next + 1]?.at ?? Infinity) <= at) next++
    return points[next]?.celsius ?? otherwise
  }
}

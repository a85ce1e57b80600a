import { hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { Estimate } from '../../shared/thermal/forecast.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { pointEvery, type StretchData } from '../../shared/thermal/outlook-fit.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy, type Truth } from './practice-curve.ts'

export interface Fridge {
  /** Water in bottles, L. */
  readonly litres: number
  /** With a box of ten litres of soil. */
  readonly isFilled: boolean
}

/** Of the places of a story. */
export const fridge = 1
const cellar = 0
/** The thermostat holds it for so long before the plug is pulled. */
const heldFor = hours(12)
export const pulledAt = later(curveStart, heldFor)

/** A fridge in a cellar at about 18 °C that loses its power for some hours. */
export function story(seed: number, { litres, isFilled }: Fridge, without: number): readonly Truth[] {
  const places = [
    ...cellarFridge({}, { swing: 0.5 }).filter(({ id }) => isFilled || id !== 'box'),
    ...(litres === 0
      ? []
      : [{ id: 'bottles', kind: 'box', parent: 'fridge', capacity: litres * 4186, conductance: 3 }]),
  ]
  return practiceCurve(places, hours(12 + without), seed, (elapsed) => ({ powered: elapsed < heldFor }))
}

/** What a probe in the place shows, as means. */
export function probeIn(truth: readonly Truth[], place: number, seed: number): readonly Point[] {
  const sums = new Map<number, [sum: number, count: number]>()
  for (const { at, celsius } of shownBy(
    truth,
    { place, every: minutes(1), noise: 0.06, step: 1 / 16 },
    seed,
  )) {
    const step = Math.floor(at / pointEvery) * pointEvery
    const [sum, count] = sums.get(step) ?? [0, 0]
    sums.set(step, [sum + celsius, count + 1])
  }
  return [...sums].map(([at, [sum, count]]) => ({ at: instant(at), celsius: sum / count }))
}

/** The story’s time without power, as it is learnt from. */
export function seenIn(
  truth: readonly Truth[],
  about: {
    readonly seed: number
    readonly litres: number | null
    readonly judge?: number
    readonly isRoomMeasured?: boolean
    readonly pair?: number
    readonly by?: StretchData['stretch']['by']
  },
): StretchData {
  const { seed, judge = fridge, isRoomMeasured = true } = about
  const to = later(truth.at(-1)?.at ?? pulledAt, 1)
  const within = (points: readonly Point[]): readonly Point[] =>
    points.filter(({ at }) => at >= pulledAt && at < to)
  const readings = probeIn(truth, judge, seed)
  return {
    stretch: { from: pulledAt, to, by: about.by ?? 'plugOut', litres: about.litres },
    readings: within(readings),
    before: meanBefore(readings),
    pair:
      about.pair === undefined
        ? null
        : { isOfLoad: judge === fridge, readings: within(probeIn(truth, about.pair, seed + 50)) },
    room: isRoomMeasured ? { readings: within(probeIn(truth, cellar, seed + 99)), uncertainty: 0.4 } : null,
  }
}

/** The mean of the last three hours with power. */
export function meanBefore(points: readonly Point[]): Estimate {
  const some = points.filter(({ at }) => at < pulledAt && at >= later(pulledAt, -hours(3)))
  return { celsius: some.reduce((sum, { celsius }) => sum + celsius, 0) / some.length, uncertainty: 0.1 }
}

/** When it really got there, ms after the plug was pulled. */
export function reallyAt(truth: readonly Truth[], place: number, celsius: number): number | null {
  const found = truth.find((one) => one.at >= pulledAt && (one.celsius[place] ?? 0) >= celsius)
  return found === undefined ? null : found.at - pulledAt
}

/**
 * What the curve of a place costs to read: a whole winter at 10 s through thermal watch and cost walk, as a report does,
 * and one reading in the live path, judge and all. Each round in a process of its own; readings are made before the clock
 * starts.
 */
import { seededRandom } from '../../daemon/practice/random.ts'
import { celsius, days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { Night } from '../../schemas/api.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { noThermal } from '../../shared/judging/thermal-state.ts'
import type { Surroundings } from '../../shared/judging/thermal-surroundings.ts'
import type { CostRules } from '../../shared/season/cost-walk.ts'
import type { CostLimits } from '../../shared/season/winter-cost.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { fridgeHouse } from '../support/fridge-story.ts'
import { curveStart } from '../support/practice-curve.ts'

import { liveReadings, perWinter, type Round, step, winterDays } from './analysis-size.ts'

/* The built program is measured: what runs the sources names their functions at each call. */
const ofBuilt = (path: string): string => new URL(`../../dist/shared/${path}.js`, import.meta.url).href
const { stepThermal } = (await import(
  ofBuilt('judging/thermal-watch')
)) as typeof import('../../shared/judging/thermal-watch.ts')
const { startWatch, stepWatch } = (await import(
  ofBuilt('judging/watch')
)) as typeof import('../../shared/judging/watch.ts')
const { startWalk, walkReading } = (await import(
  ofBuilt('season/cost-walk')
)) as typeof import('../../shared/season/cost-walk.ts')

/** A fridge's saw-tooth of 40 min about 5 °C, the room's day, noise and steps of a common probe. */
export function winterCurve(count: number, every: number, seed = 1): Float64Array {
  const random = seededRandom(seed)
  const values = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    const t = i * every
    const phase = (t % minutes(40)) / minutes(40)
    const tooth = phase < 0.35 ? 1 - (2 * phase) / 0.35 : -1 + (2 * (phase - 0.35)) / 0.65
    const day = 0.3 * Math.sin((2 * Math.PI * t) / days(1))
    values[i] = Math.round((5 + 0.8 * tooth + day + 0.05 * random.normal()) * 16) / 16
  }
  return values
}

export interface Part {
  readonly ms: number
  /** What came out of it, so that before and after can be compared. */
  readonly result: string
}

const hold = (at: number) => ({ value: celsius(at), inclusive: true })
const limits: CostLimits = { lowCritical: hold(1), low: hold(3), high: hold(7), highCritical: hold(10) }
/** 20:00 to 08:00 UTC. */
const nights: readonly Night[] = Array.from({ length: winterDays }, (_, i) => ({
  date: new Date(curveStart + i * days(1)).toISOString().slice(0, 10),
  from: later(curveStart, i * days(1) + hours(20)),
  to: later(curveStart, i * days(1) + hours(32)),
}))
const rules: CostRules = { holds: minutes(10), reference: celsius(5), nights }
const around: Surroundings = {
  role: { isAir: true, follows: null, uncertainty: 0.29 },
  limits: [null, null, null, null],
  plan: () => ({ isCoolingDown: false, isWarmingUp: false }),
  room: () => null,
  wasPlugOut: () => false,
  isShut: () => false,
  isCritical: () => false,
  isTold: () => false,
}

/** One round, in this process: milliseconds for a winter, microseconds for a reading. */
export function analysisRound(): Round {
  const { watch, walk, both } = wholeWinter()
  return { watch: watch.ms, walk: walk.ms, both: both.ms, live: livePath(liveReadings) }
}

/** The watch alone, the walk alone, and both one after the other on each reading. */
export function wholeWinter(count = perWinter): {
  readonly watch: Part
  readonly walk: Part
  readonly both: Part
} {
  const values = winterCurve(count, step)
  const at = (i: number) => instant(curveStart + i * step)
  const timed = (run: () => unknown): Part => {
    const began = performance.now()
    const result = run()
    return { ms: performance.now() - began, result: JSON.stringify(result) }
  }
  const readOn = (withWatch: boolean, withWalk: boolean) => () => {
    let thermal = noThermal
    let walk = startWalk(curveStart, null)
    for (let i = 0; i < count; i++) {
      const value = values[i] ?? 0
      if (withWatch) thermal = stepThermal(thermal, { at: at(i), celsius: value }, around).thermal
      if (withWalk) walk = walkReading(walk, [at(i), value], limits, rules)
    }
    return [thermal, walk]
  }
  return {
    watch: timed(readOn(true, false)),
    walk: timed(readOn(false, true)),
    both: timed(readOn(true, true)),
  }
}

/** Microseconds for one reading of a fridge's air, with box, tortoise and its following in the house. */
export function livePath(count: number): number {
  const values = winterCurve(count, step)
  const household = fridgeHouse({ fridge: { animalLag: hours(5) } })
  let state = startWatch(household, profileOf, curveStart)
  const sensor = 'air' as SensorId
  const take = (from: number, to: number): void => {
    for (let i = from; i < to; i++) {
      const at = later(curveStart, i * step)
      const reading = { sensor, quantity: 'temperature', at, value: values[i] ?? 0 } as const
      state = stepWatch(state, { kind: 'reading', reading, heardAt: at })[0]
    }
  }
  // A day to learn in: until its cycle is usual, less is asked of the curve.
  const warm = Math.min(count / 2, days(1) / step)
  take(0, warm)
  const began = performance.now()
  take(warm, count)
  return ((performance.now() - began) * 1000) / (count - warm)
}

import type { LimitName } from '../../schemas/band.ts'
import type { Night } from '../../schemas/api.ts'
import type { Celsius, Instant } from '../../schemas/units.ts'
import { isTemperature } from './mean-kinetic.ts'
import {
  addHeld,
  addReading,
  addUnknown,
  byLimit,
  type CostLimits,
  edgeOf,
  mergeCosts,
  noCost,
  type WinterCost,
} from './winter-cost.ts'

/** What is kept of an hour whose single readings were taken out. Times in ms, each part of the hour in one of them. */
export interface HourFigures {
  readonly from: Instant
  readonly min: number
  readonly max: number
  readonly mean: number
  readonly zones: {
    readonly lowCritical: number
    readonly low: number
    readonly inside: number
    readonly high: number
    readonly highCritical: number
    readonly unknown: number
  }
}

/** Between which two figures the truth lies. */
export interface CostBounds {
  readonly least: WinterCost
  readonly most: WinterCost
}

/**
 * The cost of an hour from its figures. Times beyond a limit are those that were counted while every reading was there.
 * Degree-hours, mean kinetic temperature and metabolic days bend upwards with temperature, so that they are least where
 * the hour stood at its mean and most where it jumped between its coldest and its warmest with the same mean (Jensen 1906).
 * Metabolic days do so up to 15 °C, where the range of their Q10 ends: an hour across that is no strict bound of them.
 * Both hold where readings came evenly: the mean kept is that of the readings, not that of the time.
 */
export function costOfHour(
  hour: HourFigures,
  limits: CostLimits,
  reference: Celsius,
  nights: readonly Night[],
): CostBounds {
  const { zones, min, max, mean } = hour
  const known = zones.lowCritical + zones.low + zones.inside + zones.high + zones.highCritical
  const isWhole = isTemperature(min) && isTemperature(max) && min <= mean && mean <= max
  if (!isWhole) {
    const unknown = addUnknown(noCost, known + zones.unknown)
    return { least: unknown, most: unknown }
  }
  const warmShare = max > min ? (mean - min) / (max - min) : 0
  const still = addHeld(noCost, mean, known, limits, reference)
  const jumping = addHeld(
    addHeld(noCost, min, known * (1 - warmShare), limits, reference),
    max,
    known * warmShare,
    limits,
    reference,
  )
  const finish = (cost: WinterCost): WinterCost => {
    const coldest = addReading(addUnknown(cost, zones.unknown), hour.from, min, nights)
    const all = addReading(coldest, hour.from, max, nights)
    const beyond = byLimit((name) => {
      if (edgeOf(limits, name) === null) return all.beyond[name]
      return { ...all.beyond[name], time: outOf(zones, name) }
    })
    return { ...all, fromHours: known, beyond }
  }
  return { least: finish(still), most: finish(jumping) }
}

export const mergeBounds = (one: CostBounds, other: CostBounds): CostBounds => ({
  least: mergeCosts(one.least, other.least),
  most: mergeCosts(one.most, other.most),
})

/** Nothing is uncertain where every reading is there. */
export const exactly = (cost: WinterCost): CostBounds => ({ least: cost, most: cost })

function outOf(zones: HourFigures['zones'], name: LimitName): number {
  switch (name) {
    case 'lowCritical':
      return zones.lowCritical
    case 'low':
      return zones.low + zones.lowCritical
    case 'high':
      return zones.high + zones.highCritical
    case 'highCritical':
      return zones.highCritical
    default:
      return name satisfies never
  }
}

import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Summary } from '../ports/store.ts'
import type { ZonesOf, ZoneTimes } from '../ports/zones.ts'
import type { Blocks, BlockSummary } from './blocks.ts'
import type { History } from './history.ts'
import type { HotReadings } from './hot-readings.ts'
import { hourMs, hourOf, lookBackHours, startOf } from './hour.ts'
import { good, goodPoints, type Rows } from './rows.ts'
import type { OneSeries } from './series.ts'
import { middleOf } from './thinned-hour.ts'

export interface Stretch {
  readonly from: Instant
  readonly to: Instant
}

/**
 * One summary of the good readings per stretch: the figures of the blocks for whole hours, the readings themselves
 * for the hours cut by an end, hours without a block and hours on which waiting readings may still bear. Of a thinned
 * hour that an end cuts, the figures count where `middleOf` it lies and the zones by the part that is in the stretch.
 */
export function summariesOf(blocks: Blocks, hot: HotReadings, history: History) {
  return (series: OneSeries, stretches: readonly Stretch[], zonesOf: ZonesOf): Summary[] =>
    stretches.map(({ from, to }) => {
      const tally = emptyTally()
      let counted: number = from

      const countRows = (until: number): void => {
        const stretch = { from: instant(counted), to: instant(until) }
        const rows = history.rows(series.id, counted, until)
        const before = history.lastGoodBefore(series.id, counted)
        addRows(tally, rows)
        addZones(tally.zones, zonesOf(series.sensor, series.quantity, stretch, before, goodPoints(rows)))
      }

      const addThinned = (block: BlockSummary): void => {
        const start = Math.max(from, startOf(block.hour))
        const end = Math.min(to, startOf(block.hour + 1))
        if (start > counted) countRows(start)
        if (block.first !== null && block.last !== null) {
          const middle = middleOf(block.first, block.last)
          if (middle >= from && middle < to) addFigures(tally, block.good, block.min, block.max, block.sum)
        }
        addRows(tally, history.rows(series.id, start, end)) // late ones, which wait
        addZones(tally.zones, block, (end - start) / hourMs)
        counted = end
      }

      const whole = { from: Math.ceil(from / hourMs), to: hourOf(to) - 1 }
      const waiting = hot.hours(series.id, whole.from - lookBackHours, whole.to)
      const isSettled = ({ hour }: BlockSummary): boolean =>
        hour >= whole.from &&
        hour <= whole.to &&
        waiting.every((other) => other > hour || other < hour - lookBackHours)

      for (const block of from < to ? blocks.summaries(series.id, hourOf(from), hourOf(to - 1)) : []) {
        if (block.isThinned) {
          addThinned(block)
          continue
        }
        if (!isSettled(block)) continue
        if (startOf(block.hour) > counted) countRows(startOf(block.hour))
        if (block.good > 0) addFigures(tally, block.good, block.min, block.max, block.sum)
        addZones(tally.zones, block)
        counted = startOf(block.hour + 1)
      }
      if (counted < to) countRows(to)
      return summaryOf(tally)
    })
}

/** A stretch of a series that was never heard. */
export function unheard(zones: ZoneTimes): Summary {
  return { readings: 0, min: null, max: null, mean: null, zones }
}

interface Tally {
  readings: number
  min: number
  max: number
  sum: number
  readonly zones: { -readonly [Zone in keyof ZoneTimes]: number }
}

const emptyTally = (): Tally => ({
  readings: 0,
  min: Infinity,
  max: -Infinity,
  sum: 0,
  zones: { lowCritical: 0, low: 0, inside: 0, high: 0, highCritical: 0, unknown: 0 },
})

function addRows(tally: Tally, rows: Rows): void {
  for (let i = 0; i < rows.length; i++) {
    const value = rows.value[i] as number
    if (rows.quality[i] === good) addFigures(tally, 1, value, value, value)
  }
}

function addFigures(tally: Tally, count: number, min: number, max: number, sum: number): void {
  tally.readings += count
  tally.min = Math.min(tally.min, min)
  tally.max = Math.max(tally.max, max)
  tally.sum += sum
}

/** `share`: how much of the hour counts, 0 to 1. */
function addZones(sum: Tally['zones'], zones: ZoneTimes, share = 1): void {
  sum.lowCritical += zones.lowCritical * share
  sum.low += zones.low * share
  sum.inside += zones.inside * share
  sum.high += zones.high * share
  sum.highCritical += zones.highCritical * share
  sum.unknown += zones.unknown * share
}

function summaryOf({ readings, min, max, sum, zones }: Tally): Summary {
  if (readings === 0) return unheard(zones)
  // a rounded sum must not leave its bounds
  return { readings, min, max, mean: Math.min(max, Math.max(min, sum / readings)), zones }
}

import fc from 'fast-check'
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { celsius, days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { Night } from '../../schemas/api.ts'
import { addToCurve, lineBeyond, mergeBeyond, noCurve, heldBeyond } from '../../shared/season/degree-hours.ts'
import {
  type CostPoint,
  type CostRules,
  startWalk,
  walkReading,
  walkTo,
} from '../../shared/season/cost-walk.ts'
import { addKinetic, meanKinetic, mergeKinetic, noKinetic } from '../../shared/season/mean-kinetic.ts'
import { addMetabolic, mergeMetabolic, metabolicTime } from '../../shared/season/metabolic-days.ts'
import { addToNights, mergeNights, type NightMinima } from '../../shared/season/night-minima.ts'
import { addHeld, addReading, meanOf, noCost, type WinterCost } from '../../shared/season/winter-cost.ts'
import { type Cycle, noCycles, stepCycle } from '../../shared/thermal/cycle.ts'
import { type DoorSeen, doorUnknown, stepDoor } from '../../shared/thermal/door.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { learnCycle, nothingLearnt } from '../../shared/thermal/usual-cycle.ts'

/*
 * Hourly temperature normals 1981–2010 for Seattle, NOAA National Climatic Data Center, a work of the US Government, as
 * packaged in npm vega-datasets 3.2.1: 8759 hours, the first one missing. No series of a refrigerator with a licence that
 * could be read was to be had.
 */
const series: readonly CostPoint[] = readFileSync(
  new URL('../../fixtures/days/seattle-weather-hourly-normals.csv', import.meta.url),
  'utf8',
)
  .trim()
  .split('\n')
  .slice(1)
  .map((row) => {
    const [date, , temperature] = row.split(',')
    return [instant(Date.parse(`${date}Z`)), Number(temperature)]
  })
const values = series.map(([, value]) => value)
const [start, end] = [series[0]?.[0] ?? instant(0), series.at(-1)?.[0] ?? instant(0)]

/** The year as a probe that reports each few minutes would have it: straight between the hours. */
function straight(every: number): readonly Point[] {
  const points: Point[] = []
  for (let at = start; at <= end; at = later(at, every)) {
    const i = Math.min(series.length - 2, Math.floor((at - start) / hours(1)))
    const share = (at - start) / hours(1) - i
    points.push({ at, celsius: (values[i] ?? 0) + share * ((values[i + 1] ?? 0) - (values[i] ?? 0)) })
  }
  return points
}

describe('a year of real weather is no fridge (L12)', () => {
  /** Cycles and openings that are read out of a curve. */
  function readFrom(points: readonly Point[]): {
    readonly cycles: readonly Cycle[]
    readonly doors: readonly DoorSeen[]
  } {
    let [state, door] = [noCycles, doorUnknown]
    const [cycles, doors]: [Cycle[], DoorSeen[]] = [[], []]
    for (const point of points) {
      const [next, cycle] = stepCycle(state, point)
      state = next
      if (cycle !== null) cycles.push(cycle)
      const [nextDoor, seen] = stepDoor(door, point, { usual: null, noise: state.noise })
      door = nextDoor
      if (seen !== null) doors.push(seen)
    }
    return { cycles, doors }
  }

  test('at its own pace, an hour, no cycle is seen: half of one might lie between two readings', () => {
    expect(readFrom(series.map(([at, value]) => ({ at, celsius: value })))).toEqual({ cycles: [], doors: [] })
  })

  test.each([5, 10])(
    'read each %d minutes, what turns is the day, not a compressor, and no door opens',
    (each) => {
      const { cycles, doors } = readFrom(straight(minutes(each)))
      expect(doors).toEqual([])
      const learnt = cycles.reduce(learnCycle, nothingLearnt)
      // One crest a day, as counted plainly: the warmest hour of each day.
      expect(cycles.length).toBeGreaterThan(350)
      expect(cycles.length).toBeLessThanOrEqual(365)
      for (const { period } of cycles) expect(period).toBeGreaterThan(hours(12))
      expect(Math.abs((learnt.usual?.period.middle ?? 0) / days(1) - 1)).toBeLessThan(0.1)
      const amplitudes = dayByDay().map((day) => Math.max(...day) - Math.min(...day))
      const plain = amplitudes.reduce((sum, one) => sum + one, 0) / amplitudes.length
      const seen = cycles.reduce((sum, { amplitude }) => sum + amplitude, 0) / cycles.length
      expect(Math.abs(seen / plain - 1)).toBeLessThan(0.1)
    },
  )
})

/** The whole days of the series. */
function dayByDay(): number[][] {
  const found = new Map<number, number[]>()
  for (const [at, value] of series) {
    const day = Math.floor(at / days(1))
    found.set(day, [...(found.get(day) ?? []), value])
  }
  return [...found.values()].filter((day) => day.length === 24)
}

describe('its figures, against the formulas written out plainly', () => {
  const nights: readonly Night[] = Array.from({ length: 364 }, (_, i) => ({
    date: new Date(Date.UTC(2010, 0, 1 + i)).toISOString().slice(0, 10),
    from: later(instant(Date.UTC(2010, 0, 1)), i * days(1) + hours(20)),
    to: later(instant(Date.UTC(2010, 0, 1)), i * days(1) + hours(32)),
  }))
  const rules: CostRules = { holds: hours(1), reference: celsius(5), nights }
  const at = (value: number) => ({ value, inclusive: true })
  const limits = { lowCritical: at(1), low: at(4), high: at(8), highCritical: at(15) }
  const walked = series.reduce(
    (walk, point) => walkReading(walk, point, limits, rules),
    startWalk(start, null),
  )
  const cost: WinterCost = walkTo(walked, later(end, hours(1)), limits, rules).cost
  const sum = (of: (value: number) => number): number => values.reduce((all, value) => all + of(value), 0)

  test('known time, mean, coldest and warmest', () => {
    expect(cost.known).toBe(hours(8759))
    expect(cost.unknown).toBe(0)
    expect(meanOf(cost)).toBeCloseTo(sum((v) => v) / 8759, 9)
    expect(meanOf(cost)).toBeCloseTo(11.1276, 4)
    expect([cost.min?.value, cost.max?.value]).toEqual([Math.min(...values), Math.max(...values)])
  })

  test('held values: hours and degree-hours beyond each limit', () => {
    expect(cost.beyond.high.degreeHours).toBeCloseTo(
      sum((v) => Math.max(0, v - 8)),
      6,
    )
    expect(cost.beyond.low.degreeHours).toBeCloseTo(
      sum((v) => Math.max(0, 4 - v)),
      6,
    )
    expect(cost.beyond.high.time).toBe(hours(values.filter((v) => v >= 8).length))
    expect(cost.beyond.low.time).toBe(hours(values.filter((v) => v <= 4).length))
    expect(cost.beyond.highCritical.degreeHours).toBeCloseTo(
      sum((v) => Math.max(0, v - 15)),
      6,
    )
    expect(cost.beyond.lowCritical).toEqual({ time: 0, degreeHours: 0 })
  })

  test('straight lines: degree-hours are the trapezoids, cut finely', () => {
    for (const [side, value] of [
      ['above', 8],
      ['below', 4],
      ['above', 15],
    ] as const) {
      const edge = { side, value, inclusive: true }
      const curve = series.reduce((so, point) => addToCurve(so, edge, 'line', hours(1), point), noCurve)
      // The trapezoid rule on 240 pieces an hour: off by at most a piece at each of the crossings.
      let plain = 0
      for (let i = 1; i < values.length; i++) {
        const [a = 0, b = 0] = [values[i - 1], values[i]]
        const far = (share: number) =>
          Math.max(0, (a + share * (b - a) - value) * (side === 'above' ? 1 : -1))
        for (let k = 0; k < 240; k++) plain += (far(k / 240) + far((k + 1) / 240)) / 480
      }
      expect(Math.abs(curve.degreeHours - plain), `${side} ${value}`).toBeLessThan(0.05)
      expect(curve.unknown).toBe(0)
    }
  })

  test('mean kinetic temperature (USP <1160>, 83.144 kJ/mol) and days at 5 °C by a Q10 of 2.5, ended at 0 and 15 °C', () => {
    const mean = sum((v) => Math.exp(-10_000 / (v + 273.15))) / values.length
    expect(meanKinetic(cost.kinetic)).toBeCloseTo(10_000 / -Math.log(mean) - 273.15, 8)
    const spent = sum((v) => 2.5 ** ((Math.min(15, Math.max(0, v)) - 5) / 10)) / 24
    expect(cost.metabolic.usual).toBeCloseTo(spent, 6)
    expect(cost.metabolic.beyond).toBe(hours(values.filter((v) => v < 0 || v > 15).length))
  })

  test('the coldest of each night is the least of its hours, from 20:00 to before 08:00', () => {
    expect(cost.nights).toHaveLength(364)
    for (const { date, min } of cost.nights) {
      const from = Date.parse(`${date}T20:00:00Z`)
      const own = series.filter(([when]) => when >= from && when < from + hours(12)).map(([, value]) => value)
      expect(min, date).toBe(Math.min(...own))
    }
  })
})

describe('what is written out for speed is the plain sum, to the last bit', () => {
  const value = fc.oneof(
    fc.double({ min: -30, max: 40, noNaN: true }),
    fc.integer({ min: -16, max: 200 }).map((n) => n / 16),
  )
  const stretch = fc.tuple(value, fc.integer({ min: 1, max: 3_600_000 }))
  const limit = fc.option(fc.record({ value: value.map(celsius), inclusive: fc.boolean() }))
  const limits = fc.record({ lowCritical: limit, low: limit, high: limit, highCritical: limit })

  test('of held values beyond limits, kinetic and metabolic', () => {
    fc.assert(
      fc.property(fc.array(stretch, { maxLength: 60 }), limits, (held, inForce) => {
        let cost = noCost
        let [kinetic, metabolic, low, high] = [
          noKinetic,
          noCost.metabolic,
          noCost.beyond.low,
          noCost.beyond.high,
        ]
        for (const [v, ms] of held) {
          cost = addHeld(cost, v, ms, inForce, celsius(5))
          kinetic = mergeKinetic(kinetic, addKinetic(noKinetic, v, ms))
          metabolic = mergeMetabolic(metabolic, metabolicTime(v, ms))
          if (inForce.low !== null)
            low = mergeBeyond(low, heldBeyond({ side: 'below', ...inForce.low }, v, ms))
          if (inForce.high !== null)
            high = mergeBeyond(high, heldBeyond({ side: 'above', ...inForce.high }, v, ms))
        }
        expect(cost.kinetic).toEqual(kinetic)
        expect(cost.metabolic).toEqual(metabolic)
        expect(held.reduce((so, [v, ms]) => addMetabolic(so, v, ms), noCost.metabolic)).toEqual(metabolic)
        expect(cost.beyond.low).toEqual(low)
        expect(cost.beyond.high).toEqual(high)
      }),
    )
  })

  test('of extremes and nights, in whichever order readings come', () => {
    const nights: readonly Night[] = [0, 1, 2].map((i) => ({
      date: `2027-01-0${i + 1}`,
      from: instant(i * days(1) + hours(20)),
      to: instant(i * days(1) + hours(32)),
    }))
    const reading = fc.tuple(fc.integer({ min: 0, max: days(4) }).map(instant), value)
    fc.assert(
      fc.property(fc.array(reading, { minLength: 1, maxLength: 60 }), (readings) => {
        let cost = noCost
        let plain: NightMinima = []
        for (const [when, v] of readings) {
          cost = addReading(cost, when, v, nights)
          const night = nights.find(({ from, to }) => when >= from && when < to)
          if (night !== undefined) plain = mergeNights(plain, [{ date: night.date, at: when, min: v }])
          expect(addToNights(plain, nights, when, v)).toEqual(plain)
        }
        expect(cost.nights).toEqual(plain)
        const order = [...readings].sort(([a, one], [b, other]) => one - other || a - b)
        const [coldest] = order
        expect(cost.min).toEqual({ at: coldest?.[0], value: coldest?.[1] })
        const warmest = [...readings].sort(([a, one], [b, other]) => other - one || a - b)[0]
        expect(cost.max).toEqual({ at: warmest?.[0], value: warmest?.[1] })
      }),
    )
  })

  test('of a straight line that never crosses: its trapezoid', () => {
    fc.assert(
      fc.property(value, value, (a, b) => {
        const edge = { side: 'above', value: -50, inclusive: true } as const
        expect(lineBeyond(edge, a, b, hours(1)).degreeHours).toBeCloseTo((a + b) / 2 + 50, 9)
      }),
    )
  })
})

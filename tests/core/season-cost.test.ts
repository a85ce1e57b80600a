import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { celsius, hours, instant, minutes } from '../../schemas/amounts.ts'
import {
  type CostPoint,
  type CostRules,
  type CostWalk,
  startWalk,
  walkReading,
  walkTo,
} from '../../shared/season/cost-walk.ts'
import {
  type CostBounds,
  costOfHour,
  exactly,
  type HourFigures,
  mergeBounds,
} from '../../shared/season/hour-figures.ts'
import { meanKinetic } from '../../shared/season/mean-kinetic.ts'
import { metabolicDays } from '../../shared/season/metabolic-days.ts'
import {
  type CostLimits,
  meanOf,
  mergeCosts,
  noCost,
  noLimits,
  type WinterCost,
} from '../../shared/season/winter-cost.ts'
import { nightsBetween } from '../../shared/time/night.ts'

const hour = hours(1)
const start = Date.parse('2026-12-01T00:00Z')
const at = (ms: number) => instant(start + ms)
const nights = nightsBetween('2026-11-30', '2026-12-03', 'Europe/Vienna', { from: '20:00', to: '08:00' })
const rules: CostRules = { holds: minutes(30), reference: celsius(5), nights }
const edge = (value: number) => ({ value, inclusive: true })
const tortoise: CostLimits = { lowCritical: edge(1), low: edge(3), high: edge(7), highCritical: edge(10) }

const walked = (walk: CostWalk, points: readonly CostPoint[], to: number, limits = tortoise): CostWalk =>
  walkTo(
    points.reduce((so, point) => walkReading(so, point, limits, rules), walk),
    at(to),
    limits,
    rules,
  )
const costOf = (points: readonly CostPoint[], from: number, to: number, before: CostPoint | null = null) =>
  walked(startWalk(at(from), before), points, to).cost
const mkt = (cost: WinterCost): number => meanKinetic(cost.kinetic) ?? Number.NaN

const near = (value: number): unknown => expect.closeTo(value, 9)

describe('what a winter cost', () => {
  const points: CostPoint[] = [
    [at(0), 5],
    [at(minutes(20)), 8],
    [at(minutes(40)), 11],
  ] // prettier-ignore

  it('tells time and degree-hours out of each limit; beyond high holds what is beyond highCritical', () => {
    const cost = costOf(points, 0, hour)
    expect(cost.beyond.high).toEqual({ time: minutes(40), degreeHours: near((1 + 4) / 3) })
    expect(cost.beyond.highCritical).toEqual({ time: minutes(20), degreeHours: near(1 / 3) })
    expect(cost.beyond.low).toEqual({ time: 0, degreeHours: 0 })
    expect([cost.known, cost.unknown]).toEqual([hour, 0])
    expect(meanOf(cost)).toBeCloseTo(8, 9)
    expect(mkt(cost)).toBeGreaterThan(8)
    expect([cost.min, cost.max]).toEqual([
      { at: at(0), value: 5 },
      { at: at(minutes(40)), value: 11 },
    ])
    expect(metabolicDays(cost.metabolic).days).toBeCloseTo((1 + 2.5 ** 0.3 + 2.5 ** 0.6) / 72, 9)
  })

  it('L2: a value holds until its sensor is stale, to the millisecond; then time is unknown, not inside', () => {
    expect(costOf([[at(0), 5]], 0, rules.holds)).toMatchObject({ known: rules.holds, unknown: 0 })
    expect(costOf([[at(0), 5]], 0, rules.holds + 1)).toMatchObject({ known: rules.holds, unknown: 1 })
  })

  it('what was in force before the stretch counts from its beginning, and not once it is stale', () => {
    const before = (ms: number): CostPoint => [instant(start - ms), 2]
    expect(costOf([], 0, hour, before(minutes(10)))).toMatchObject({
      known: minutes(20),
      unknown: minutes(40),
    })
    expect(costOf([], 0, hour, before(minutes(30)))).toMatchObject({ known: 0, unknown: hour })
    expect(costOf([], 0, hour, before(minutes(10))).min).toBeNull()
  })

  it('nothing heard is nothing known: no mean, no mean kinetic temperature, no extremes', () => {
    const cost = costOf([], 0, hour)
    expect([meanOf(cost), meanKinetic(cost.kinetic), cost.min, cost.max]).toEqual([null, null, null, null])
    expect(cost).toMatchObject({ known: 0, unknown: hour, nights: [] })
  })

  it('a value that is no temperature is unknown time until the next', () => {
    const cost = costOf(
      [
        [at(0), -273.15],
        [at(minutes(15)), 5],
      ],
      0,
      minutes(30),
    ) // prettier-ignore
    expect(cost).toMatchObject({ known: minutes(15), unknown: minutes(15), min: { value: 5 } })
  })

  it('L8: where the band changes while a value holds, each part is judged by its own', () => {
    const first = walkReading(startWalk(at(0), null), [at(0), 6], tortoise, rules)
    const stricter = { ...tortoise, high: edge(5.5) }
    const cost = walkTo(
      walkTo(first, at(minutes(10)), tortoise, rules),
      at(minutes(30)),
      stricter,
      rules,
    ).cost
    expect(cost.beyond.high).toEqual({ time: minutes(20), degreeHours: near(0.5 / 3) })
  })

  it('where no limit applies nothing is out of it', () => {
    const { beyond } = walked(startWalk(at(0), null), [[at(0), 40]], hour, noLimits).cost
    for (const one of Object.values(beyond)) expect(one).toEqual({ time: 0, degreeHours: 0 })
  })

  it('each night has its coldest reading; by day none is counted, a night without a reading has none', () => {
    const evening = Date.parse('2026-12-01T19:00Z') - start // 20:00 in Vienna
    const readings: CostPoint[] = [
      [at(hours(6)), 4], // 07:00: still the night of 30 November
      [at(hours(7)), 1], // 08:00: day
      [at(evening - 1), 0.5], // day
      [at(evening), 3],
      [at(evening + hours(2)), 2.5],
      [at(evening + hours(3)), 2.5], // as cold, later
    ]
    expect(costOf(readings, 0, hours(48)).nights).toEqual([
      { date: '2026-11-30', at: at(hours(6)), min: 4 },
      { date: '2026-12-01', at: at(evening + hours(2)), min: 2.5 },
    ])
  })

  it('readings that go back are the caller’s mistake', () => {
    expect(() => costOf([points[1] as CostPoint, points[0] as CostPoint], 0, hour)).toThrow(RangeError)
  })
})

const reading = fc.tuple(
  fc.integer({ min: 0, max: hours(48) - 1 }),
  fc.double({ min: -4, max: 20, noNaN: true }),
)
const manyReadings = fc
  .uniqueArray(reading, { selector: ([ms]) => ms, minLength: 1, maxLength: 150 })
  .map((rows) => rows.sort(([a], [b]) => a - b).map(([ms, value]): CostPoint => [at(ms), value]))

function expectSame(one: WinterCost, other: WinterCost): void {
  expect([one.known, one.unknown]).toEqual([other.known, other.unknown])
  expect([one.min, one.max, one.nights]).toEqual([other.min, other.max, other.nights])
  if (other.known > 0) {
    expect(mkt(one)).toBeCloseTo(mkt(other), 9)
    expect(meanOf(one)).toBeCloseTo(meanOf(other) ?? Number.NaN, 9)
  } else expect([meanKinetic(one.kinetic), meanOf(one)]).toEqual([null, null])
  const [mine, theirs] = [metabolicDays(one.metabolic), metabolicDays(other.metabolic)]
  for (const name of ['days', 'from', 'to'] as const) expect(mine[name]).toBeCloseTo(theirs[name], 9)
  for (const name of ['lowCritical', 'low', 'high', 'highCritical'] as const) {
    expect(one.beyond[name].time).toBe(other.beyond[name].time)
    expect(one.beyond[name].degreeHours).toBeCloseTo(other.beyond[name].degreeHours, 9)
  }
}

describe('whatever the readings', () => {
  it('hours folded apart and merged, in any order, are the one walk through all of them, to 1e-9', () => {
    fc.assert(
      fc.property(manyReadings, fc.boolean(), (points, backwards) => {
        const parts = Array.from({ length: 48 }, (_, h) => {
          const [from, to] = [at(h * hour), at((h + 1) * hour)]
          const inside = points.filter(([t]) => t >= from && t < to)
          return costOf(inside, h * hour, (h + 1) * hour, points.findLast(([t]) => t < from) ?? null)
        })
        if (backwards) parts.reverse()
        expectSame(parts.reduce(mergeCosts, noCost), costOf(points, 0, hours(48)))
      }),
      { numRuns: 60 },
    )
  })

  it('known and unknown fill the stretch, and the further limit is never longer out than the nearer', () => {
    fc.assert(
      fc.property(manyReadings, (points) => {
        const { known, unknown, beyond } = costOf(points, 0, hours(48))
        expect(known + unknown).toBe(hours(48))
        expect(beyond.lowCritical.time).toBeLessThanOrEqual(beyond.low.time)
        expect(beyond.highCritical.degreeHours).toBeLessThanOrEqual(beyond.high.degreeHours)
        expect(beyond.low.time + beyond.high.time).toBeLessThanOrEqual(known)
      }),
    )
  })
})

/** An hour of a reading a minute, and the figures that thinning leaves of it. */
function thinned(
  values: readonly number[],
  from: number,
): { readonly exact: WinterCost; readonly left: HourFigures } {
  const step = hour / values.length
  const exact = costOf(
    values.map((value, i): CostPoint => [at(from + i * step), value]),
    from,
    from + hour,
  )
  const [min, max] = [Math.min(...values), Math.max(...values)]
  const { lowCritical, low, high, highCritical } = exact.beyond
  const zones = {
    lowCritical: lowCritical.time,
    low: low.time - lowCritical.time,
    high: high.time - highCritical.time,
    highCritical: highCritical.time,
    inside: exact.known - low.time - high.time,
    unknown: exact.unknown,
  }
  const mean = Math.min(max, Math.max(min, values.reduce((sum, v) => sum + v, 0) / values.length))
  return { exact, left: { from: at(from), min, max, mean, zones } }
}
const ofFigures = (left: HourFigures): CostBounds => costOfHour(left, tortoise, rules.reference, nights)

describe('an hour of which only figures are kept', () => {
  it('is bounded: the truth of every reading lies between its least and its most', () => {
    const value = fc.double({ min: -4, max: 20, noNaN: true })
    const anHour = fc.array(value, { minLength: 60, maxLength: 60 })
    fc.assert(
      fc.property(fc.array(anHour, { minLength: 1, maxLength: 5 }), (many) => {
        const all = many.map((values, h) => thinned(values, h * hour))
        const exact = all.map((one) => one.exact).reduce(mergeCosts, noCost)
        const { least, most } = all.map(({ left }) => ofFigures(left)).reduce(mergeBounds, exactly(noCost))
        expect(mkt(least)).toBeLessThanOrEqual(mkt(exact) + 1e-9)
        expect(mkt(most)).toBeGreaterThanOrEqual(mkt(exact) - 1e-9)
        for (const name of ['lowCritical', 'low', 'high', 'highCritical'] as const) {
          expect(least.beyond[name].time).toBeCloseTo(exact.beyond[name].time, 3)
          expect(most.beyond[name].time).toBeCloseTo(exact.beyond[name].time, 3)
          expect(least.beyond[name].degreeHours).toBeLessThanOrEqual(exact.beyond[name].degreeHours + 1e-9)
          expect(most.beyond[name].degreeHours).toBeGreaterThanOrEqual(exact.beyond[name].degreeHours - 1e-9)
        }
        for (const bound of [least, most]) {
          expect(meanOf(bound)).toBeCloseTo(meanOf(exact) ?? Number.NaN, 9)
          expect(bound.fromHours).toBeCloseTo(exact.known, 3)
          expect([bound.min?.value, bound.max?.value]).toEqual([exact.min?.value, exact.max?.value])
        }
      }),
    )
  })

  it('is exact where the temperature stood still', () => {
    const { exact, left } = thinned(
      Array.from({ length: 60 }, () => 8),
      0,
    )
    const { least, most } = ofFigures(left)
    expect(least).toEqual(most)
    expectSame({ ...least, max: exact.max, min: exact.min }, exact)
  })

  it('hours of figures and hours of readings merge into one cost that says how much is from figures', () => {
    const { left } = thinned([4, 8], 0)
    const later = costOf(
      [
        [at(hour), 5],
        [at(hour + minutes(30)), 5],
      ],
      hour,
      2 * hour,
    ) // prettier-ignore
    const both = mergeBounds(ofFigures(left), exactly(later))
    expect(both.least).toMatchObject({ known: 2 * hour, fromHours: hour })
    expect(mkt(both.least)).toBeLessThan(mkt(both.most))
  })

  it('without figures that can be believed is unknown', () => {
    const { left } = thinned([4, 8], 0)
    for (const broken of [{ min: -300 }, { mean: 9 }, { max: Number.NaN }])
      expect(ofFigures({ ...left, ...broken }).most).toMatchObject({ known: 0, unknown: hour })
  })
})

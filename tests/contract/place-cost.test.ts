import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { type CostAsked, costNow, costOfPlace } from '../../daemon/app/place-cost.ts'
import type { JudgedReading, Store } from '../../daemon/ports/store.ts'
import { celsius, instant, minutes } from '../../schemas/amounts.ts'
import { PlaceCost } from '../../schemas/cost.ts'
import { PlaceId } from '../../schemas/ids.ts'
import { startWalk, walkReading, walkTo } from '../../shared/season/cost-walk.ts'
import type { CostLimits } from '../../shared/season/winter-cost.ts'
import { meanKinetic } from '../../shared/season/mean-kinetic.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import {
  aReading,
  batchOf,
  clock,
  hour,
  minute,
  openStore,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let store: Store
beforeEach(() => {
  folder = temporaryFolder()
  ;({ store } = openStore(folder.path))
})
afterEach(() => {
  store.close()
  folder.remove()
})

const edge = (value: number) => ({ value, inclusive: true })
/** The limits that `zonesByHand` counts by, and how long a value holds there. */
const limits: CostLimits = { lowCritical: edge(-1), low: edge(2), high: edge(8), highCritical: edge(12) }
const rules = {
  holds: minutes(30),
  reference: celsius(5),
  nights: nightsBetween('2026-01-09', '2026-01-12', 'UTC', { from: '20:00', to: '08:00' }),
}
const asked = (from: number, to: number, more: Partial<CostAsked> = {}): CostAsked => ({
  place: PlaceId.parse('fridge'),
  sensor: probe,
  from: clock(from),
  to: clock(to),
  rules,
  limitsAt: () => ({ limits, until: null }),
  ...more,
})
const cost = async (what: CostAsked): Promise<PlaceCost> =>
  PlaceCost.parse(costNow(await costOfPlace(store, zonesByHand, what, () => Promise.resolve()), what))

/** The same by walking through what was sent, never through the store. */
function byHand(sent: readonly JudgedReading[], what: CostAsked) {
  const good = sent.filter(({ quality, at }) => quality === 'good' && at < what.to)
  const before = good.findLast(({ at }) => at < what.from)
  let walk = startWalk(what.from, before ? [before.at, before.value] : null)
  for (const { at, value } of good) if (at >= what.from) walk = walkReading(walk, [at, value], limits, rules)
  return walkTo(walk, what.to, limits, rules).cost
}

const swing = (from: number, to: number): JudgedReading[] =>
  Array.from({ length: (to - from) * 6 }, (_, i) =>
    aReading(
      clock(from) + i * 10 * minute,
      5 + 5 * Math.sin(i / 9),
      i % 17 === 5 ? { quality: 'spike' } : {},
    ),
  )

function expectSame(ours: PlaceCost, sent: readonly JudgedReading[], what: CostAsked): void {
  const hand = byHand(sent, what)
  expect([ours.known, ours.unknown, ours.fromHours]).toEqual([hand.known, hand.unknown, 0])
  expect([ours.min, ours.max, ours.nights]).toEqual([hand.min, hand.max, hand.nights])
  const kinetic = meanKinetic(hand.kinetic)
  expect(ours.meanKinetic?.least ?? null).toEqual(ours.meanKinetic?.most ?? null)
  if (kinetic === null) expect(ours.meanKinetic).toBeNull()
  else expect(Math.abs((ours.meanKinetic?.least ?? Number.NaN) - kinetic)).toBeLessThan(1e-9)
  for (const { limit, time, degreeHours } of ours.beyond) {
    expect(time).toBe(hand.beyond[limit].time)
    expect(Math.abs(degreeHours.least - hand.beyond[limit].degreeHours)).toBeLessThan(1e-9)
    expect(degreeHours.most).toBe(degreeHours.least)
  }
  expect(Math.abs(ours.metabolicDays.days - hand.metabolic.usual)).toBeLessThan(1e-9)
}

describe('what a place cost, from the store', () => {
  test('is that of its readings to 1e-9, waiting, folded or both, whichever the stretch', async () => {
    const sent = swing(0, 60)
    store.commit(batchOf(...sent.slice(0, 200)))
    store.fold(clock(30), zonesByHand, 'folded')
    store.commit(batchOf(...sent.slice(200)))
    const quarter = fc.integer({ min: -8, max: 260 }).map((n) => n / 4)
    await fc.assert(
      fc.asyncProperty(quarter, quarter, async (one, other) => {
        fc.pre(one !== other)
        const what = asked(Math.min(one, other), Math.max(one, other))
        expectSame(await cost(what), sent, what)
      }),
      { numRuns: 40 },
    )
  })

  test('times out of the limits are those of the hours’ own zones', async () => {
    store.commit(batchOf(...swing(0, 48)))
    store.fold(clock(100), zonesByHand, 'folded')
    const [summary] = store.summaries(probe, 'temperature', [asked(0, 48)], zonesByHand)
    const time = Object.fromEntries((await cost(asked(0, 48))).beyond.map((one) => [one.limit, one.time]))
    expect(summary?.zones).toMatchObject({
      lowCritical: time['lowCritical'],
      low: (time['low'] ?? 0) - (time['lowCritical'] ?? 0),
      high: (time['high'] ?? 0) - (time['highCritical'] ?? 0),
      unknown: (await cost(asked(0, 48))).unknown,
    })
    expect(time['low']).toBeGreaterThan(0)
  })

  test('N2: of thinned hours it is a bound that holds the truth and says so; times and extremes stay', async () => {
    const sent = swing(0, 48).map((reading): JudgedReading => ({ ...reading, quality: 'good' }))
    store.commit(batchOf(...sent))
    store.fold(clock(100), zonesByHand, 'folded')
    const exact = await cost(asked(0, 48))
    store.thin(clock(100), 24)
    const bounds = await cost(asked(0, 48))
    expect(bounds.fromHours).toBe(24 * hour)
    expect([bounds.known, bounds.unknown]).toEqual([exact.known, exact.unknown])
    expect(bounds.beyond.map(({ time }) => time)).toEqual(exact.beyond.map(({ time }) => time))
    expect([bounds.min?.value, bounds.max?.value]).toEqual([exact.min?.value, exact.max?.value])
    const truth = exact.meanKinetic?.least ?? Number.NaN
    expect(bounds.meanKinetic?.least).toBeLessThan(truth)
    expect(bounds.meanKinetic?.most).toBeGreaterThan(truth)
    expect((bounds.meanKinetic?.most ?? 0) - (bounds.meanKinetic?.least ?? 0)).toBeLessThan(0.2)
    expect(bounds.metabolicDays.least).toBeLessThanOrEqual(exact.metabolicDays.least)
    expect(bounds.metabolicDays.most).toBeGreaterThanOrEqual(exact.metabolicDays.most)
    bounds.beyond.forEach(({ degreeHours: { least, most } }, i) => {
      const real = exact.beyond[i]?.degreeHours.least ?? Number.NaN
      expect(least).toBeLessThanOrEqual(real + 1e-9)
      expect(most).toBeGreaterThanOrEqual(real - 1e-9)
    })
  })

  test('L8: a band that changes within an hour judges each part by its own', async () => {
    store.commit(batchOf(...Array.from({ length: 12 }, (_, i) => aReading(clock(0) + i * 10 * minute, 6))))
    const changes = instant(clock(0) + 45 * minute)
    const stricter = { ...limits, high: edge(5) }
    const what = asked(0, 2, {
      limitsAt: (at) => (at < changes ? { limits, until: changes } : { limits: stricter, until: null }),
    })
    const high = (await cost(what)).beyond.find(({ limit }) => limit === 'high')
    expect(high).toMatchObject({ time: 75 * minute })
    expect(high?.degreeHours.least).toBeCloseTo(1.25, 9)
  })

  test('a stretch in which nothing was heard is all unknown, with no figure made up', async () => {
    expect(await cost(asked(0, 5))).toMatchObject({
      known: 0,
      unknown: 5 * hour,
      mean: null,
      meanKinetic: null,
      min: null,
      max: null,
      nights: [],
    }) // prettier-ignore
  })
})

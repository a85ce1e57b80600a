import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { fitOneNode, fitTwoNodes, type ThermalModel } from '../../shared/thermal/fit-nodes.ts'
import { forecastOf, stuckOnAt, timesTo, type Estimate, type Outlook } from '../../shared/thermal/forecast.ts'
import { decayAt, decayRates, twoNodeDecay } from '../../shared/thermal/two-node.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy, type Truth } from '../support/practice-curve.ts'

const sure = (celsius: number): Estimate => ({ celsius, uncertainty: 0 })
const within = (celsius: number, uncertainty: number): Estimate => ({ celsius, uncertainty })
const none = [
  [0, 0, 0],
  [0, 0, 0],
  [0, 0, 0],
]
const lump = (share = 0): ThermalModel => ({ nodes: 1, tau: hours(2), share })
const fridge = {
  nodes: 2 as const,
  constants: { outside: seconds(2000), inside: seconds(1000), load: seconds(20_930) },
  covariance: none,
}
const outlook = (model: ThermalModel, towards: Estimate, now = sure(5)): Outlook => ({
  model,
  air: now,
  load: now,
  towards,
  isRoomMeasured: true,
})
const timeTo = (o: Outlook, celsius: number, side: 'low' | 'high', of: 'air' | 'load' = 'load') =>
  timesTo(o, [{ of, celsius, side }])[0] ?? {
    likely: null,
    earliest: null,
    latest: null,
    isRoomMeasured: false,
  }

describe('how long is left (A6)', () => {
  test('with nothing uncertain, earliest and latest are the likely time', () => {
    const { likely, earliest, latest } = timeTo(outlook(lump(), sure(20)), 8, 'high')
    expect(likely).toBe(Math.round(hours(2) * Math.log(15 / 12)))
    expect([earliest, latest]).toEqual([likely, likely])
  })

  test('a limit at the room’s own temperature is never met, one a little nearer is', () => {
    const to = (celsius: number) => timeTo(outlook(lump(), sure(20)), celsius, 'high').likely
    expect(to(20)).toBeNull()
    expect(to(20 - 1e-6)).not.toBeNull()
    expect(timeTo(outlook(lump(), sure(20)), 4, 'low').likely).toBeNull()
  })

  test('what is met already has no time left, exactly meeting it counts', () => {
    for (const celsius of [5, 4.9]) expect(timeTo(outlook(lump(), sure(20)), celsius, 'high').likely).toBe(0)
    for (const celsius of [5, 5.1]) expect(timeTo(outlook(lump(), sure(-5)), celsius, 'low').likely).toBe(0)
  })

  test('a room known to 2 K: it may never come to 18.5 °C, but may be there in hours', () => {
    const left = timeTo(outlook(lump(), within(20, 2)), 18.5, 'high')
    expect(left.latest).toBeNull()
    expect(left.likely).not.toBeNull()
    expect(left.earliest).toBeLessThan(left.likely ?? 0)
    const maybe = timeTo(outlook(lump(), within(20, 2)), 21, 'high')
    expect(maybe).toMatchObject({ likely: null, latest: null })
    expect(maybe.earliest).not.toBeNull()
  })

  test('each doubt moves the temperature as the derivatives say (Newton, recomputed), and they add in squares', () => {
    const doubt = (share: number, now: number, ofRoom: number): number =>
      forecastOf(outlook(lump(share), within(20, ofRoom), within(5, now)), 'load')(hours(1)).uncertainty
    const x = 1 / 2 // an hour of a time constant of two
    expect(doubt(0.01, 0, 0)).toBeCloseTo(15 * x * Math.exp(-x) * 0.01, 5)
    expect(doubt(0, 0.3, 0)).toBeCloseTo(0.3 * Math.exp(-x), 9)
    expect(doubt(0, 0, 2)).toBeCloseTo(2 * (1 - Math.exp(-x)), 9)
    expect(doubt(0.01, 0.3, 2)).toBeCloseTo(
      Math.hypot(doubt(0.01, 0, 0), doubt(0, 0.3, 0), doubt(0, 0, 2)),
      9,
    )
  })

  test('constants that err together err less in the ratio that counts', () => {
    const covariance = (together: number) =>
      [0, 1, 2].map((i) => [0, 1, 2].map((j) => (i === j ? 0.01 : i + j === 1 ? together * 0.01 : 0)))
    const settled = (together: number) =>
      // After two hours the air stands where room and load balance: by the ratio of outside to inside.
      forecastOf(outlook({ ...fridge, covariance: covariance(together) }, sure(20)), 'air')(hours(2))
        .uncertainty
    expect(settled(0.99)).toBeLessThan(settled(0) / 2)
    expect(settled(-0.99)).toBeGreaterThan(settled(0) * 1.2)
  })

  test('an assumed room is said to be one', () => {
    expect(timeTo({ ...outlook(lump(), sure(20)), isRoomMeasured: false }, 8, 'high').isRoomMeasured).toBe(
      false,
    )
  })

  test('air that a cold load pulls back after a door meets a limit on the way down, though it ends above', () => {
    const after: Outlook = { ...outlook(fridge, sure(20)), air: sure(12), load: sure(3) }
    const down = timeTo(after, 9.5, 'low', 'air').likely ?? 0
    expect(down).toBeGreaterThan(0)
    expect(down).toBeLessThan(hours(1))
    expect(forecastOf(after, 'air')(millis(down)).celsius).toBeCloseTo(9.5, 3)
    expect(timeTo(after, 8.6, 'low', 'air').likely).toBeNull()
  })

  test('the load of a fridge whose compressor never stops meets 1 °C long after its air', () => {
    const stuck = outlook(fridge, sure(-20))
    const air = timeTo(stuck, 1, 'low', 'air').likely ?? 0
    const load = timeTo(stuck, 1, 'low').likely ?? 0
    expect(air).toBeLessThan(minutes(15))
    expect(load).toBeGreaterThan(hours(2))
  })
})

describe('where a stuck thermostat leads', () => {
  const usual = (duty: number) => {
    const of = (middle: number) => ({ middle, spread: 0.1 })
    return { period: of(1), duty: of(duty), amplitude: of(2), mean: of(5), crest: of(6), trough: of(4) }
  }

  test('a compressor that holds 15 K with a third of its time would hold 45 K with all of it', () => {
    const { celsius, uncertainty } = stuckOnAt(sure(20), usual(1 / 3))
    expect(celsius).toBeCloseTo(-25, 9)
    expect(uncertainty).toBeCloseTo(45 / 4, 9)
  })

  test('one that runs all the time already goes nowhere, and a room’s doubt grows with the rest', () => {
    expect(stuckOnAt(sure(20), usual(1)).celsius).toBeCloseTo(5, 9)
    expect(stuckOnAt(within(20, 1), usual(0.5)).uncertainty).toBeCloseTo(Math.hypot(1, 7.5), 9)
  })

  test('the practice fridge stuck on settles within two uncertainties of what its cycles say', () => {
    // No box: it settles sooner. Duty by the air 0.38, in a cellar at 18 °C.
    const truth = practiceCurve(cellarFridge().slice(0, 2), hours(40), 1, () => ({ stuck: true }))
    const settled = truth.at(-1)?.celsius[1] ?? 0
    const said = stuckOnAt(sure(18), usual(0.38))
    expect(Math.abs(settled - said.celsius)).toBeLessThan(2 * said.uncertainty)
  })
})

const room = { id: 'room', kind: 'room', mean: 20 }
const air = { id: 'air', kind: 'coldRoom', parent: 'room', capacity: 2000, conductance: 1, startsAt: 5 }
const load = { id: 'load', kind: 'box', parent: 'air', capacity: 41_860, conductance: 2, startsAt: 5 }
const bare = { ...air, capacity: 14_400, conductance: 2 }

/** When the truth first meets a limit. */
const really = (truth: readonly Truth[], place: number, celsius: number): number =>
  (truth.find((t) => (t.celsius[place] ?? 0) >= celsius)?.at ?? Number.NaN) - curveStart

describe('the interval holds the truth in nine cases of ten', () => {
  const seeds = Array.from({ length: 40 }, (_, i) => i + 1)
  const probe = { every: minutes(2), noise: 0.1, step: 0.1 }
  /** Of 40 draws at 90 % fewer than 31 come once in a hundred (binomial). */
  const fewest = 31

  test('for one lump of which an hour was seen', () => {
    const truth = practiceCurve([room, bare], hours(8), 1)
    const seen = hours(1)
    let held = 0
    for (const seed of seeds) {
      const shown = shownBy(truth, { place: 1, ...probe }, seed).filter(({ at }) => at - curveStart <= seen)
      const model = fitOneNode(
        shown.map((p) => ({ ...p, room: 20 })),
        0,
      )
      if (model === null) continue
      const now = within(shown.at(-1)?.celsius ?? 0, Math.hypot(probe.noise, probe.step / Math.sqrt(12)))
      const { earliest, latest } = timeTo(outlook(model, sure(20), now), 12, 'high')
      const left = really(truth, 1, 12) - seen
      if (earliest !== null && earliest <= left && (latest === null || latest >= left)) held++
    }
    expect(held).toBeGreaterThanOrEqual(fewest)
  })

  test('for air and load of which five hours were seen', () => {
    const truth = practiceCurve([room, air, load], hours(14), 1)
    const seen = hours(5)
    const held = { air: 0, load: 0 }
    for (const seed of seeds) {
      const ofAir = shownBy(truth, { place: 1, ...probe }, seed).filter(({ at }) => at - curveStart <= seen)
      const ofLoad = shownBy(truth, { place: 2, ...probe }, seed)
      const readings = ofAir.map((p, i) => ({
        at: p.at,
        air: p.celsius,
        load: ofLoad[i]?.celsius ?? 0,
        room: 20,
      }))
      const model = fitTwoNodes(readings, 0)
      const last = readings.at(-1)
      if (model === null || last === undefined) continue
      const doubt = Math.hypot(probe.noise, probe.step / Math.sqrt(12))
      const ahead = {
        ...outlook(model, sure(20)),
        air: within(last.air, doubt),
        load: within(last.load, doubt),
      }
      for (const [of, place, limit] of [
        ['air', 1, 14],
        ['load', 2, 11],
      ] as const) {
        const { earliest, latest } = timeTo(ahead, limit, 'high', of)
        const left = really(truth, place, limit) - seen
        if (earliest !== null && earliest <= left && (latest === null || latest >= left)) held[of]++
      }
    }
    expect(held.air).toBeGreaterThanOrEqual(fewest)
    expect(held.load).toBeGreaterThanOrEqual(fewest)
  })

  test('a whole practice fridge, whose liner the model does not know, meets 8 °C in its box within a tenth of the time said', () => {
    const truth = practiceCurve(cellarFridge({ startsAt: 5 }, { swing: 0 }), hours(20), 1, () => ({
      powered: false,
    }))
    const [ofAir, ofLoad] = [1, 2].map((place) =>
      shownBy(truth, { place, every: minutes(2), noise: 0.05, step: 1 / 16 }, 2),
    )
    const readings = (ofAir ?? [])
      .map((p, i) => ({ at: p.at, air: p.celsius, load: ofLoad?.[i]?.celsius ?? 0, room: 18 }))
      .filter(({ at }) => at - curveStart >= minutes(20) && at - curveStart <= hours(6))
    const model = fitTwoNodes(readings, 0.3)
    const last = readings.at(-1)
    expect(model).not.toBeNull()
    if (model === null || last === undefined) return
    const ahead = {
      ...outlook(model, within(18, 0.3)),
      air: within(last.air, 0.06),
      load: within(last.load, 0.06),
    }
    const left = really(truth, 2, 10) - hours(6)
    expect((timeTo(ahead, 10, 'high').likely ?? 0) / left).toBeGreaterThan(0.9)
    expect((timeTo(ahead, 10, 'high').likely ?? 0) / left).toBeLessThan(1.1)
  })
})

describe('always', () => {
  const anyModel: fc.Arbitrary<ThermalModel> = fc.oneof(
    fc.record({
      nodes: fc.constant(1 as const),
      tau: fc.integer({ min: 60_000, max: hours(200) }).map(millis),
      share: fc.double({ min: 0, max: 0.25, noNaN: true }),
    }),
    fc
      .tuple(
        fc.array(fc.integer({ min: 10_000, max: hours(100) }), { minLength: 3, maxLength: 3 }),
        fc.array(fc.double({ min: 0, max: 0.25, noNaN: true }), { minLength: 3, maxLength: 3 }),
      )
      .map(([[outside = 1, inside = 1, ofLoad = 1], shares]) => ({
        nodes: 2 as const,
        constants: { outside, inside, load: ofLoad },
        covariance: shares.map((one, i) => shares.map((_, j) => (i === j ? one * one : 0))),
      })),
  )
  const degrees = fc.double({ min: -30, max: 40, noNaN: true })
  const estimate = fc.record({ celsius: degrees, uncertainty: fc.double({ min: 0, max: 3, noNaN: true }) })

  test('the earliest time is not after the likely one, nor that after the latest', () => {
    fc.assert(
      fc.property(
        anyModel,
        estimate,
        estimate,
        estimate,
        degrees,
        fc.constantFrom('low' as const, 'high' as const),
        fc.constantFrom('air' as const, 'load' as const),
        (model, ofAir, ofLoad, towards, celsius, side, of) => {
          const [left] = timesTo({ model, air: ofAir, load: ofLoad, towards, isRoomMeasured: true }, [
            { of, celsius, side },
          ])
          const [early, likely, late] = [left?.earliest, left?.likely, left?.latest].map((t) => t ?? Infinity)
          expect(early).toBeLessThanOrEqual(likely ?? 0)
          expect(likely).toBeLessThanOrEqual(late ?? 0)
        },
      ),
      { numRuns: 300 },
    )
  })

  test('two nodes stay between the coldest and the warmest of room, air and load, and end at the room', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 10_000, max: hours(100) }), { minLength: 3, maxLength: 3 }),
        degrees,
        degrees,
        degrees,
        fc.integer({ min: 0, max: hours(500) }),
        ([outside = 1, inside = 1, ofLoad = 1], ofAir, load_, towards, ms) => {
          const nodes = { outside, inside, load: ofLoad }
          const way = twoNodeDecay(nodes, ofAir, load_, towards)
          const all = [ofAir, load_, towards]
          for (const decay of [way.air, way.load]) {
            expect(decayAt(decay, ms)).toBeGreaterThanOrEqual(Math.min(...all) - 1e-6)
            expect(decayAt(decay, ms)).toBeLessThanOrEqual(Math.max(...all) + 1e-6)
            expect(decayAt(decay, 60 / decayRates(nodes)[0])).toBeCloseTo(towards, 6)
          }
          expect(decayAt(way.air, 0)).toBeCloseTo(ofAir, 9)
          expect(decayAt(way.load, 0)).toBeCloseTo(load_, 9)
        },
      ),
    )
  })

  test('a load that follows the air by the two-node model is what a lag of the same constant makes of that air', () => {
    // dTp/dt = (Ta − Tp)/τ is one equation; summed in steps of ten seconds it must agree.
    const nodes = { outside: 2_000_000, inside: 1_000_000, load: 20_930_000 }
    const way = twoNodeDecay(nodes, 5, 5, 20)
    let followed = 5
    for (let ms = 0; ms < hours(6); ms += 10_000) {
      const middle = decayAt(way.air, ms + 5000)
      followed = middle + (followed - middle) * Math.exp(-10_000 / nodes.load)
    }
    expect(followed).toBeCloseTo(decayAt(way.load, hours(6)), 5)
  })
})

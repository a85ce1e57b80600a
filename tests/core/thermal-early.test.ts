import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { noCycles, stepCycle } from '../../shared/thermal/cycle.ts'
import { phaseVerdict } from '../../shared/thermal/cycle-verdict.ts'
import {
  earlyAlarm,
  startEarly,
  stepEarly,
  type EarlyQuestion,
  type EarlyState,
} from '../../shared/thermal/early.ts'
import type { ThermalModel } from '../../shared/thermal/fit-nodes.ts'
import { stuckOnAt } from '../../shared/thermal/forecast.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { chanceBelow } from '../../shared/thermal/normal-law.ts'
import { learnCycle, nothingLearnt } from '../../shared/thermal/usual-cycle.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy } from '../support/practice-curve.ts'

/** The practice box: 41 860 J/K at 2 W/K. */
const tau = minutes(41_860 / 2 / 60)
const model: ThermalModel = {
  nodes: 2,
  constants: { outside: hours(1.94), inside: minutes(7000 / 2 / 60), load: tau },
  covariance: [
    [0.01, 0, 0],
    [0, 0.01, 0],
    [0, 0, 0.01],
  ],
}
const ask = (at: EarlyQuestion['at'], off: Partial<EarlyQuestion> = {}): EarlyQuestion => ({
  at,
  tau,
  limit: 1,
  side: 'low',
  horizon: hours(3),
  confidence: 0.9,
  uncertainty: 0.2,
  outlook: null,
  ...off,
})
const known = (celsius: number) => ({ celsius, uncertainty: 0.1 })

describe('a box in a fridge (L11)', () => {
  const probe = { place: 1, every: minutes(1), noise: 0.1, step: 0.1 }

  /** Runs all parts together, as a place would: the first early alarm, and when the box really met 1 °C. */
  function early(happening: Parameters<typeof practiceCurve>[3], lasts: number, withForecast: boolean) {
    const truth = practiceCurve(cellarFridge(), days(lasts), 3, happening)
    const [first, ...rest] = shownBy(truth, probe, 4)
    if (first === undefined) throw new Error('no reading')
    let state = startEarly(first)
    let cycles = noCycles
    let learning = nothingLearnt
    let told: { readonly at: number; readonly because: string } | null = null
    for (const point of rest) {
      state = stepEarly(state, point, tau)
      const [next, cycle] = stepCycle(cycles, point)
      cycles = next
      if (cycle !== null) learning = learnCycle(learning, cycle)
      const { usual, longest } = learning
      const { leg } = cycles
      const isKnown = withForecast && usual !== null && leg !== null
      const isStuck = isKnown && phaseVerdict(usual, leg, longest) === 'alwaysCooling'
      const towards = isStuck ? stuckOnAt({ celsius: 18, uncertainty: 1 }, usual) : null
      const outlook =
        towards === null ? null : { model, air: known(point.celsius), towards, isRoomMeasured: true }
      const decision = earlyAlarm(state, ask(point.at, { outlook }))
      if (told === null && decision.name === 'raise') told = { at: point.at, because: decision.because }
    }
    const met = truth.find(({ celsius }) => (celsius[2] ?? 9) <= 1)?.at ?? null
    return { told, met }
  }

  test('whose compressor sticks on is told hours before it meets 1 °C, not before it stuck', () => {
    const { told, met } = early((elapsed) => (elapsed < days(2) ? {} : { stuck: true }), 2.5, true)
    expect(met).not.toBeNull()
    expect(['forecast', 'trend', 'both']).toContain(told?.because)
    expect((told?.at ?? 0) - curveStart).toBeGreaterThan(days(2))
    expect((met ?? 0) - (told?.at ?? 0)).toBeGreaterThan(hours(1.5))
    // The horizon is 3 h: told no earlier than that by much.
    expect((met ?? 0) - (told?.at ?? 0)).toBeLessThan(hours(4))
  })

  test('is told by the trend alone where no model is known, still before it is met', () => {
    const { told, met } = early((elapsed) => (elapsed < days(2) ? {} : { stuck: true }), 2.5, false)
    expect(told?.because).toBe('trend')
    expect((told?.at ?? 0) - curveStart).toBeGreaterThan(days(2))
    expect((met ?? 0) - (told?.at ?? 0)).toBeGreaterThan(minutes(30))
  })

  test('is never told of a fridge that is well', () => {
    expect(early(() => ({}), 3, true).told).toBeNull()
  })
})

const straight = (perHour: number, from = 5, lasts = hours(12)): EarlyState => {
  const points: Point[] = Array.from({ length: lasts / minutes(5) + 1 }, (_, i) => ({
    at: later(curveStart, i * minutes(5)),
    celsius: from + (perHour * i) / 12,
  }))
  const [first = { at: curveStart, celsius: from }, ...rest] = points
  // Settled behind the ramp: the animal is one time constant late, however warm that is.
  return rest.reduce(
    (state, p) => stepEarly(state, p, tau),
    startEarly(first, from - (perHour * tau) / hours(1)),
  )
}

describe('what made it', () => {
  const falling = straight(-0.5, 5)
  const { at, celsius } = falling.lag
  const holds = { model: { nodes: 1, tau, share: 0 } as const, air: known(celsius), isRoomMeasured: true }
  const outlook = (towards: number) => ({ ...holds, towards: known(towards) })

  test('the trend alone, exactly where its chance is the confidence asked for', () => {
    const decision = earlyAlarm(falling, ask(at, { limit: celsius - 1.5, confidence: 0.6 }))
    const chance = decision.figures.trend?.chance ?? 0
    expect(decision.figures.trend?.perHour).toBeCloseTo(-0.5, 6)
    expect(chance).toBeCloseTo(0.5, 6)
    const asked = (confidence: number) => earlyAlarm(falling, ask(at, { limit: celsius - 1.4, confidence }))
    const here = asked(0.6).figures.trend?.chance ?? 0
    expect(here).toBeCloseTo(chanceBelow(celsius - 1.4, celsius - 1.5, 0.2), 6)
    expect(asked(here)).toMatchObject({ name: 'raise', because: 'trend' })
    expect(asked(here + 1e-9).name).toBe('quiet')
  })

  test('both, the forecast alone, and neither', () => {
    const asked = (towards: number, limit: number) =>
      earlyAlarm(falling, ask(at, { outlook: outlook(towards), limit }))
    expect(asked(-20, celsius - 1)).toMatchObject({ name: 'raise', because: 'both' })
    expect(asked(-20, celsius - 3)).toMatchObject({ name: 'raise', because: 'forecast' })
    expect(asked(celsius, celsius - 3).name).toBe('quiet')
  })

  test('a trend against a forecast that levels off first is quiet, unless the limit is near', () => {
    const settles = (limit: number) =>
      earlyAlarm(falling, ask(at, { outlook: outlook(celsius - 0.05), limit }))
    expect(settles(celsius - 1).name).toBe('quiet')
    // A quarter of 3 h at 0.5 K/h is 0.375 K; 1.28 × 0.2 K nearer than that is certain enough.
    expect(settles(celsius - 0.1)).toMatchObject({ name: 'raise', because: 'nearTrend' })
  })

  test('a limit already met is told whatever is ahead', () => {
    const warming = { outlook: outlook(20) }
    expect(earlyAlarm(falling, ask(at, { ...warming, limit: celsius + 1 }))).toMatchObject({ because: 'met' })
    expect(earlyAlarm(falling, ask(at, { limit: celsius - 1, side: 'high' }))).toMatchObject({
      because: 'met',
    })
  })

  test('exactly at a limit is met, from either side', () => {
    const still = straight(0, 5)
    for (const side of ['low', 'high'] as const) {
      const met = (limit: number) =>
        earlyAlarm(still, ask(still.lag.at, { side, limit, uncertainty: 0 })).name
      expect(met(5)).toBe('raise')
      expect(met(side === 'low' ? 4.999 : 5.001)).toBe('quiet')
    }
  })

  test('what warms towards a high limit is told as what cools towards a low one', () => {
    const rising = straight(0.5)
    const question = ask(rising.lag.at, { side: 'high', limit: rising.lag.celsius + 1 })
    expect(earlyAlarm(rising, question)).toMatchObject({ name: 'raise', because: 'trend' })
    expect(earlyAlarm(rising, { ...question, side: 'low', limit: rising.lag.celsius - 1 }).name).toBe('quiet')
  })
})

describe('not known yet', () => {
  test('until the animal rests on measured air, its trend is only our guess relaxing', () => {
    const points = (count: number) =>
      Array.from({ length: count }, (_, i) => ({
        at: later(curveStart, i * minutes(5)),
        celsius: i === 0 ? 15 : 5,
      }))
    const run = (count: number) => {
      const [first = { at: curveStart, celsius: 15 }, ...rest] = points(count)
      const state = rest.reduce((s, p) => stepEarly(s, p, hours(1)), startEarly(first))
      return earlyAlarm(state, ask(state.lag.at, { tau: hours(1), limit: 4.9 }))
    }
    expect(run(36)).toMatchObject({ name: 'notKnownYet', figures: { trend: null, forecast: null } })
    expect(run(38).name).not.toBe('notKnownYet')
  })

  test('a gap widens what is said of now', () => {
    const state = straight(0)
    const after = stepEarly(state, { at: later(state.lag.at, hours(5)), celsius: 5 }, tau)
    const doubt = (s: EarlyState) => earlyAlarm(s, ask(s.lag.at)).figures.now.uncertainty
    expect(doubt(state)).toBeCloseTo(0.2, 6)
    expect(doubt(after)).toBeGreaterThan(1)
  })
})

test('L5, X3: late readings change nothing, and an hour of seconds keeps thirteen points', () => {
  let state = startEarly({ at: curveStart, celsius: 5 })
  for (let i = 1; i <= 7200; i++)
    state = stepEarly(state, { at: later(curveStart, i * 1000), celsius: 5 }, tau)
  expect(state.recent).toHaveLength(13)
  expect(stepEarly(state, { at: curveStart, celsius: 30 }, tau)).toBe(state)
})

test('a colder limit is never more likely to be met than a warmer one', () => {
  const state = straight(-0.2)
  fc.assert(
    fc.property(
      fc.double({ min: -10, max: 10, noNaN: true }),
      fc.double({ min: 0, max: 5, noNaN: true }),
      (limit, colder) => {
        const chance = (of: number) =>
          earlyAlarm(state, ask(state.lag.at, { limit: of })).figures.trend?.chance ?? 1
        expect(chance(limit - colder)).toBeLessThanOrEqual(chance(limit) + 1e-9)
      },
    ),
  )
})

test('the normal law: 0.5, 0.95 and 0.975 at 0, 1.644854 and 1.959964 (Abramowitz and Stegun, table 26.5)', () => {
  expect(chanceBelow(0, 0, 1)).toBeCloseTo(0.5, 6)
  expect(chanceBelow(1.644854, 0, 1)).toBeCloseTo(0.95, 6)
  expect(chanceBelow(-1.959964, 0, 1)).toBeCloseTo(0.025, 6)
  expect(chanceBelow(5, 5, 0)).toBe(1)
  expect(chanceBelow(5, 5.001, 0)).toBe(0)
})

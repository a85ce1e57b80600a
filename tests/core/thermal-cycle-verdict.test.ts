import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { noCycles, stepCycle, type CycleState, type Leg } from '../../shared/thermal/cycle.ts'
import {
  cycleVerdict,
  driftForgotten,
  driftHorizon,
  longestRun,
  phaseMultiple,
  slowestDrift,
  warmerRoom,
  type CycleVerdict,
} from '../../shared/thermal/cycle-verdict.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import {
  learnCycle,
  noteLongest,
  nothingLearnt,
  type CycleLearning,
} from '../../shared/thermal/usual-cycle.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy, type Truth } from '../support/practice-curve.ts'

interface Spoken {
  readonly at: number
  readonly verdict: CycleVerdict
}

interface Around {
  readonly low?: number
  readonly high?: number
  readonly room?: (at: number) => number
}

/** The first verdict of each name in a row, with its time from the start. */
function verdicts(points: readonly Point[], { low, high, room }: Around = {}): readonly Spoken[] {
  let state = noCycles
  let learning = nothingLearnt
  const spoken: Spoken[] = []
  for (const point of points) {
    const [next, cycle] = stepCycle(state, point)
    state = next
    if (cycle !== null) learning = learnCycle(learning, cycle)
    const now = { at: point.at, state, low: low ?? null, high: high ?? null, room: room?.(point.at) ?? null }
    const verdict = cycleVerdict(learning, now)
    if (spoken.at(-1)?.verdict.name !== verdict.name) spoken.push({ at: point.at - curveStart, verdict })
  }
  return spoken
}

const names = (spoken: readonly Spoken[]) => spoken.map(({ verdict }) => verdict.name)
const probes = [
  { noise: 0.05, step: 1 / 16, every: minutes(1) },
  { noise: 0.2, step: 0.1, every: minutes(1) },
  { noise: 0.1, step: 0.1, every: minutes(5) },
]
const shown = (truth: readonly Truth[], probe = probes[0] ?? fail(), seed = 5) =>
  shownBy(truth, { place: 1, lost: 0.03, ...probe }, seed)
const fail = (): never => {
  throw new Error('no probe')
}

/** Two days of peace, then something happens. */
const happens = days(2)
const cut = practiceCurve(cellarFridge(), days(2.5), 3, (elapsed) => ({ powered: elapsed < happens }))
const stuckOn = practiceCurve(cellarFridge(), days(2.5), 3, (elapsed) =>
  elapsed < happens ? {} : { stuck: true },
)
const colder = practiceCurve(cellarFridge(), days(2.5), 3, (elapsed) => ({
  colder: elapsed < happens ? 0 : 10,
}))
const frosty = practiceCurve(cellarFridge(), days(2.5), 3, (elapsed) => ({
  colder: elapsed < happens ? 0 : 15,
}))
const swinging = practiceCurve(cellarFridge({}, { mean: 19, swing: 5 }), days(5), 3)

describe.each(probes)(
  'N1: with noise of $noise K, steps of $step K and a reading each $every ms',
  (probe) => {
    test('a fridge in a cellar that swings by 10 K a day is not known yet, then well, and nothing else', () => {
      const spoken = verdicts(shown(swinging, probe), { low: 1, high: 9 })
      expect(names(spoken)).toEqual(['notKnownYet', 'ok'])
      expect(spoken[1]?.at).toBeLessThan(hours(9))
    })

    test('the power fails: within 80 minutes it does not cool, since the trough before it', () => {
      const [last, ...before] = [...verdicts(shown(cut, probe))].reverse()
      expect(names(before.reverse())).toEqual(['notKnownYet', 'ok'])
      expect(last?.verdict.name).toBe('notCooling')
      expect(last?.at).toBeGreaterThan(happens)
      expect(last?.at).toBeLessThan(happens + minutes(80))
      if (last?.verdict.name !== 'notCooling') return
      const { since, warmFor, usualWarm, celsius, usualCrest } = last.verdict
      expect(since - curveStart).toBeLessThanOrEqual(happens + minutes(10))
      expect(warmFor).toBeGreaterThan(phaseMultiple * usualWarm)
      expect(celsius).toBeGreaterThan(usualCrest)
    })

    test('the thermostat sticks on: within an hour it cools without a stop', () => {
      const spoken = verdicts(shown(stuckOn, probe))
      const last = spoken.at(-1)
      expect(names(spoken)).toEqual(['notKnownYet', 'ok', 'alwaysCooling'])
      expect((last?.at ?? 0) - happens).toBeLessThan(hours(1))
      if (last?.verdict.name !== 'alwaysCooling') return
      expect(last.verdict.celsius).toBeLessThan(last.verdict.usualTrough)
      expect(last.verdict.coolingFor).toBeGreaterThan(phaseMultiple * last.verdict.usualCold)
    })

    test('the cellar cools to 8 °C and the rests grow threefold: still well', () => {
      expect(names(verdicts(shown(colder, probe)))).toEqual(['notKnownYet', 'ok'])
    })

    test('the cellar cools below the fridge: it is not the compressor, whether the cellar is measured or not', () => {
      const roomAt = new Map(frosty.map(({ at, celsius }) => [at as number, celsius[0] ?? 0]))
      const points = shown(frosty, probe)
      expect(names(verdicts(points, { room: (at) => roomAt.get(at) ?? 0 }))).toEqual(['notKnownYet', 'ok'])
      expect(names(verdicts(points))).toEqual(['notKnownYet', 'ok'])
    })
  },
)

describe('drift', () => {
  const week = practiceCurve(cellarFridge(), days(6), 3)
  const points = shown(week)
  const drifted = (perDay: number): readonly Point[] =>
    points.map(({ at, celsius }) => ({ at, celsius: celsius + (perDay * (at - curveStart)) / days(1) }))

  test('a mean that sinks by 0.2 K a day towards 1 °C is drifting after some days, with its pace and what is left', () => {
    const spoken = verdicts(drifted(-0.2), { low: 2.5, high: 9 })
    expect(names(spoken)).toEqual(['notKnownYet', 'ok', 'drifting'])
    const last = spoken.at(-1)
    if (last?.verdict.name !== 'drifting') return
    expect(last.at).toBeLessThan(days(5))
    expect(last.verdict).toMatchObject({ towards: 'low', of: 'mean', limit: 2.5 })
    expect(last.verdict.perDay).toBeGreaterThan(-0.3)
    expect(last.verdict.perDay).toBeLessThan(-0.12)
    // The trough stood near 3.8 °C; at 0.2 K a day 2.5 °C is met between the sixth and seventh day.
    expect(Math.abs(last.at + last.verdict.reachesIn - days(6.5))).toBeLessThan(days(1.5))
  })

  test('one that rises goes to the high limit', () => {
    const last = verdicts(drifted(0.3), { low: 1, high: 8 }).at(-1)
    expect(last?.verdict).toMatchObject({ name: 'drifting', towards: 'high', limit: 8 })
  })

  test('no limit, a limit far off, or no drift is no drift', () => {
    expect(names(verdicts(drifted(-0.2)))).toEqual(['notKnownYet', 'ok'])
    expect(names(verdicts(drifted(-0.2), { low: -3, high: 30 }))).toEqual(['notKnownYet', 'ok'])
    expect(names(verdicts(points, { low: 3.5, high: 6.5 }))).toEqual(['notKnownYet', 'ok'])
  })

  const half = (i: number, mean: number, amplitude: number) => ({
    at: later(curveStart, i * hours(12)),
    cycles: 16,
    mean,
    amplitude,
  })
  const learnt = (past: CycleLearning['past']): CycleLearning => ({ ...well, past })

  test('a swing that grows round a still mean drifts by its amplitude', () => {
    const past = Array.from({ length: 10 }, (_, i) => half(i, 5, 2 + i / 5))
    const verdict = cycleVerdict(learnt(past), {
      ...now(calm),
      at: later(curveStart, days(5)),
      low: 2,
      high: null,
    })
    expect(verdict).toMatchObject({ name: 'drifting', of: 'amplitude', towards: 'low' })
  })

  test('a drift that takes a week counts, one that takes longer does not', () => {
    // Troughs at 4.00, 3.95 … K, 0.1 K a day; the last of ten, of the ninth half day, stands at 3.55.
    const past = Array.from({ length: 10 }, (_, i) => half(i, 5 - i / 20, 2))
    const at = later(curveStart, 9 * hours(12) + hours(6))
    const to = (low: number) => cycleVerdict(learnt(past), { ...now(calm), at, low, high: null })
    const inAWeek = 3.55 - (0.1 * driftHorizon) / days(1)
    expect(to(inAWeek + 0.01).name).toBe('drifting')
    expect(to(inAWeek - 0.01).name).toBe('ok')
  })

  test('a sinking that may be chance is none: both ends of its interval must point down', () => {
    const said = (wobble: number) =>
      cycleVerdict(learnt(Array.from({ length: 7 }, (_, i) => half(i, 5 - i / 20 + (i % 2) * wobble, 2))), {
        ...now(calm),
        at: later(curveStart, 6 * hours(12) + hours(6)),
        low: 3.2,
        high: null,
      }).name
    expect(said(0.02)).toBe('drifting')
    expect(said(0.3)).toBe('ok')
  })

  test('a drift is forgotten two days after its last half day, not sooner', () => {
    const past = Array.from({ length: 10 }, (_, i) => half(i, 5 - i / 10, 2))
    const after = (ms: number) =>
      cycleVerdict(learnt(past), {
        ...now(calm),
        at: later(curveStart, 9 * hours(12) + ms),
        low: 2.5,
        high: null,
      })
    expect(after(driftForgotten)).toMatchObject({ name: 'drifting', since: curveStart })
    expect(after(driftForgotten + 1).name).toBe('ok')
  })

  test('a drift of 0.05 K a day counts, a slower one is a season', () => {
    const pace = (perDay: number) =>
      cycleVerdict(learnt(Array.from({ length: 10 }, (_, i) => half(i, 5 - (perDay * i) / 2, 2))), {
        ...now(calm),
        at: later(curveStart, 9 * hours(12) + hours(6)),
        low: 3.6,
        high: null,
      }).name
    expect(pace(slowestDrift * 1.001)).toBe('drifting')
    expect(pace(slowestDrift * 0.999)).toBe('ok')
  })

  test('five half days are too few, six are enough', () => {
    const of = (count: number) =>
      cycleVerdict(learnt(Array.from({ length: count }, (_, i) => half(i, 5 - i / 10, 2))), {
        ...now(calm),
        at: later(curveStart, count * hours(12)),
        low: 3,
        high: null,
      }).name
    expect(of(5)).toBe('ok')
    expect(of(6)).toBe('drifting')
  })
})

/** Cycles of 30 min, 12 of them falling, between 4 and 6 °C. */
const well: CycleLearning = {
  ...nothingLearnt,
  count: 100,
  usual: {
    period: { middle: minutes(30), spread: minutes(1) },
    duty: { middle: 0.4, spread: 0.02 },
    amplitude: { middle: 2, spread: 0.1 },
    mean: { middle: 5, spread: 0.1 },
    crest: { middle: 6, spread: 0.1 },
    trough: { middle: 4, spread: 0.1 },
  },
}
const calm: Leg = {
  direction: 'rising',
  since: curveStart,
  from: 4,
  extreme: 5,
  extremeAt: later(curveStart, minutes(5)),
  low: 4,
  lowAt: curveStart,
}
const stateOf = (leg: Leg | null): CycleState => ({ ...noCycles, leg })
const now = (leg: Leg | null) => ({
  at: instant(curveStart + days(1)),
  state: stateOf(leg),
  low: null,
  high: null,
  room: null,
})
const leg = (direction: Leg['direction'], lasts: number, extreme: number): Leg => ({
  ...calm,
  direction,
  extreme,
  extremeAt: later(curveStart, lasts),
})

describe('both sides of each bound', () => {
  const of = (l: Leg | null, room: number | null = null) => cycleVerdict(well, { ...now(l), room }).name

  test('twice the usual warm phase of 18 min is no fault, a millisecond more is; a crest passed by 0.5 K is none, more is', () => {
    expect(of(leg('rising', minutes(36), 8))).toBe('ok')
    expect(of(leg('rising', minutes(36) + 1, 8))).toBe('notCooling')
    expect(of(leg('rising', hours(5), 6.5))).toBe('ok')
    expect(of(leg('rising', hours(5), 6.51))).toBe('notCooling')
  })

  test('twice the usual fall of 12 min and 0.5 K under the trough likewise', () => {
    expect(of(leg('falling', minutes(24), 2))).toBe('ok')
    expect(of(leg('falling', minutes(24) + 1, 2))).toBe('alwaysCooling')
    expect(of(leg('falling', hours(1), 3.5))).toBe('ok')
    expect(of(leg('falling', hours(1), 3.49))).toBe('alwaysCooling')
  })

  test('a phase that ended by itself of late is no fault when it comes again, nor a quarter longer; more is', () => {
    const once = noteLongest(well, { period: minutes(100), duty: 0.4 })
    const says = (l: Leg) => cycleVerdict(once, now(l)).name
    expect(says(leg('rising', minutes(75), 8))).toBe('ok')
    expect(says(leg('rising', minutes(75) + 1, 8))).toBe('notCooling')
    expect(says(leg('falling', minutes(50), 2))).toBe('ok')
    expect(says(leg('falling', minutes(50) + 1, 2))).toBe('alwaysCooling')
  })

  test('it is forgotten over a week, and a phase of a day teaches no more than six hours', () => {
    const day = noteLongest(well, { period: days(2), duty: 0.5 })
    expect(day.longest).toEqual({ warm: hours(6), cold: hours(6) })
    let later = day
    for (let i = 0; i < 7 * 48; i++) later = noteLongest(later, { period: minutes(30), duty: 0.4 })
    expect(later.longest.warm / hours(6)).toBeCloseTo(Math.exp(-1), 3)
    expect(later.longest.cold / hours(6)).toBeCloseTo(Math.exp(-1), 3)
  })

  test('a fall of three hours above the trough is a long one, more is without a stop', () => {
    expect(of(leg('falling', longestRun, 5))).toBe('ok')
    expect(of(leg('falling', longestRun + 1, 5))).toBe('alwaysCooling')
    expect(of(leg('falling', longestRun + 1, 4.99))).toBe('ok') // below its mean at so slow a pace: the room's doing
    expect(of(leg('falling', longestRun + 1, 5), 5 + warmerRoom)).toBe('ok')
    expect(of(leg('falling', longestRun + 1, 5), 5.01 + warmerRoom)).toBe('alwaysCooling')
  })

  test('nothing is known without cycles or after a gap', () => {
    expect(cycleVerdict(nothingLearnt, now(calm))).toMatchObject({
      name: 'notKnownYet',
      cycles: 0,
      enough: 8,
    })
    expect(of(null)).toBe('notKnownYet')
    expect(of(leg('unknown', hours(9), 20))).toBe('ok')
  })
})

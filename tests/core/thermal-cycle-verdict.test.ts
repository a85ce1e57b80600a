import { describe, expect, test } from 'vitest'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { sayPhases, warmerRoom } from '../../shared/judging/thermal-phases.ts'
import type { Surroundings } from '../../shared/judging/thermal-surroundings.ts'
import { noCycles, stepCycle, type Leg } from '../../shared/thermal/cycle.ts'
import {
  driftForgotten,
  driftHorizon,
  type DriftVerdict,
  driftVerdict,
  longestRun,
  phaseMultiple,
  phaseVerdict,
  slowestDrift,
} from '../../shared/thermal/cycle-verdict.ts'
import { doorUnknown } from '../../shared/thermal/door.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import {
  type CycleBaseline,
  type CycleLearning,
  learnCycle,
  noteLongest,
  nothingLearnt,
  usualCold,
  usualWarm,
} from '../../shared/thermal/usual-cycle.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy, type Truth } from '../support/practice-curve.ts'

interface Spoken {
  readonly at: number
  readonly name: 'notKnownYet' | 'ok' | 'notCooling' | 'alwaysCooling' | 'drifting'
  readonly drift: DriftVerdict | null
  readonly leg: Leg | null
  readonly learning: CycleLearning
}

interface Around {
  readonly low?: number
  readonly high?: number
}

/** What phases and drift say of each reading once the cycle is learnt: the first of each in a row, with its time from the start. */
function verdicts(points: readonly Point[], { low, high }: Around = {}): readonly Spoken[] {
  let state = noCycles
  let learning = nothingLearnt
  const spoken: Spoken[] = []
  for (const point of points) {
    const [next, cycle] = stepCycle(state, point)
    state = next
    if (cycle !== null) learning = learnCycle(learning, cycle)
    const { usual, longest } = learning
    const { leg } = state
    const isKnown = usual !== null && leg !== null
    const phase = isKnown ? phaseVerdict(usual, leg, longest) : null
    const drift = isKnown
      ? driftVerdict(learning, { at: point.at, low: low ?? null, high: high ?? null })
      : null
    const name = !isKnown ? 'notKnownYet' : (phase ?? (drift === null ? 'ok' : 'drifting'))
    if (spoken.at(-1)?.name !== name) spoken.push({ at: point.at - curveStart, name, drift, leg, learning })
  }
  return spoken
}

const names = (spoken: readonly Spoken[]) => spoken.map(({ name }) => name)
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
      expect(last?.name).toBe('notCooling')
      expect(last?.at).toBeGreaterThan(happens)
      expect(last?.at).toBeLessThan(happens + minutes(80))
      const { leg, learning } = last ?? {}
      if (!leg || !learning?.usual) throw new Error('Nothing was learnt.')
      expect(leg.since - curveStart).toBeLessThanOrEqual(happens + minutes(10))
      expect(leg.extremeAt - leg.since).toBeGreaterThan(phaseMultiple * usualWarm(learning.usual))
      expect(leg.extreme).toBeGreaterThan(learning.usual.crest.middle)
    })

    test('the thermostat sticks on: within an hour it cools without a stop', () => {
      const spoken = verdicts(shown(stuckOn, probe))
      const last = spoken.at(-1)
      expect(names(spoken)).toEqual(['notKnownYet', 'ok', 'alwaysCooling'])
      expect((last?.at ?? 0) - happens).toBeLessThan(hours(1))
      const { leg, learning } = last ?? {}
      if (!leg || !learning?.usual) throw new Error('Nothing was learnt.')
      expect(leg.extreme).toBeLessThan(learning.usual.trough.middle)
      expect(leg.extremeAt - leg.since).toBeGreaterThan(phaseMultiple * usualCold(learning.usual))
    })

    test('the cellar cools to 8 °C and the rests grow threefold: still well', () => {
      expect(names(verdicts(shown(colder, probe)))).toEqual(['notKnownYet', 'ok'])
    })

    test('the cellar cools below the fridge, unmeasured: it is not the compressor', () => {
      expect(names(verdicts(shown(frosty, probe)))).toEqual(['notKnownYet', 'ok'])
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
    if (!last?.drift) throw new Error('It drifts.')
    expect(last.at).toBeLessThan(days(5))
    expect(last.drift).toMatchObject({ towards: 'low', of: 'mean', limit: 2.5 })
    expect(last.drift.perDay).toBeGreaterThan(-0.3)
    expect(last.drift.perDay).toBeLessThan(-0.12)
    // The trough stood near 3.8 °C; at 0.2 K a day 2.5 °C is met between the sixth and seventh day.
    expect(Math.abs(last.at + last.drift.reachesIn - days(6.5))).toBeLessThan(days(1.5))
  })

  test('one that rises goes to the high limit', () => {
    const last = verdicts(drifted(0.3), { low: 1, high: 8 }).at(-1)
    expect(last).toMatchObject({ name: 'drifting', drift: { towards: 'high', limit: 8 } })
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
    const verdict = driftVerdict(learnt(past), { at: later(curveStart, days(5)), low: 2, high: null })
    expect(verdict).toMatchObject({ of: 'amplitude', towards: 'low' })
  })

  test('a drift that takes a week counts, one that takes longer does not', () => {
    // Troughs at 4.00, 3.95 … K, 0.1 K a day; the last of ten, of the ninth half day, stands at 3.55.
    const past = Array.from({ length: 10 }, (_, i) => half(i, 5 - i / 20, 2))
    const at = later(curveStart, 9 * hours(12) + hours(6))
    const to = (low: number) => driftVerdict(learnt(past), { at, low, high: null })
    const inAWeek = 3.55 - (0.1 * driftHorizon) / days(1)
    expect(to(inAWeek + 0.01)).not.toBeNull()
    expect(to(inAWeek - 0.01)).toBeNull()
  })

  test('a sinking that may be chance is none: both ends of its interval must point down', () => {
    const at = later(curveStart, 6 * hours(12) + hours(6))
    const said = (wobble: number) => {
      const past = Array.from({ length: 7 }, (_, i) => half(i, 5 - i / 20 + (i % 2) * wobble, 2))
      return driftVerdict(learnt(past), { at, low: 3.2, high: null })
    }
    expect(said(0.02)).not.toBeNull()
    expect(said(0.3)).toBeNull()
  })

  test('a drift is forgotten two days after its last half day, not sooner', () => {
    const past = Array.from({ length: 10 }, (_, i) => half(i, 5 - i / 10, 2))
    const after = (ms: number) =>
      driftVerdict(learnt(past), { at: later(curveStart, 9 * hours(12) + ms), low: 2.5, high: null })
    expect(after(driftForgotten)).not.toBeNull()
    expect(after(driftForgotten + 1)).toBeNull()
  })

  test('a drift of 0.05 K a day counts, a slower one is a season', () => {
    const at = later(curveStart, 9 * hours(12) + hours(6))
    const pace = (perDay: number) => {
      const past = Array.from({ length: 10 }, (_, i) => half(i, 5 - (perDay * i) / 2, 2))
      return driftVerdict(learnt(past), { at, low: 3.6, high: null })
    }
    expect(pace(slowestDrift * 1.001)).not.toBeNull()
    expect(pace(slowestDrift * 0.999)).toBeNull()
  })

  test('five half days are too few, six are enough', () => {
    const of = (count: number) => {
      const past = Array.from({ length: count }, (_, i) => half(i, 5 - i / 10, 2))
      return driftVerdict(learnt(past), { at: later(curveStart, count * hours(12)), low: 3, high: null })
    }
    expect(of(5)).toBeNull()
    expect(of(6)).not.toBeNull()
  })
})

/** Cycles of 30 min, 12 of them falling, between 4 and 6 °C. */
const usual: CycleBaseline = {
  period: { middle: minutes(30), spread: minutes(1) },
  duty: { middle: 0.4, spread: 0.02 },
  amplitude: { middle: 2, spread: 0.1 },
  mean: { middle: 5, spread: 0.1 },
  crest: { middle: 6, spread: 0.1 },
  trough: { middle: 4, spread: 0.1 },
}
const well: CycleLearning = { ...nothingLearnt, count: 100, usual }
const calm: Leg = {
  direction: 'rising',
  since: curveStart,
  from: 4,
  extreme: 5,
  extremeAt: later(curveStart, minutes(5)),
  low: 4,
  lowAt: curveStart,
}
const leg = (direction: Leg['direction'], lasts: number, extreme: number): Leg => ({
  ...calm,
  direction,
  extreme,
  extremeAt: later(curveStart, lasts),
})

/** A place of which nothing is planned, known or told. */
const quiet: Surroundings = {
  role: { isAir: true, follows: null, uncertainty: 0.3 },
  limits: [],
  plan: () => ({ isCoolingDown: false, isWarmingUp: false }),
  room: () => null,
  wasPlugOut: () => false,
  isShut: () => false,
  isCritical: () => false,
  isTold: () => false,
}

describe('both sides of each bound', () => {
  const of = (l: Leg) => phaseVerdict(usual, l, well.longest)

  test('twice the usual warm phase of 18 min is no fault, a millisecond more is; a crest passed by 0.5 K is none, more is', () => {
    expect(of(leg('rising', minutes(36), 8))).toBeNull()
    expect(of(leg('rising', minutes(36) + 1, 8))).toBe('notCooling')
    expect(of(leg('rising', hours(5), 6.5))).toBeNull()
    expect(of(leg('rising', hours(5), 6.51))).toBe('notCooling')
  })

  test('twice the usual fall of 12 min and 0.5 K under the trough likewise', () => {
    expect(of(leg('falling', minutes(24), 2))).toBeNull()
    expect(of(leg('falling', minutes(24) + 1, 2))).toBe('alwaysCooling')
    expect(of(leg('falling', hours(1), 3.5))).toBeNull()
    expect(of(leg('falling', hours(1), 3.49))).toBe('alwaysCooling')
  })

  test('a phase that ended by itself of late is no fault when it comes again, nor a quarter longer; more is', () => {
    const once = noteLongest(well, { period: minutes(100), duty: 0.4 })
    const says = (l: Leg) => phaseVerdict(usual, l, once.longest)
    expect(says(leg('rising', minutes(75), 8))).toBeNull()
    expect(says(leg('rising', minutes(75) + 1, 8))).toBe('notCooling')
    expect(says(leg('falling', minutes(50), 2))).toBeNull()
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
    expect(of(leg('falling', longestRun, 5))).toBeNull()
    expect(of(leg('falling', longestRun + 1, 5))).toBe('alwaysCooling')
    expect(of(leg('falling', longestRun + 1, 4.99))).toBeNull() // below its mean at so slow a pace: the room's doing
  })

  test('a room that may cool it is no compressor: one not warmer than the air by more than 1 K', () => {
    const long = leg('falling', longestRun + 1, 5)
    const point = { at: long.extremeAt, celsius: 5 }
    const said = (room: number | null) => {
      const around = { ...quiet, room: () => room }
      const phases = { usual, longest: well.longest, leg: long, ended: null, door: doorUnknown, point }
      return sayPhases([{}, []], phases, around)[1].map(({ name }) => name)
    }
    expect(said(5 + warmerRoom)).toEqual([])
    expect(said(5.01 + warmerRoom)).toEqual(['alwaysCooling'])
    expect(said(null)).toEqual(['alwaysCooling'])
  })

  test('a leg whose way is not known yet says nothing, however long and warm', () => {
    expect(of(leg('unknown', hours(9), 20))).toBeNull()
  })
})

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import {
  longestGap,
  noCycles,
  smallestTurn,
  stepCycle,
  type Cycle,
  type CycleState,
} from '../../shared/thermal/cycle.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { paceOf } from '../../shared/thermal/pace-interval.ts'
import {
  enoughCycles,
  learnCycle,
  nothingLearnt,
  usualCold,
  usualWarm,
  type CycleLearning,
} from '../../shared/thermal/usual-cycle.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy, type Truth } from '../support/practice-curve.ts'

interface Seen {
  readonly state: CycleState
  readonly cycles: readonly Cycle[]
  readonly learning: CycleLearning
}

function see(points: readonly Point[]): Seen {
  let state = noCycles
  const cycles: Cycle[] = []
  for (const point of points) {
    const [next, cycle] = stepCycle(state, point)
    state = next
    if (cycle !== null) cycles.push(cycle)
  }
  return { state, cycles, learning: cycles.reduce(learnCycle, nothingLearnt) }
}

/** What really happened, from the compressor's own starts and the whole curve. */
function truthOf(truth: readonly Truth[]) {
  const starts = truth.flatMap(({ at, running }, i) => (running[1] && !truth[i - 1]?.running[1] ? [at] : []))
  const air = truth.map(({ celsius }) => celsius[1] ?? 0)
  return {
    cycles: starts.length - 1,
    period: ((starts.at(-1) ?? 0) - (starts[0] ?? 0)) / (starts.length - 1),
    duty: truth.filter(({ running }) => running[1]).length / truth.length,
    swing: air.reduce((most, v) => Math.max(most, v), -99) - air.reduce((least, v) => Math.min(least, v), 99),
    mean: air.reduce((sum, v) => sum + v, 0) / air.length,
  }
}

/** A sawtooth of straight flanks: 12 min down, 18 min up, from 6 to 4 °C. */
const tooth = (ms: number): number => {
  const t = ms % minutes(30)
  return t < minutes(12) ? 6 - (2 * t) / minutes(12) : 4 + (2 * (t - minutes(12))) / minutes(18)
}
const sawtooth = (count: number, every: number, shape = tooth): Point[] =>
  Array.from({ length: count }, (_, i) => ({ at: later(curveStart, i * every), celsius: shape(i * every) }))

describe('the cycles of a sawtooth', () => {
  test('its period, falling share, amplitude and mean come out, with what the smoothing of a minute takes', () => {
    const { cycles } = see(sawtooth(600, minutes(1)))
    // 600 min hold 20 crests; the first one is where the curve begins, and the last is not past yet.
    expect(cycles).toHaveLength(18)
    for (const { period, duty, amplitude, mean } of cycles) {
      expect(period).toBe(minutes(30))
      expect(duty).toBeCloseTo(0.4, 1)
      expect(amplitude).toBeGreaterThan(1.75)
      expect(amplitude).toBeLessThanOrEqual(2)
      expect(mean).toBeCloseTo(5, 1)
    }
  })

  test('each begins where the last one ended, and the crest lies where it was, not where it was noticed', () => {
    const { cycles } = see(sawtooth(600, minutes(1)))
    for (const [i, { from, to, period }] of cycles.entries()) {
      expect(to - from).toBe(period)
      if (i > 0) expect(from).toBe(cycles[i - 1]?.to)
      expect((from - curveStart) % minutes(30)).toBeLessThanOrEqual(minutes(1))
    }
  })
})

describe('cycles of the practice fridge', () => {
  const coarse = practiceCurve(cellarFridge(), days(2), 5)
  const fine = practiceCurve(cellarFridge({ hysteresis: 1.2 }), days(2), 5)
  const probes = [minutes(1), minutes(2), minutes(5)].flatMap((every) =>
    [
      { noise: 0.05, step: 1 / 16 },
      { noise: 0.1, step: 0.1 },
      { noise: 0.2, step: 0.1 },
    ].map((probe) => ({ every, ...probe })),
  )

  test.each(probes)(
    'a reading each $every ms with noise $noise K and steps of $step K, one in twenty lost',
    (probe) => {
      for (const [truth, share] of [
        [coarse, 0.97],
        [fine, 0.9],
      ] as const) {
        // A swing of 1.5 K under noise of 0.2 K each 5 min is at the edge: every other cycle may merge with the next.
        const isEdge = truth === fine && probe.noise === 0.2 && probe.every === minutes(5)
        const real = truthOf(truth)
        for (let seed = 1; seed <= 5; seed++) {
          const { cycles, learning } = see(shownBy(truth, { place: 1, ...probe, lost: 0.05 }, seed))
          const { usual } = learning
          expect(cycles.length).toBeGreaterThanOrEqual((isEdge ? 0.5 : share) * real.cycles - 1)
          expect(cycles.length).toBeLessThanOrEqual(real.cycles + 1)
          expect(Math.abs((usual?.period.middle ?? 0) / real.period - 1)).toBeLessThan(isEdge ? 0.2 : 0.1)
          // Air and plate follow late: the air falls for longer than the compressor runs.
          expect(usual?.duty.middle).toBeGreaterThan(real.duty)
          expect(usual?.duty.middle).toBeLessThan(real.duty + 0.2)
          expect((usual?.amplitude.middle ?? 0) / real.swing).toBeGreaterThan(0.7)
          expect((usual?.amplitude.middle ?? 0) / real.swing).toBeLessThan(1.15)
          expect(Math.abs((usual?.mean.middle ?? 0) - real.mean)).toBeLessThan(0.1)
        }
      }
    },
  )

  test('the noise of one reading is learnt beside it, to a factor of two', () => {
    for (const noise of [0.05, 0.1, 0.2]) {
      const { state } = see(shownBy(coarse, { place: 1, every: minutes(1), noise, step: 0.01 }, 2))
      expect(state.noise).toBeGreaterThan(noise / 2)
      expect(state.noise).toBeLessThan(noise * 2)
    }
  })

  test('a lone reading 4 K off, at any place, neither makes nor moves a cycle by more than its own time', () => {
    const clean = shownBy(coarse, { place: 1, every: minutes(1), noise: 0.05, step: 1 / 16 }, 1).slice(0, 600)
    const without = see(clean).cycles
    expect(without.length).toBeGreaterThan(8)
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 598 }), fc.constantFrom(-4, 4), (where, by) => {
        const spiked = clean.map((p, i) => (i === where ? { ...p, celsius: p.celsius + by } : p))
        const { cycles } = see(spiked)
        expect(cycles).toHaveLength(without.length)
        for (const [i, { to }] of cycles.entries()) {
          expect(Math.abs(to - (without[i]?.to ?? 0))).toBeLessThanOrEqual(minutes(4))
        }
      }),
      { numRuns: 40 },
    )
  })
})

describe('what is no cycle', () => {
  test('a swing of the smallest turn is none, a little more is', () => {
    const swing = (kelvin: number) => (ms: number) => 5 + ((tooth(ms) - 5) / 2) * kelvin
    // The smoothing takes a part of it, so the figures lie on either side of it by a quarter.
    expect(see(sawtooth(600, minutes(1), swing(smallestTurn))).cycles).toHaveLength(0)
    expect(see(sawtooth(600, minutes(1), swing(smallestTurn * 1.4))).cycles.length).toBeGreaterThan(15)
  })

  test('a ripple of less than 0.4 of the usual swing, in every rest, is none once the swing is known', () => {
    const rippled = (ms: number) => {
      const t = ms % minutes(30)
      return t >= minutes(20) && t < minutes(25) ? tooth(ms) - 0.8 : tooth(ms)
    }
    const periods = see(sawtooth(1200, minutes(1), rippled)).cycles.map(({ period }) => period)
    // Before it is known it may be taken for a turn: the first hours do not count.
    expect(new Set(periods.slice(5))).toEqual(new Set([minutes(30)]))
    expect(periods.length).toBeGreaterThan(35)
  })

  test('a thermostat set finer is found again within hours: a swing not seen is forgotten', () => {
    const coarse = (ms: number) => 5 + (tooth(ms) - 5) * 2
    const finer = (ms: number) => 5 + (tooth(ms) - 5) * 0.55
    const set = hours(10)
    const { cycles } = see(sawtooth(1200, minutes(1), (ms) => (ms < set ? coarse(ms) : finer(ms))))
    const after = cycles.filter(({ from }) => from - curveStart >= set + hours(6))
    expect(after.length).toBeGreaterThan(4)
    expect(after[0]?.amplitude).toBeLessThan(1.2)
  })

  test('noise on still air makes one a day at most, where a fridge makes thirty', () => {
    const still = practiceCurve([{ id: 'r', kind: 'room', mean: 5 }], days(1), 1)
    for (const noise of [0.02, 0.05, 0.1, 0.2]) {
      for (const step of [1 / 16, 0.1]) {
        const probe = { place: 0, every: minutes(1), noise, step }
        const seen = [1, 2, 3, 4, 5].map((seed) => see(shownBy(still, probe, seed)).cycles.length)
        expect(seen.reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(5)
      }
    }
  })

  test('L5: a repeat, a late reading and what is no number change nothing', () => {
    const { state } = see(sawtooth(100, minutes(1)))
    const at = state.waiting?.at ?? instant(0)
    expect(stepCycle(state, { at, celsius: 30 })).toEqual([state, null])
    expect(stepCycle(state, { at: later(at, -1), celsius: 30 })).toEqual([state, null])
    expect(stepCycle(state, { at: later(at, 1), celsius: Number.NaN })).toEqual([state, null])
  })

  test('a gap of a quarter of an hour is bridged, a longer one breaks the cycle that it falls into', () => {
    const points = sawtooth(600, minutes(1))
    const gap = (ms: number) =>
      points.filter(({ at }) => at <= curveStart + minutes(195) || at >= curveStart + minutes(195) + ms)
    expect(see(gap(longestGap)).cycles).toHaveLength(18)
    const broken = see(gap(longestGap + minutes(1))).cycles
    expect(broken.length).toBeLessThan(18)
    expect(Math.max(...broken.map(({ period }) => period))).toBe(minutes(30))
  })
})

describe('what is usual', () => {
  const cycle = (i: number, period = minutes(30), off: Partial<Cycle> = {}): Cycle => ({
    from: later(curveStart, i * minutes(30)),
    to: later(curveStart, (i + 1) * minutes(30)),
    period,
    duty: 0.4,
    amplitude: 2,
    mean: 5,
    crest: 6,
    trough: 4,
    ...off,
  })
  const after = (cycles: readonly Cycle[]) => cycles.reduce(learnCycle, nothingLearnt)
  const many = (count: number, from = 0, off: Partial<Cycle> = {}) =>
    Array.from({ length: count }, (_, i) => cycle(from + i, minutes(30), off))

  test('is not known after seven cycles, and known after eight', () => {
    expect(after(many(enoughCycles - 1)).usual).toBeNull()
    const { usual } = after(many(enoughCycles))
    expect(usual?.period.middle).toBe(minutes(30))
    expect(usual === null ? 0 : usualCold(usual)).toBeCloseTo(minutes(12), 0)
    expect(usual === null ? 0 : usualWarm(usual)).toBeCloseTo(minutes(18), 0)
  })

  test('three wild cycles in the first eight and one in ten after them do not move it', () => {
    const wild = Array.from({ length: 200 }, (_, i) =>
      [1, 4, 6].includes(i) || i % 10 === 9 ? cycle(i, hours(3), { mean: 15 }) : cycle(i),
    )
    const { usual } = after(wild)
    expect(Math.abs((usual?.period.middle ?? 0) - minutes(30))).toBeLessThan(minutes(2))
    expect(Math.abs((usual?.mean.middle ?? 0) - 5)).toBeLessThan(0.2)
  })

  test('follows a new thermostat within two weeks: the old habit is forgotten', () => {
    const old = many(200)
    const fresh = Array.from({ length: 48 * 14 }, (_, i) => cycle(200 + i, minutes(20), { mean: 7 }))
    const { usual } = after([...old, ...fresh])
    expect(Math.abs((usual?.period.middle ?? 0) - minutes(20))).toBeLessThan(minutes(2))
    expect(Math.abs((usual?.mean.middle ?? 0) - 7)).toBeLessThan(0.3)
  })

  test('starts again after a pause of more than fourteen days, not after exactly fourteen', () => {
    const old = many(20)
    const paused = (ms: number): Cycle => {
      const to = later(old.at(-1)?.to ?? curveStart, ms)
      return { ...cycle(0), from: later(to, -minutes(30)), to }
    }
    expect(after([...old, paused(days(14))]).usual).not.toBeNull()
    expect(after([...old, paused(days(14) + 1)])).toMatchObject({ usual: null, count: 1 })
  })

  test('L5: a cycle told twice changes nothing', () => {
    const learning = after(many(20))
    expect(learnCycle(learning, cycle(19))).toBe(learning)
  })

  test('its memory stays small whatever the winter brings (X3)', () => {
    const learning = after(many(48 * 100))
    expect(learning.past).toHaveLength(14)
    expect(learning.first).toHaveLength(0)
    expect(JSON.stringify(learning).length).toBeLessThan(3000)
  })
})

describe('a pace with its interval (Sen 1968)', () => {
  const at = (i: number) => later(curveStart, i * hours(1))

  test('five points are too few, six are enough; a straight line is certain', () => {
    const line = (count: number) => Array.from({ length: count }, (_, i) => [at(i), 5 - i / 2] as const)
    expect(paceOf(line(5))).toBeNull()
    for (const end of ['perHour', 'low', 'high'] as const)
      expect(paceOf(line(6))?.[end]).toBeCloseTo(-0.5, 12)
    expect(paceOf(line(6).map(([, v]) => [at(0), v] as const))).toBeNull()
  })

  test('its interval holds the true pace in nineteen of twenty noisy lines, and three wild points in ten do not move it', () => {
    let held = 0
    const still = practiceCurve([{ id: 'r', kind: 'room', mean: 5 }], hours(12), 1)
    for (let seed = 1; seed <= 200; seed++) {
      const noisy = shownBy(still, { place: 0, every: hours(1), noise: 0.2, step: 0.001 }, seed)
      const pace = paceOf(noisy.map((p, i) => [p.at, p.celsius + 0.1 * i] as const))
      if (pace !== null && pace.low <= 0.1 && pace.high >= 0.1) held++
    }
    expect(held / 200).toBeGreaterThan(0.9)
    const wild = Array.from({ length: 20 }, (_, i) => [at(i), i % 7 === 3 ? 40 : i / 10] as const)
    expect(paceOf(wild)?.perHour).toBeCloseTo(0.1, 1)
  })
})

test('L7: what is remembered survives being written down and read back at any reading', () => {
  const points = shownBy(
    practiceCurve(cellarFridge(), hours(14), 5),
    { place: 1, every: minutes(2), noise: 0.1, step: 0.1 },
    1,
  )
  const reread = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T
  let state = noCycles
  let learning = nothingLearnt
  for (const point of points) {
    const [next, cycle] = stepCycle(reread(state), point)
    state = next
    if (cycle !== null) learning = learnCycle(reread(learning), cycle)
  }
  expect(state).toEqual(see(points).state)
  expect(learning).toEqual(see(points).learning)
  expect(learning.usual).not.toBeNull()
})

test('an hour of seconds costs the same memory as a minute of them', () => {
  const size = (count: number) => JSON.stringify(see(sawtooth(count, seconds(1))).state).length
  expect(Math.abs(size(3600) - size(1800))).toBeLessThan(200)
})

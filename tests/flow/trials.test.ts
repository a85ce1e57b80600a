import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { beforeAll, describe, expect, test } from 'vitest'
import { hours, minutes } from '../../schemas/amounts.ts'
import { bandOf } from '../trials/band.ts'
import { type CalmSort, calmSortOf, type Surrounding } from '../trials/calm.ts'
import { airLooksBack, leastLead, quickLengths } from '../trials/definitions.ts'
import type { Outcome } from '../trials/outcome.ts'
import { plan } from '../trials/plan.ts'
import { falseOf, figuresOf, missesOf } from '../trials/figures.ts'
import { reportOn } from '../trials/report.ts'
import { runWinter } from '../trials/winter.ts'

/*
 * The harness of `npm run trials` on sixty short winters; what the judge is worth is measured there, on a thousand
 * whole ones.
 */
const seed = 1
let outcomes: readonly Outcome[] = []
const withFault = (): Outcome[] => outcomes.filter(({ family }) => family !== 'none')

beforeAll(() => {
  outcomes = plan(60, seed, null).map((asked) => runWinter(asked.seed, asked.family, quickLengths))
}, 180_000)

describe('sixty simulated winters', () => {
  test('the faults really happen: a cooler that never stops freezes, one that never starts and a heater that never stops warm', () => {
    const sides = (family: string): unknown[] =>
      outcomes.filter((one) => one.family === family).map(({ harm }) => harm?.side)
    expect(sides('thermostat-on')).toEqual(['low', 'low', 'low', 'low'])
    expect(sides('thermostat-off')).toEqual(['high', 'high', 'high', 'high'])
    expect(sides('heater-on')).toContain('high')
    expect(sides('heater-dead')).toContain('low')
    expect(sides('mains-cut-frost')).not.toContain('high')
    const harmed = withFault().filter(({ harm }) => harm !== null)
    expect(harmed.length).toBeGreaterThan(withFault().length / 4)
    for (const { harm, begins } of harmed) expect(harm?.at).toBeGreaterThan(begins ?? Infinity)
  })

  test('without its fault no winter harms, neither a quiet one nor a faulty one’s twin', () => {
    expect(outcomes.map(({ twinHarm }) => twinHarm)).toEqual(outcomes.map(() => null))
    expect(outcomes.filter(({ family, harm }) => family === 'none' && harm !== null)).toEqual([])
  })

  test('only winters count in which physics left time, after the fault began and after it could be seen', () => {
    const counted = outcomes.filter(({ isCounted }) => isCounted)
    expect(counted.length).toBeGreaterThan(10)
    for (const { harm, begins, visible } of counted) {
      expect((harm?.at ?? 0) - (begins ?? Infinity)).toBeGreaterThanOrEqual(leastLead)
      expect((harm?.at ?? 0) - (visible ?? Infinity)).toBeGreaterThanOrEqual(leastLead)
      expect(visible).toBeGreaterThan(begins ?? Infinity)
    }
  })

  test('the baselines behave as a threshold does: they tell of most that the sensors see coming, dwell later than none', () => {
    const bare = figuresOf('all', withFault(), 'bare')
    const dwell = figuresOf('all', withFault(), 'dwell')
    expect(bare.told).toBeGreaterThan(bare.counted / 2)
    expect(dwell.told).toBeLessThanOrEqual(bare.told)
    for (const { isCounted, verdicts } of withFault()) {
      if (!isCounted || verdicts.dwell.first === null || verdicts.bare.first === null) continue
      expect(verdicts.bare.first.at).toBeLessThanOrEqual(verdicts.dwell.first.at)
    }
  })

  test('the judge tells of no fewer than either baseline before harm', () => {
    const told = figuresOf('all', withFault(), 'judge').told
    expect(told).toBeGreaterThanOrEqual(figuresOf('all', withFault(), 'bare').told)
    expect(told).toBeGreaterThanOrEqual(figuresOf('all', withFault(), 'dwell').told)
    expect(missesOf(outcomes, 'judge').length).toBeLessThanOrEqual(missesOf(outcomes, 'bare').length)
  })

  test('no critical limit rings falsely more often with the judge than with the bare threshold', () => {
    const kinds = Object.entries(falseOf(outcomes, 'judge').kinds)
    const critical = kinds.filter(([kind]) => kind.startsWith('limit') && kind.endsWith('(high)'))
    expect(critical.reduce((sum, [, n]) => sum + n, 0)).toBeLessThanOrEqual(falseOf(outcomes, 'bare').high)
  })

  test('the same seed gives the same table, in another process and shared out between two', async () => {
    const few = plan(6, seed, null).map(({ seed }) => seed)
    const own = reportOn(outcomes.filter((one) => few.includes(one.seed)))
    const main = fileURLToPath(new URL('../trials/main.ts', import.meta.url))
    const { stdout } = await promisify(execFile)(process.execPath, [
      ...['--import', 'tsx', main, '--quick', '--winters', '6', '--seed', String(seed), '--jobs', '2'],
    ])
    expect(stdout).toContain(own.join('\n'))
  }, 60_000)
})

describe('what an alarm was that rang while the animal was well', () => {
  const [start, stepMs] = [0, minutes(1)]
  const length = hours(12) / stepMs
  const so = (change: (coldest: Float32Array) => void, more: Partial<Surrounding> = {}): Surrounding => {
    const coldest = new Float32Array(length).fill(5)
    change(coldest)
    return {
      ...{
        band: bandOf('testudo-hermanni'),
        start,
        stepMs,
        coldest,
        warmest: new Float32Array(length).fill(5),
      },
      gaps: [],
      moved: [],
      openings: [],
      probes: [{ id: 'air', tolerance: 0.5, guard: 0.58, every: stepMs }],
      ...more,
    }
  }
  const frost = { at: hours(6), kind: 'limit lowCritical', sensor: 'air' }
  const lowest = (celsius: number, at = hours(6) - stepMs) =>
    so((coldest) => (coldest[at / stepMs] = celsius))

  test('L11: air at the limit within the half hour before is right by rule; a minute earlier is not', () => {
    expect(calmSortOf(frost, lowest(1))).toBe('airOut')
    expect(calmSortOf(frost, lowest(1, hours(6) - airLooksBack))).toBe('airOut')
    expect(calmSortOf(frost, lowest(1, hours(6) - airLooksBack - stepMs))).toBe('wrong')
  })

  test('L9: nearer than the data sheet’s error is nearly, nearer than that and the guard is guarded, else wrong', () => {
    expect([1.01, 1.5, 1.51, 2.07, 2.09].map((value) => calmSortOf(frost, lowest(value)))).toEqual([
      ...['nearly', 'nearly', 'guarded', 'guarded', 'wrong'],
    ])
  })

  test('a probe that lay outside within the half hour before is that, and no other probe; what looks ahead is wrong all the same', () => {
    const moved = (from: number, to: number, probe = 'air') => so(() => {}, { moved: [{ probe, from, to }] })
    expect(calmSortOf(frost, moved(hours(6), hours(7)))).toBe('moved')
    expect(calmSortOf(frost, moved(hours(6) + 1, hours(7)))).toBe('wrong')
    expect(calmSortOf(frost, moved(hours(5), hours(6) - airLooksBack + 1))).toBe('moved')
    expect(calmSortOf(frost, moved(hours(5), hours(6) - airLooksBack))).toBe('wrong')
    expect(calmSortOf(frost, moved(hours(5), hours(7), 'box'))).toBe('wrong')
    expect(calmSortOf({ ...frost, kind: 'limitAhead lowCritical' }, moved(hours(5), hours(7)))).toBe('wrong')
  })

  test('L12: what looks ahead is right where the air passes the limit within two hours', () => {
    const ahead = { ...frost, kind: 'limitAhead lowCritical' }
    expect(calmSortOf(ahead, lowest(0.9, hours(8) - stepMs))).toBe('airOut')
    expect(calmSortOf(ahead, lowest(0.9, hours(8)))).toBe('wrong')
    expect(calmSortOf(frost, lowest(0.9, hours(8) - stepMs))).toBe('wrong')
  })

  test('N1: a radio gap longer than the sensor may be silent is silence indeed; a millisecond short is not, nor another’s gap', () => {
    const silent = { at: minutes(70), kind: 'silent', sensor: 'air' }
    const gap = (from: number, probe = 'air') => so(() => {}, { gaps: [{ probe, from, to: minutes(72) }] })
    expect(calmSortOf(silent, gap(minutes(60)))).toBe('silent')
    expect(calmSortOf(silent, gap(minutes(60) + 1))).toBe('wrong')
    expect(calmSortOf(silent, gap(minutes(60), 'box'))).toBe('wrong')
    expect(calmSortOf({ ...silent, at: minutes(72) + 1 }, gap(minutes(60)))).toBe('wrong')
  })

  test('a door that stands open is open indeed, to the moment at which it is shut', () => {
    const openings = [{ from: hours(5), to: hours(6) }]
    const ajar = { ...frost, kind: 'doorAjar' }
    expect(
      calmSortOf(
        { ...ajar, at: hours(6) - 1 },
        so(() => {}, { openings }),
      ),
    ).toBe('open')
    expect(
      calmSortOf(
        ajar,
        so(() => {}, { openings }),
      ),
    ).toBe('wrong')
  })
})

test('each alarm that is counted as false in sixty winters is of one sort, and the sorts sum to all', () => {
  for (const { verdicts } of outcomes) {
    const { calm, falseHigh, falseAny } = verdicts.judge
    const all = Object.values(calm)
    expect(all.reduce((sum, { high }) => sum + high, 0)).toBe(falseHigh)
    expect(all.reduce((sum, { any }) => sum + any, 0)).toBe(falseAny)
  }
  const total = (sort: CalmSort) =>
    outcomes.reduce((sum, { verdicts }) => sum + verdicts.judge.calm[sort].any, 0)
  expect(total('silent')).toBeGreaterThan(total('wrong'))
})

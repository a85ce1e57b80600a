import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { beforeAll, describe, expect, test } from 'vitest'
import { leastLead, quickLengths } from '../trials/definitions.ts'
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

import { describe, expect, test } from 'vitest'
import { Animal, type PlanStep } from '../../schemas/animal.ts'
import { DiaryLine } from '../../schemas/diary.ts'
import type { Instant } from '../../schemas/units.ts'
import { wintersOf } from '../../shared/animals/winters.ts'

const at = (iso: string): Instant => Date.parse(iso) as Instant
const steps = (year: number): PlanStep[] => [
  { phase: 'fast', from: at(`${year}-10-20T11:00:00Z`) },
  { phase: 'coolDown', from: at(`${year}-11-10T11:00:00Z`) },
  { phase: 'hold', from: at(`${year}-12-01T11:00:00Z`) },
  { phase: 'warmUp', from: at(`${year + 1}-02-20T11:00:00Z`) },
  { phase: 'awake', from: at(`${year + 1}-02-27T11:00:00Z`) },
]
const line = (id: string, when: string, note: object): DiaryLine =>
  DiaryLine.parse({ id, at: at(when), animal: 'pebble', note, by: 'Ada', notedAt: at(when) })
const cooled = (year: number, anyway?: string): DiaryLine =>
  line(`cooled-${year}`, `${year}-11-11T18:00:00Z`, {
    kind: 'coolingBegan',
    steps: steps(year),
    ...(anyway === undefined ? {} : { anyway }),
  })
const woken = (when: string, why: string): DiaryLine =>
  line(`woken-${when.slice(0, 10)}`, when, { kind: 'warmingBegan', why })

const animal = (plan: PlanStep[]): Animal =>
  Animal.parse({
    id: 'pebble',
    name: 'Pebble',
    species: 'testudo-hermanni',
    place: null,
    mode: 'goesDown',
    plan,
  })
const winters = (plan: PlanStep[], history: readonly DiaryLine[], now: string) =>
  wintersOf({
    animal: animal(plan),
    history,
    now: at(now),
    timeZone: 'Europe/Vienna',
    hemisphere: 'north',
  })

describe('the winters of an animal', () => {
  test('one that is down by the diary lasts until it is woken, with the reason given', () => {
    const [winter] = winters(
      steps(2025),
      [cooled(2025, 'no phone at hand'), woken('2026-01-15T07:00:00Z', 'it stirred')],
      '2026-03-01T00:00:00Z',
    )
    expect(winter).toMatchObject({
      season: '2025/26',
      from: at('2025-11-11T18:00:00Z'),
      to: at('2026-01-15T07:00:00Z'),
      anyway: 'no phone at hand',
      wokenWhy: 'it stirred',
    })
  })

  test('a plan that wakes it by itself ends the winter on its day, and not before', () => {
    const day = at('2026-02-20T11:00:00Z')
    const before = winters(steps(2025), [cooled(2025)], new Date(day - 1).toISOString())
    const then = winters(steps(2025), [cooled(2025)], new Date(day).toISOString())
    expect(before[0]?.to).toBeNull()
    expect(then[0]?.to).toBe(day)
  })

  test('one that was in hold before there was a diary is known by its plan', () => {
    const [winter] = winters(steps(2025), [], '2026-01-01T00:00:00Z')
    expect(winter).toMatchObject({ season: '2025/26', from: at('2025-11-10T11:00:00Z'), to: null })
  })

  test('two winters keep apart, and a waking belongs to the winter before it', () => {
    const found = winters(
      steps(2026),
      [cooled(2025), woken('2026-02-18T08:00:00Z', 'its time'), cooled(2026)],
      '2026-12-24T00:00:00Z',
    )
    expect(found.map(({ season, to }) => [season, to])).toEqual([
      ['2025/26', at('2026-02-18T08:00:00Z')],
      ['2026/27', null],
    ])
  })

  test('awake all winter there is none, and a plan for later is none yet', () => {
    expect(winters([], [], '2026-01-01T00:00:00Z')).toEqual([])
    expect(winters(steps(2026), [], '2026-09-01T00:00:00Z')).toEqual([])
  })

  test('in the south a winter is named by its one year', () => {
    const plan: PlanStep[] = [
      { phase: 'coolDown', from: at('2026-05-10T02:00:00Z') },
      { phase: 'hold', from: at('2026-06-01T02:00:00Z') },
    ]
    const [winter] = wintersOf({
      animal: animal(plan),
      history: [],
      now: at('2026-07-01T00:00:00Z'),
      timeZone: 'Australia/Hobart',
      hemisphere: 'south',
    })
    expect(winter?.season).toBe('2026')
  })
})

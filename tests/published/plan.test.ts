import { describe, expect, test } from 'vitest'
import { celsius } from '../../schemas/amounts.ts'
import type { Animal } from '../../schemas/animal.ts'
import { conflictsOf, proposePlan } from '../../shared/animals/plan.ts'
import { coolDaysOf, daysFrom, holdOf } from '../../shared/animals/plan-days.ts'
import { testudoHermanni } from '../../shared/species/testudo-hermanni.ts'
import { addDays } from '../../shared/time/wall.ts'
import { aSubject, noon, noted, steps, zone } from '../support/animal-subjects.ts'
import { aTortoise } from '../support/season-profiles.ts'

/** Fed until October, cooled over three weeks, in hold from 19 November for so many days. */
const held = (days: number): Animal['plan'] =>
  steps(
    ['fast', '2026-10-01'],
    ['coolDown', '2026-10-29'],
    ['hold', '2026-11-19'],
    ['warmUp', addDays('2026-11-19', days)],
    ['awake', addDays('2026-11-19', days + 3)],
  )
const against = (subject: ReturnType<typeof aSubject>, days: number): string[] =>
  conflictsOf(subject, held(days)).map(({ kind, weight }) => `${kind} ${weight}`)

describe('S3: published figures of tortoises', () => {
  // BVA/BSAVA/BVZS 2016: at most three months; RVC 2023: about 5 °C a week; Forbes: from 200 g.
  for (const [name, profile] of [
    ['an invented profile of the published figures', aTortoise],
    ['the catalogue', testudoHermanni],
  ] as const) {
    test(`a hold of 91 days (three months) is allowed, one of 100 days is refused: ${name}`, () => {
      const grown = aSubject({ profile })
      expect(against(grown, 91)).toEqual([])
      expect(against(grown, 92)).toEqual(['tooLong refused'])
      expect(against(grown, 100)).toEqual(['tooLong refused'])
    })

    test(`a young animal's first hold of 49 days is refused, one of 42 is allowed: ${name}`, () => {
      const young = aSubject({ profile, with: { hatched: '2022-06', hasWintered: false, since: '2023' } })
      const tooLong = (days: number) => against(young, days).filter((one) => one.startsWith('tooLong'))
      expect(tooLong(49)).toEqual(['tooLong refused'])
      expect(tooLong(43)).toEqual(['tooLong refused'])
      expect(tooLong(42)).toEqual([])
    })

    test(`180 g are too light by the stricter advice, and allowed with a word by the other; 200 g are enough: ${name}`, () => {
      const of = (grams: number, guidance: 'strict' | 'lenient') =>
        against(
          aSubject({ profile, guidance, history: [noted(noon('2026-08-30'), { kind: 'weighed', grams })] }),
          70,
        )
      expect(of(180, 'strict')).toEqual(['tooLight refused'])
      expect(of(180, 'lenient')).toEqual(['tooLight warning'])
      expect(of(200, 'strict')).toEqual([])
      expect(of(199.9, 'strict')).toEqual(['tooLight refused'])
    })

    test(`from 20 to 5 °C at 5 K a week takes 21 days; in three days it is too fast: ${name}`, () => {
      const { steps: planned } = proposePlan(aSubject({ profile }), { by: 'hold', on: '2026-11-19' })
      const cool = planned.find(({ phase }) => phase === 'coolDown')
      expect(cool === undefined ? null : daysFrom(cool.from, holdOf(planned)?.from ?? cool.from, zone)).toBe(
        21,
      )
      const fast = steps(
        ['fast', '2026-10-01'],
        ['coolDown', '2026-11-16'],
        ['hold', '2026-11-19'],
        ['awake', '2027-01-20'],
      )
      expect(conflictsOf(aSubject({ profile }), fast).map(({ kind, weight }) => [kind, weight])).toEqual([
        ['tooFast', 'warning'],
      ])
    })
  }

  test('the days of cooling follow from warm, aim and rate', () => {
    expect(coolDaysOf(celsius(20), celsius(5), 5)).toBe(21)
    expect(coolDaysOf(celsius(20), celsius(6), 5)).toBe(20)
    expect(coolDaysOf(celsius(20), celsius(5.5), 5)).toBe(21)
    expect(coolDaysOf(celsius(5), celsius(5), 5)).toBe(1)
  })
})

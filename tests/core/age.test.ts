import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import { isYoung, yearsOf } from '../../shared/animals/age.ts'
import { subjectOf } from '../support/animal-history.ts'

const zone = 'Europe/Vienna'
const now = instant(Date.parse('2026-07-02T12:00:00+02:00'))

describe('age', () => {
  it.each([
    ['2020', 6], // 2 July 2020, the middle of the year
    ['2020-07', 5.96],
    ['2020-07-02', 6],
    ['2026-07-02', 0],
  ])('hatched %s: %f years, from the middle of what is known', (hatched, years) => {
    expect(yearsOf({ hatched }, now, zone)).toBeCloseTo(years, 2)
  })

  it('is not known without a date, of a day to come and of one that is none', () => {
    expect(yearsOf({}, now, zone)).toBeNull()
    expect(yearsOf({ hatched: '2026-07-03' }, now, zone)).toBeNull()
    expect(yearsOf({ hatched: '2025-02-30' }, now, zone)).toBeNull()
  })

  it('of a year that is not over only what has passed counts', () => {
    expect(yearsOf({ hatched: '2026' }, now, zone)).toBeCloseTo(0.25, 2)
  })

  it('it is young until it is four years old for certain (S3; derived from BVA/BSAVA/BVZS 2016)', () => {
    const young = (animal: NonNullable<Parameters<typeof subjectOf>[0]['animal']>) =>
      isYoung({ ...subjectOf({ now: 0, notes: [], animal }), now })
    expect(young({ hatched: '2022-07-01' })).toBe(false)
    expect(young({ hatched: '2022-07-03' })).toBe(true)
    expect(young({ hatched: '2022' })).toBe(true)
    expect(young({ hatched: '2021' })).toBe(false)
    expect(young({ ageClass: 'hatchling' })).toBe(true)
    expect(young({ ageClass: 'juvenile' })).toBe(true)
    expect(young({ ageClass: 'adult' })).toBe(false)
    expect(young({ ageClass: 'juvenile', hatched: '2010' })).toBe(false)
  })

  it('never falls as time goes on', () => {
    const date = fc.constantFrom('2019', '2024-02', '2024-02-29', '2026')
    const later = fc.integer({ min: 0, max: 5 * 365 })
    fc.assert(
      fc.property(date, later, later, (hatched, one, other) => {
        const at = (day: number) => yearsOf({ hatched }, instant(now + day * 86_400_000), zone) ?? Number.NaN
        expect(at(Math.max(one, other))).toBeGreaterThanOrEqual(at(Math.min(one, other)))
      }),
    )
  })
})

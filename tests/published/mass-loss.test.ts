import { describe, expect, it } from 'vitest'
import { massOf } from '../../shared/animals/mass.ts'
import { wakeOf } from '../../shared/animals/waking.ts'
import { type Noted, subjectOf, weighed } from '../support/animal-history.ts'
import type { Guidance } from '../../schemas/species.ts'

const mass = (
  from: number,
  to: number,
  days: number,
  more: { guidance?: Guidance; species?: string; box?: 'wet' | 'dry' } = {},
) => {
  const { box, ...told } = more
  const notes: Noted[] = [weighed(0, from), weighed(days, to, box === undefined ? {} : { box })]
  return massOf(subjectOf({ ...told, now: days, notes }), null)
}
const rule = (found: ReturnType<typeof mass>, name: string) => found?.rules.find((one) => one.rule === name)

describe('loss of mass in hold (S2)', () => {
  it('1000 → 990 g in 30 days is 1 % a month: at the limit, not past it (Royal Veterinary College; Forbes)', () => {
    const found = mass(1000, 990, 30)
    expect(found?.monthly?.percent).toBeCloseTo(1, 9)
    expect(found?.standing).toBe('well')
    expect(mass(1000, 989.9, 30)?.standing).toBe('watch')
  })

  it('1000 → 988 g in 14 days is 1.2 % in all and 2.57 % a month: watched (Royal Veterinary College; Forbes)', () => {
    const found = mass(1000, 988, 14)
    expect(found?.lostPercent).toBeCloseTo(1.2, 9)
    expect(found?.monthly?.percent).toBeCloseTo(2.57, 2)
    expect(found?.standing).toBe('watch')
    expect(found?.sentence).toContain('Weigh it again in two days')
  })

  it('800 → 759 g is 5.13 %: woken by strict guidance (BVA/BSAVA/BVZS 2016), watched by lenient (Bundestierärztekammer)', () => {
    expect(mass(800, 759, 80)?.lostPercent).toBeCloseTo(5.13, 2)
    expect(mass(800, 759, 80)?.standing).toBe('wake')
    expect(mass(800, 759, 80, { guidance: 'lenient' })?.standing).toBe('watch')
    expect(rule(mass(800, 759, 80, { guidance: 'lenient' }), 'total')?.verdict).toBe('watch')
  })

  it('5 % itself is not past the strict limit: 800 → 760 g is watched (BVA/BSAVA/BVZS 2016)', () => {
    expect(rule(mass(800, 760, 80), 'total')?.verdict).toBe('watch')
    expect(rule(mass(800, 759.9, 80), 'total')?.verdict).toBe('wake')
  })

  it('800 → 719 g is 10.13 %: woken by both (Bundestierärztekammer; Royal Veterinary College)', () => {
    expect(mass(800, 719, 80)?.lostPercent).toBeCloseTo(10.125, 9)
    expect(mass(800, 719, 80)?.standing).toBe('wake')
    expect(mass(800, 719, 80, { guidance: 'lenient' })?.standing).toBe('wake')
  })

  it('1000 → 950 g overnight in a wet box is urine: wake it (Forbes; 50 ml of urine are 50 g, slowcoach.org.uk)', () => {
    const found = mass(1000, 950, 1, { box: 'wet' })
    expect(found?.standing).toBe('wake')
    expect(rule(found, 'suddenDrop')).toMatchObject({ verdict: 'wake' })
    expect(found?.askUrinated).toBe(false)
    const told = subjectOf({ now: 1, notes: [weighed(0, 1000), weighed(1, 950, { box: 'wet' })] })
    const wake = wakeOf(told, found, { tooColdAt: null, tooWarmSince: null })
    expect(wake.standing).toBe('now')
    expect(wake.reasons.map(({ reason }) => reason)).toEqual(['urinated', 'mass'])
  })

  it('a toad that gains 3 % in moist soil is well (Calatayud & Langhorne)', () => {
    const found = mass(60, 61.8, 20, { species: 'bufo-bufo' })
    expect(found?.standing).toBe('well')
    expect(rule(found, 'gain')).toMatchObject({ verdict: 'well' })
  })
})

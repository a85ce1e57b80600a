import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { ConditionVerdict } from '../../schemas/condition.ts'
import { conditionOf, entryDoubt, jacksonRatio } from '../../shared/animals/condition.ts'
import { jacksonFinding } from '../../shared/animals/condition/jackson-rule.ts'
import { type Noted, stepsOf, subjectOf, weighed } from '../support/animal-history.ts'

const scored = (day: number, score: number, scale: 'visualFive' | 'visualNine' = 'visualFive'): Noted => [
  day,
  { kind: 'scored', scale, score },
]
const measured = (day: number, length: number): Noted => [day, { kind: 'measured', length }]

const at = (notes: readonly Noted[], more: Partial<Parameters<typeof subjectOf>[0]> = {}) =>
  conditionOf(subjectOf({ now: -60, notes, ...more }))
const jackson = (notes: readonly Noted[], more: Partial<Parameters<typeof subjectOf>[0]> = {}) =>
  at(notes, more).findings.find(({ rule }) => rule === 'jackson')

/** Within rounding of binary fractions. */
const near = (value: number): unknown => expect.closeTo(value, 9)

describe('body condition (S1)', () => {
  it('is never told by one number alone: a ratio that passes asks for a look too', () => {
    const found = at([weighed(-61, 650), measured(-61, 15)])
    expect(found.verdict).toBe('pass')
    expect(found.sentence).toBe(
      'By the Jackson ratio, 0.193 g/cm³: well. One rule only: look at it too, and note a score by eye and touch.',
    )
  })

  it('a ratio and a score that both pass say so together', () => {
    const found = at([weighed(-61, 650), measured(-61, 15), scored(-61, 3)])
    expect(found).toMatchObject({
      verdict: 'pass',
      sentence: 'Well by the Jackson ratio and the score of 1 to 5.',
    })
  })

  it('what only the ratio blocks and the eye passes, a vet decides (Frankenberger et al. 2024)', () => {
    const found = at([weighed(-61, 530), measured(-61, 15), scored(-61, 3)])
    expect(found.verdict).toBe('vet')
    expect(found.sentence).toContain('The rules disagree')
  })

  it('the ratio alone blocks where nothing else is known', () => {
    expect(at([weighed(-61, 530), measured(-61, 15)]).verdict).toBe('block')
  })

  it('a wasted look blocks whatever the ratio says', () => {
    expect(at([weighed(-61, 650), measured(-61, 15), scored(-61, 1)]).verdict).toBe('block')
  })

  it.each([
    ['visualFive', 1, 'block'],
    ['visualFive', 1.5, 'vet'],
    ['visualFive', 2, 'vet'],
    ['visualFive', 2.5, 'pass'],
    ['visualFive', 3, 'pass'],
    ['visualFive', 3.5, 'pass'],
    ['visualFive', 4, 'watch'],
    ['visualNine', 2, 'block'],
    ['visualNine', 3, 'vet'],
    ['visualNine', 4, 'pass'],
    ['visualNine', 6, 'pass'],
    ['visualNine', 7, 'watch'],
  ] as const)(
    '%s of %f: %s (Frankenberger et al. 2024; Lamberski 2012; between them derived)',
    (scale, score, verdict) => {
      expect(at([scored(-61, score, scale)]).verdict).toBe(verdict)
    },
  )

  it('a score of 6 is not on the scale of 1 to 5: refused, and asked about', () => {
    const subject = subjectOf({ now: -60, notes: [scored(-61, 6)] })
    expect(conditionOf(subject).verdict).toBe('unknown')
    expect(entryDoubt(subject)).toContain('was it the one of 1 to 9')
  })

  it('without a weigh-in, a length or a score nothing is judged, and it says what to do', () => {
    const found = at([])
    expect(found.verdict).toBe('unknown')
    expect(found.sentence).toContain('score it by eye and touch')
    expect(found.findings.every(({ isValid }) => !isValid)).toBe(true)
  })

  it("a grown animal's length counts for a year, a young one's for 91 days", () => {
    const young = { animal: { ageClass: 'juvenile' as const } }
    expect(jackson([weighed(-61, 650), measured(-60 - 365, 15)])).toMatchObject({ isValid: true })
    expect(jackson([weighed(-61, 650), measured(-60 - 365.1, 15)])).toMatchObject({ isValid: false })
    expect(jackson([weighed(-61, 650), measured(-60 - 91, 15)], young)).toMatchObject({ isValid: true })
    expect(jackson([weighed(-61, 650), measured(-60 - 91.1, 15)], young)?.sentence).toContain(
      'measure it again',
    )
  })

  it('a weigh-in counts for 60 days', () => {
    expect(jackson([weighed(-120, 650), measured(-61, 15)])).toMatchObject({ isValid: true })
    expect(jackson([weighed(-120.1, 650), measured(-61, 15)])?.sentence).toContain('weigh it again')
  })

  it('a bath on the day before is said beside the ratio: 50 ml are 50 g (slowcoach.org.uk)', () => {
    const bathed: Noted = [-61.5, { kind: 'bathed' }]
    expect(jackson([weighed(-61, 650), measured(-61, 15), bathed])?.sentence).toContain(
      '50 ml of water are 50 g',
    )
    const before: Noted = [-62.1, { kind: 'bathed' }]
    expect(jackson([weighed(-61, 650), measured(-61, 15), before])?.sentence).toBe('Normal for its length.')
  })

  it('a snake has no Jackson ratio, not even as a refusal', () => {
    expect(jackson([weighed(-61, 120)], { species: 'thamnophis-sirtalis' })).toBeUndefined()
  })

  it('the ratio does not change when the same shape grows: twice as long, eight times as heavy', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 5000, noNaN: true }),
        fc.double({ min: 3, max: 60, noNaN: true }),
        (grams, cm) => {
          expect(jacksonRatio(8 * grams, 2 * cm) / jacksonRatio(grams, cm)).toBeCloseTo(1, 9)
        },
      ),
    )
  })

  it('with more mass on the same length the verdict never steps back towards block', () => {
    const rank: Record<ConditionVerdict, number> = { unknown: -1, block: 0, vet: 1, pass: 2, watch: 3 }
    const grams = fc.double({ min: 100, max: 2000, noNaN: true })
    fc.assert(
      fc.property(grams, grams, (one, other) => {
        const [light, heavy] = [
          jacksonFinding(Math.min(one, other), 15),
          jacksonFinding(Math.max(one, other), 15),
        ]
        if (!light.isValid || !heavy.isValid) throw new Error('both are valid')
        expect(rank[light.verdict]).toBeLessThanOrEqual(rank[heavy.verdict])
      }),
    )
  })

  it('entries in any order say the same', () => {
    const notes = [
      weighed(-75, 630),
      weighed(-68, 640),
      weighed(-61, 650),
      measured(-80, 14),
      measured(-61, 15),
      scored(-61, 3),
    ]
    const told = subjectOf({ now: -60, notes })
    fc.assert(
      fc.property(fc.shuffledSubarray([...told.history], { minLength: notes.length }), (history) => {
        expect(conditionOf({ ...told, history })).toEqual(conditionOf(told))
      }),
    )
  })
})

describe('the trend while feeding up', () => {
  const feeding = {
    animal: {
      plan: [],
      draft: stepsOf([
        ['feedUp', -77],
        ['fast', -49],
        ['coolDown', -21],
        ['hold', 0],
      ]),
    },
  }

  it('is a straight line with its 95 % interval, in g a week', () => {
    const { trend } = at([weighed(-77, 600), weighed(-70, 610), weighed(-63, 620)], feeding)
    expect(trend).toMatchObject({ weighIns: 3, gramsPerWeek: near(10) })
    // Rounding of whole grams, 1/√12 g, over a spread of 2 weeks²; t with one degree of freedom 12.706 (GUM, NIST).
    const half = 12.706 * Math.sqrt(1 / 12 / 2)
    expect(trend?.low).toBeCloseTo(10 - half, 6)
    expect(trend?.high).toBeCloseTo(10 + half, 6)
  })

  it('needs three weigh-ins since feeding up began: one from before does not count', () => {
    expect(at([weighed(-80, 590), weighed(-70, 610), weighed(-63, 620)], feeding).trend).toBeNull()
  })

  it('ends where the fast begins: what it loses then is no trend of feeding', () => {
    const notes = [weighed(-77, 600), weighed(-70, 610), weighed(-63, 620), weighed(-45, 590)]
    expect(at(notes, { ...feeding, now: -40 }).trend).toMatchObject({
      weighIns: 3,
      gramsPerWeek: near(10),
    })
  })
})

describe('a slip of the hand', () => {
  const doubt = (notes: readonly Noted[], species = 'testudo-hermanni') =>
    entryDoubt(subjectOf({ species, now: -60, notes }))

  it.each([
    [650, 150, 'the length in millimetres'],
    [0.65, 15, 'the mass in kilograms'],
    [650, 5.9, 'the length in inches'],
    [22.9, 15, 'the mass in ounces'],
  ])('%f g at %f cm: is it %s?', (grams, length, is) => {
    expect(doubt([weighed(-61, grams), measured(-61, length)])).toContain(is)
  })

  it('three times the expected mass is still believed, more is not (derived)', () => {
    const expected = 93_554.48 * 0.15 ** 2.69
    expect(doubt([weighed(-61, 3 * expected), measured(-61, 15)])).toBeNull()
    expect(doubt([weighed(-61, 3.01 * expected), measured(-61, 15)])).not.toBeNull()
    expect(doubt([weighed(-61, expected / 3), measured(-61, 15)])).toBeNull()
    expect(doubt([weighed(-61, expected / 3.01), measured(-61, 15)])).not.toBeNull()
  })

  it('half as much again within a month is asked about, over two months it is not', () => {
    expect(doubt([weighed(-70, 400), weighed(-61, 600)])).toBeNull()
    expect(doubt([weighed(-70, 400), weighed(-61, 601)])).toContain('look at both weigh-ins again')
    expect(doubt([weighed(-121, 400), weighed(-61, 601)])).toBeNull()
  })

  it('a young one that has outgrown its old length is not asked about', () => {
    const notes = [measured(-61 - 92, 6), weighed(-61, 200)]
    const young = (animal: { ageClass: 'juvenile' | 'adult' }) =>
      entryDoubt(subjectOf({ now: -60, notes, animal }))
    expect(young({ ageClass: 'juvenile' })).toBeNull()
    expect(young({ ageClass: 'adult' })).toContain('do not go together')
  })

  it('an animal does not grow shorter by a fifth', () => {
    expect(doubt([measured(-200, 15), measured(-61, 12.6)])).toBeNull()
    expect(doubt([measured(-200, 15), measured(-61, 12.4)])).toContain('look at both measurements again')
  })
})

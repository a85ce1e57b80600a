import { describe, expect, it } from 'vitest'
import {
  boxVolumeIndex,
  conditionOf,
  ellipsoidVolume,
  entryDoubt,
  expectedMassOfLength,
  haileyIndex,
  haileyShare,
  jacksonRatio,
} from '../../shared/animals/condition.ts'
import { haileyFinding } from '../../shared/animals/condition/volume-rules.ts'
import { subjectOf, weighed } from '../support/animal-history.ts'

const of = (species: string, grams: number, length: number) =>
  subjectOf({ species, now: -60, notes: [weighed(-61, grams), [-61, { kind: 'measured', length }]] })

const jackson = (species: string, grams: number, length: number) =>
  conditionOf(of(species, grams, length)).findings.find(({ rule }) => rule === 'jackson')

describe('the Jackson ratio (Jackson 1980; anchor points of the British Chelonia Group; cut-offs derived)', () => {
  it.each([
    [650, 15, 0.1926, 'pass'],
    [540, 15, 0.16, 'vet'], // at the limit, not below it
    [1000, 17, 0.2035, 'pass'],
    [530, 15, 0.157, 'block'],
    [580, 15, 0.1719, 'vet'],
    [780, 15, 0.2311, 'watch'],
    [607.5, 15, 0.18, 'pass'],
    [708.75, 15, 0.21, 'pass'],
    [760, 16, 0.1855, 'pass'],
  ])('%f g at %f cm is %f: %s (S1)', (grams, length, ratio, verdict) => {
    expect(jacksonRatio(grams, length)).toBeCloseTo(ratio, 4)
    expect(jackson('testudo-hermanni', grams, length)).toMatchObject({ isValid: true, verdict })
  })

  it.each([
    [10, 180],
    [12, 311],
    [15, 607.5],
    [17, 884.3],
    [20, 1440],
  ])('at %f cm the ratio of 0.18 is met by %f g', (length, grams) => {
    expect(jacksonRatio(grams, length)).toBeCloseTo(0.18, 4)
  })

  it.each(['testudo-horsfieldii', 'testudo-marginata'])(
    'is refused for %s (British Chelonia Group; Willemsen & Hailey 2002)',
    (species) => {
      const finding = jackson(species, 650, 15)
      expect(finding).toMatchObject({ isValid: false, value: null, verdict: 'unknown' })
      expect(finding?.sentence).toContain('Not valid for')
    },
  )

  it('a length of 150 is millimetres: refused with a sentence, never a ratio of 0.0002', () => {
    expect(jackson('testudo-hermanni', 650, 150)).toMatchObject({
      isValid: false,
      value: null,
      sentence: '150 cm and 650 g do not go together: is the length in millimetres? Enter g and cm.',
    })
    expect(entryDoubt(of('testudo-hermanni', 650, 150))).toContain('millimetres')
    expect(entryDoubt(of('testudo-hermanni', 650, 15))).toBeNull()
  })

  it('possibly too heavy is no bar, but eggs or fluid are asked after', () => {
    expect(conditionOf(of('testudo-hermanni', 780, 15)).sentence).toContain('look closer')
    expect(jackson('testudo-hermanni', 780, 15)?.sentence).toContain('eggs or fluid')
  })
})

describe("Hailey's condition index (Hailey 2000)", () => {
  it('80 % of the expected mass is −0.0969', () => {
    expect(haileyIndex(800, 1000)).toBeCloseTo(-0.0969, 4)
  })

  it.each([
    [-0.04, 0.912], // a diseased group, Willemsen et al. 2002
    [0.1, 1.259],
    [-0.1, 0.794],
    [-0.05, 0.891],
    [0, 1],
    [0.05, 1.122],
  ])('an index of %f is %f of the expected mass', (index, share) => {
    expect(haileyShare(index)).toBeCloseTo(share, 3)
  })

  it('without constants for species and sex it is not known, and nothing is guessed', () => {
    expect(haileyFinding(650, 15, null)).toEqual({
      isValid: false,
      sentence: 'Not known: it needs constants for species and sex.',
    })
  })

  it('is made for 10 cm and more: refused at 9.9 cm, taken at 10 cm', () => {
    const constants = { a: 0.2, b: 3 }
    expect(haileyFinding(200, 10, constants)).toMatchObject({ isValid: true, value: 0, verdict: 'pass' })
    expect(haileyFinding(200, 9.9, constants)).toMatchObject({ isValid: false })
  })

  it('below −0.10 blocks, −0.10 itself goes to a vet; −0.05 passes (cut-offs derived)', () => {
    const constants = { a: 0.2, b: 3 }
    const at = (index: number) => haileyFinding(200 * 10 ** index, 10, constants)
    expect(at(-0.101)).toMatchObject({ verdict: 'block' })
    expect(at(-0.1)).toMatchObject({ verdict: 'vet' })
    expect(at(-0.051)).toMatchObject({ verdict: 'vet' })
    expect(at(-0.05)).toMatchObject({ verdict: 'pass' })
    expect(at(0.1)).toMatchObject({ verdict: 'pass' })
    expect(at(0.101)).toMatchObject({ verdict: 'watch' })
  })
})

describe('volume indices', () => {
  it('1000 g at 17 × 13 × 8.8 cm are 0.5142 g/cm³ of its box (form of Nagy et al. 2002, from memory)', () => {
    expect(boxVolumeIndex(1000, 17, 13, 8.8)).toBeCloseTo(0.5142, 3)
  })

  it('the ellipsoid of the same is 1018.3 cm³, 0.982 g/cm³ (form of Loehr and co-workers, from memory)', () => {
    expect(ellipsoidVolume(17, 13, 8.8)).toBeCloseTo(1018.3, 1)
    expect(1000 / ellipsoidVolume(17, 13, 8.8)).toBeCloseTo(0.982, 3)
  })
})

describe('mass of a length (Pough 1980 and Meiri 2010, as compiled)', () => {
  it.each([
    ['lizard', 0.976],
    ['salamander', 1.06],
    ['frog', 5.356],
    ['snake', 0.0434],
    ['turtle', 16.24],
    ['tortoise', 16.24],
  ] as const)('a %s of 4 cm has about %f g', (taxon, grams) => {
    expect(expectedMassOfLength(taxon, 4) / grams).toBeCloseTo(1, 2)
  })
})

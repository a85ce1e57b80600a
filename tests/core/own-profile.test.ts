import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { SpeciesId } from '../../schemas/ids.ts'
import type { SourcedLimit, SpeciesProfile } from '../../schemas/species.ts'
import { catalogue, profileOf } from '../../shared/species/catalogue.ts'
import { faultsIn } from '../../shared/species/faults.ts'
import { objectionToOwn } from '../../shared/species/own-profile.ts'

const cooled = catalogue.filter((one) => one.winter !== 'never')
const keptWarm = catalogue.filter((one) => one.winter === 'never')

/** A copy that stands: one of the keeper's own. */
const ownFrom = (origin: SpeciesProfile): SpeciesProfile => ({
  ...structuredClone(origin),
  id: 'own-mine' as SpeciesId,
  own: { from: origin.id, reason: 'The vet said so.' },
})
const given = (id: string): SpeciesProfile => {
  const origin = catalogue.find((one) => one.id === id)
  if (origin === undefined) throw new Error(`no profile ${id}`)
  return ownFrom(origin)
}
const errorOf = (profile: SpeciesProfile) => objectionToOwn(profile, profileOf)?.error ?? null
const withHold = (
  profile: SpeciesProfile,
  change: (limits: readonly SourcedLimit[]) => SourcedLimit[],
): SpeciesProfile => {
  if (profile.hold === undefined) throw new Error('it has no hold')
  return { ...profile, hold: { ...profile.hold, temperature: change(profile.hold.temperature) } }
}
const moved = (name: string, value: number, source?: string) => (limits: readonly SourcedLimit[]) =>
  limits.map((one) =>
    one.limit === name ? { ...one, value, ...(source === undefined ? {} : { source }) } : one,
  )

describe("a profile of the keeper's own", () => {
  test('stands as a copy of any in the catalogue, with a reason', () => {
    for (const one of catalogue)
      expect([one.id, objectionToOwn(ownFrom(one), profileOf)]).toEqual([one.id, null])
  })

  test('S1: without a critical low and a critical high limit of its hold it cannot stand', () => {
    const toad = given('bufo-bufo')
    for (const name of ['lowCritical', 'highCritical'])
      expect(errorOf(withHold(toad, (limits) => limits.filter(({ limit }) => limit !== name)))).toBe(
        'noLimits',
      )
    for (const name of ['low', 'high'])
      expect(errorOf(withHold(toad, (limits) => limits.filter(({ limit }) => limit !== name)))).toBeNull()
  })

  test('S1: without a low limit awake it cannot stand', () => {
    for (const one of [given('bufo-bufo'), given('python-regius')])
      expect(errorOf({ ...one, active: { temperature: [], humidity: [] } })).toBe('noLimits')
  })

  test('S1: one made from a species that must never go down has no hold either', () => {
    const { hold, season } = given('bufo-bufo')
    for (const one of keptWarm)
      for (const change of [{ hold }, { winter: 'cool' as const }, { winter: 'deep' as const, hold, season }])
        expect(errorOf({ ...ownFrom(one), ...change })).toBe('mustNotGoDown')
  })

  test('may be made awake-only from one that is cooled', () => {
    const { hold: _, season: __, ...rest } = given('eublepharis-macularius')
    expect(errorOf({ ...rest, winter: 'never' })).toBeNull()
    expect(errorOf({ ...rest, winter: 'cool' })).toBe('inconsistent')
  })

  test('needs an origin that is known, and is not itself', () => {
    const toad = given('bufo-bufo')
    const from = (id: string) => ({ ...toad, own: { from: id as SpeciesId, reason: 'x' } })
    expect(errorOf(from('own-mine'))).toBe('noSuchSpecies')
    expect(errorOf(from('bufo-nobody'))).toBe('noSuchSpecies')
    const { own: _, ...none } = toad
    expect(errorOf(none)).toBe('noReason')
  })

  test('has an id of its own kind, and takes none of the catalogue', () => {
    const toad = given('bufo-bufo')
    expect(errorOf({ ...toad, id: 'bufo-bufo' as SpeciesId })).toBe('catalogued')
    expect(errorOf({ ...toad, id: 'mine' as SpeciesId })).toBe('badId')
    expect(errorOf({ ...toad, id: 'own-2' as SpeciesId })).toBeNull()
  })

  test('brings no rule of condition to a species for which it is not valid (Tortoise Protection Group)', () => {
    expect(errorOf({ ...given('testudo-horsfieldii'), condition: ['jackson'] })).toBe('ruleNotValid')
    expect(errorOf({ ...given('testudo-hermanni'), condition: ['jackson'] })).toBeNull()
  })

  test('a number that was changed does not go on under the name of a publication that says another', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...cooled),
        fc.constantFrom('usualWeeks', 'fastWeeks', 'lookDays', 'airDays', 'vetDays', 'warmUpDays' as const),
        (origin, name) => {
          const own = ownFrom(origin)
          const { season } = own
          if (season === undefined) return
          const figure = season[name]
          const { lenient: _, ...changed } = { ...figure, value: figure.value - 0.5 }
          const put = (source: string): SpeciesProfile => ({
            ...own,
            season: { ...season, [name]: { ...changed, source } },
          })
          expect(errorOf(put(figure.source))).toBe('noSource')
          expect(errorOf(put('set by the keeper: The vet said so.'))).toBeNull()
        },
      ),
    )
  })

  test('the same holds for limits, and for leaving out the lenient one', () => {
    const toad = given('bufo-bufo')
    expect(errorOf(withHold(toad, moved('high', 5.5)))).toBe('noSource')
    expect(errorOf(withHold(toad, moved('high', 5.5, 'set by the keeper: x')))).toBeNull()
    const tortoise = given('testudo-hermanni')
    const strictOnly = (limits: readonly SourcedLimit[]) => limits.map(({ lenient: _, ...one }) => one)
    expect(errorOf(withHold(tortoise, strictOnly))).toBe('noSource')
  })
})

describe('a profile that contradicts itself is refused', () => {
  const mine = 'set by the keeper: x'
  const toad = given('bufo-bufo')
  const season = (change: object): SpeciesProfile =>
    ({ ...toad, season: { ...toad.season, ...change } }) as SpeciesProfile
  const figure = (value: number, lenient?: number) => ({
    value,
    ...(lenient === undefined ? {} : { lenient }),
    source: mine,
    evidence: 'commonPractice',
  })

  test.each<[string, SpeciesProfile, string | null]>([
    [
      'limits that do not rise',
      withHold(toad, moved('low', 6, mine)),
      'The limits of temperature in hold must rise from the critical low one to the critical high one.',
    ],
    [
      'a limit twice',
      withHold(toad, (limits) => [...limits, ...limits.slice(0, 1)]),
      'A limit of temperature in hold stands there twice.',
    ],
    [
      'a critical limit at freezing',
      withHold(toad, moved('lowCritical', 0, mine)),
      'A critical low limit must stand above 0 °C: there water freezes.',
    ],
    ['a critical limit just above it', withHold(toad, moved('lowCritical', 0.1, mine)), null],
    [
      'an aim at its low limit',
      season({ aim: figure(2) }),
      'What the hold aims at must lie inside its limits.',
    ],
    ['an aim just inside', season({ aim: figure(2.1) }), null],
    [
      'an aim at its high limit',
      season({ aim: figure(6) }),
      'What the hold aims at must lie inside its limits.',
    ],
    [
      'cooled from no warmer than held',
      season({ warm: figure(4) }),
      'It must be cooled from a warmth above its hold.',
    ],
    [
      'usual longer than longest',
      season({ usualWeeks: figure(14) }),
      'The usual length of hold is longer than the longest.',
    ],
    ['usual as long as longest', season({ usualWeeks: figure(13) }), null],
    [
      'a young one longer than an adult',
      season({ youngMostWeeks: figure(13.1) }),
      'A young one may not be held longer than an adult.',
    ],
    [
      'lenient stricter than strict',
      season({ mostWeeks: figure(13, 12) }),
      'By lenient guidance it is stricter than by strict: Longest hold.',
    ],
    [
      'a longer fast by lenient',
      season({ fastWeeks: figure(2, 3) }),
      'By lenient guidance it is stricter than by strict: Fast before it is cooled.',
    ],
    ['more weeks than a year has', season({ mostWeeks: figure(52.5) }), 'Longest hold: from 0 to 52.'],
    [
      'looked at every zero days',
      season({ lookDays: figure(0) }),
      'Looked at in hold every: from 0.5 to 365.',
    ],
  ])('%s', (_name, profile, sentence) => {
    expect(objectionToOwn(profile, profileOf)?.sentence ?? null).toBe(sentence)
  })

  test('and nothing in the catalogue does', () => {
    for (const one of catalogue) expect([one.id, faultsIn(one)]).toEqual([one.id, []])
  })
})

import { describe, expect, test } from 'vitest'
import type { SpeciesId } from '../../schemas/ids.ts'
import { SpeciesProfile } from '../../schemas/species.ts'
import { catalogue, profileOf } from '../../shared/species/catalogue.ts'
import { objectionToOwn } from '../../shared/species/own-profile.ts'
import { offeredOf, type OwnDraft, profileFrom } from '../../web/species/own-draft.ts'

const mine = 'own-mine' as SpeciesId
const draft = (numbers: Record<string, string> = {}, sources: Record<string, string> = {}): OwnDraft => ({
  common: ' Mountain stock ',
  reason: ' The vet said so. ',
  numbers,
  sources,
})
const hermanni = catalogue.find(({ id }) => id === 'testudo-hermanni') as SpeciesProfile
const own = (given: OwnDraft, guidance: 'strict' | 'lenient' = 'strict', base = hermanni) =>
  profileFrom(base, mine, base.id, given, guidance)
const holdOf = (profile: SpeciesProfile, name: string) =>
  profile.hold?.temperature.find(({ limit }) => limit === name)

describe("the form of a keeper's own profile", () => {
  test.each(['strict', 'lenient'] as const)(
    'left alone, it changes no number of any species, by %s guidance',
    (guidance) => {
      for (const base of catalogue) {
        const { id: _, common: __, own: ___, ...rest } = own(draft(), guidance, base)
        const { id: ____, common: _____, own: ______, ...before } = base
        expect(rest).toEqual(before)
        expect(objectionToOwn(own(draft(), guidance, base), profileOf)).toBeNull()
      }
    },
  )

  test('typing the number that stood there already keeps both published figures and their source', () => {
    expect(holdOf(own(draft({ 'hold.high': '7' })), 'high')).toEqual(holdOf(hermanni, 'high'))
    expect(holdOf(own(draft({ 'hold.high': '8' }), 'lenient'), 'high')).toEqual(holdOf(hermanni, 'high'))
  })

  test('a changed limit is the same by either guidance, names the keeper, and keeps its delay and priority', () => {
    const was = holdOf(hermanni, 'high')
    expect(holdOf(own(draft({ 'hold.high': '6.5' })), 'high')).toEqual({
      limit: 'high',
      value: 6.5,
      inclusive: true,
      for: was?.for,
      priority: was?.priority,
      source: 'set by the keeper: The vet said so.',
      evidence: 'commonPractice',
    })
  })

  test('a source that was typed stands instead', () => {
    const next = own(draft({ 'season.mostWeeks': '11' }, { 'season.mostWeeks': ' Letter of the vet, May ' }))
    expect(next.season?.mostWeeks).toEqual({
      value: 11,
      source: 'Letter of the vet, May',
      evidence: 'commonPractice',
    })
    expect(next.season?.usualWeeks).toEqual(hermanni.season?.usualWeeks)
  })

  test('an emptied limit is gone, one that was not there comes with the usual delay', () => {
    const gone = own(draft({ 'hold.high': '' }))
    expect(holdOf(gone, 'high')).toBeUndefined()
    const more = own(draft({ 'active.high': '38', 'active.highCritical': '40' })).active.temperature
    expect(more.map(({ limit, value, for: lasting, priority }) => [limit, value, lasting, priority])).toEqual(
      [
        ['lowCritical', 1, 60_000, 'high'],
        ['high', 38, 1_800_000, 'medium'],
        ['highCritical', 40, 60_000, 'high'],
      ],
    )
  })

  test('a species that must never go down is offered no limit and no figure of a hold (S1)', () => {
    const python = catalogue.find(({ id }) => id === 'python-regius') as SpeciesProfile
    expect(new Set(offeredOf(python).map(({ room }) => room))).toEqual(new Set(['active']))
  })

  test('what it makes is a profile by the schema, with the words trimmed', () => {
    const next = own(draft({ 'season.aim': '5.5' }))
    expect(SpeciesProfile.parse(next)).toEqual(next)
    expect([next.id, next.common, next.own]).toEqual([
      'own-mine',
      'Mountain stock',
      { from: 'testudo-hermanni', reason: 'The vet said so.' },
    ])
    expect(objectionToOwn(next, profileOf)).toBeNull()
  })
})

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { LimitName } from '../../schemas/band.ts'
import { SpeciesId } from '../../schemas/ids.ts'
import { type Guidance, SpeciesProfile, type SourcedLimit } from '../../schemas/species.ts'
import { hours, minutes, seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import { catalogue, profileOf } from '../../shared/species/catalogue.ts'

function profile(id: string): SpeciesProfile {
  const found = profileOf(SpeciesId.parse(id))
  if (found === undefined) throw new Error(`no profile ${id}`)
  return found
}

const order = ['lowCritical', 'low', 'high', 'highCritical'] as const

/** The worst limits that a value standing for so long breaks, in plain arithmetic. */
function broken(
  limits: readonly SourcedLimit[],
  value: number,
  lasting: Millis,
  guidance: Guidance = 'strict',
) {
  return limits
    .filter((one) => {
      const edge = guidance === 'lenient' ? (one.lenient ?? one.value) : one.value
      const beyond = one.limit.startsWith('low') ? edge - value : value - edge
      return (one.inclusive ? beyond >= 0 : beyond > 0) && lasting >= one.for
    })
    .map((one) => one.limit)
}

const hold = (id: string): readonly SourcedLimit[] => profile(id).hold?.temperature ?? []
const active = (id: string): readonly SourcedLimit[] => profile(id).active.temperature

const testudo = ['testudo-hermanni', 'testudo-graeca', 'testudo-marginata', 'testudo-horsfieldii']

describe('published limits', () => {
  it.each(testudo)('%s at 0.8 °C, one reading confirmed, is critical (Forbes: damage below 1 °C)', (id) => {
    expect(broken(hold(id), 0.8, seconds(60))).toContain('lowCritical')
    expect(broken(hold(id), 0.8, seconds(59))).toEqual([])
    expect(broken(hold(id), 1.0, seconds(60))).toContain('lowCritical')
    expect(broken(hold(id), 1.01, seconds(60))).toEqual([])
  })

  it.each(testudo)('%s at 10.5 °C for an hour is critical (Forbes: above 10 °C metabolism climbs)', (id) => {
    expect(broken(hold(id), 10.5, hours(1))).toContain('highCritical')
    expect(broken(hold(id), 10, minutes(30))).toContain('highCritical')
    expect(broken(hold(id), 9.9, hours(1))).toEqual(['high'])
  })

  it.each(testudo)(
    '%s at 5.0 °C is well for as long as it likes (Bundestierärztekammer: 4 to 6 °C)',
    (id) => {
      for (const value of [4, 5, 6]) expect(broken(hold(id), value, hours(24 * 90))).toEqual([])
    },
  )

  it('Testudo between 7 and 8 °C is out by strict guidance, inside by lenient (BVA: 5 to 8 °C)', () => {
    expect(broken(hold('testudo-hermanni'), 7.5, hours(1), 'strict')).toEqual(['high'])
    expect(broken(hold('testudo-hermanni'), 7.5, hours(1), 'lenient')).toEqual([])
    expect(broken(hold('testudo-hermanni'), 8, hours(1), 'lenient')).toEqual(['high'])
  })

  it('Python regius at 16 °C, at which a cooled lizard rests, is critical (2. Tierhaltungsverordnung)', () => {
    expect(broken(active('python-regius'), 16, hours(1))).toContain('lowCritical')
  })

  it('Python regius: night 24 °C well, winter night 19 °C warned, 16.5 °C critical (2. Tierhaltungsverordnung, derived)', () => {
    const limits = active('python-regius')
    expect(broken(limits, 24, hours(12))).toEqual([])
    expect(broken(limits, 20, hours(12))).toEqual([])
    expect(broken(limits, 19.9, hours(12))).toEqual(['low'])
    expect(broken(limits, 19, hours(12))).toEqual(['low'])
    expect(broken(limits, 17, hours(12))).toEqual(['low'])
    expect(broken(limits, 16.9, hours(12))).toContain('lowCritical')
    expect(broken(limits, 16.5, hours(12))).toContain('lowCritical')
    expect(broken(limits, 35, hours(12))).toEqual(['high'])
    expect(broken(limits, 35.1, hours(12))).toContain('highCritical')
  })

  it('Centrochelys sulcata at night 17 °C alarms: limit 18.3 °C = 65 °F (Boyer)', () => {
    expect(broken(active('centrochelys-sulcata'), 17, hours(1))).toContain('low')
    expect(broken(active('centrochelys-sulcata'), 18.4, hours(1))).toEqual([])
    expect(((65 - 32) * 5) / 9).toBeCloseTo(18.33, 2)
  })

  it('a toad in hold is capped at 8 °C and well at 3 to 4.5 °C (boreal and Wyoming toad holds; derived)', () => {
    for (const value of [3, 3.3, 4, 4.5]) expect(broken(hold('bufo-bufo'), value, hours(24))).toEqual([])
    expect(broken(hold('bufo-bufo'), 8, minutes(30))).toContain('highCritical')
    expect(broken(hold('bufo-bufo'), 1, minutes(1))).toContain('lowCritical')
  })

  it('a garter snake in hold is well at 4 and 5 °C (Costanzo 1985; Hawley & Aleksiuk 1975)', () => {
    for (const value of [4, 5])
      expect(broken(hold('thamnophis-sirtalis'), value, hours(24 * 165))).toEqual([])
  })

  it('a tree frog may spend an afternoon above 26 °C, not a day and night (2. Tierhaltungsverordnung §6(4))', () => {
    expect(broken(active('litoria-caerulea'), 28, hours(8))).toEqual([])
    expect(broken(active('litoria-caerulea'), 28, hours(24))).toEqual(['high'])
    expect(broken(active('litoria-caerulea'), 29.1, hours(1))).toEqual(['highCritical'])
  })
})

describe('the catalogue', () => {
  it('finds each by its own id', () => {
    expect(new Set(catalogue.map((one) => one.id)).size).toBe(catalogue.length)
    for (const one of catalogue) expect(profileOf(one.id)).toBe(one)
  })

  it.each(catalogue.map((one) => [one.id, one] as const))('%s parses by its schema', (_id, one) => {
    expect(SpeciesProfile.parse(structuredClone(one))).toEqual(one)
    expect(one.latin).toMatch(/^[A-Z][a-z]+ [a-z]+( [a-z]+)?$/)
    expect(one.id).toBe(one.latin.toLowerCase().replaceAll(' ', '-'))
  })

  it('a species that goes down has a hold; one that must never go down has none (S1)', () => {
    for (const one of catalogue) expect(one.hold !== undefined, one.id).toBe(one.winter !== 'never')
  })
})

const bands = catalogue.flatMap((one) =>
  [
    { name: `${one.id} active temperature`, limits: one.active.temperature },
    { name: `${one.id} active humidity`, limits: one.active.humidity },
    { name: `${one.id} hold temperature`, limits: one.hold?.temperature ?? [] },
    { name: `${one.id} hold humidity`, limits: one.hold?.humidity ?? [] },
  ].filter((band) => band.limits.length > 0),
)

describe.each(bands)('$name', ({ name, limits }) => {
  it('names a source for every number', () => {
    for (const one of limits) expect(one.source.trim().length, one.limit).toBeGreaterThan(20)
  })

  it('is ordered lowCritical < low < high < highCritical, by either guidance, each once', () => {
    for (const pick of [(one: SourcedLimit) => one.value, (one: SourcedLimit) => one.lenient ?? one.value]) {
      const byName = new Map<LimitName, number>(limits.map((one) => [one.limit, pick(one)]))
      expect(byName.size).toBe(limits.length)
      const values = order.flatMap((limit) => byName.get(limit) ?? [])
      expect(values).toEqual([...new Set(values)].sort((a, b) => a - b))
    }
  })

  it('rings high for critical limits, and is quick only where an animal freezes', () => {
    for (const one of limits) {
      if (one.limit.endsWith('Critical')) expect(one.priority, one.limit).toBe('high')
      if (one.for < minutes(15)) expect([one.limit, one.value <= 2]).toEqual(['lowCritical', true])
    }
  })

  it('waits hours before it speaks of humidity, and never rings high for it', () => {
    if (!name.endsWith('humidity')) return
    for (const one of limits) {
      expect(one.for).toBeGreaterThanOrEqual(hours(4))
      expect(one.priority).not.toBe('high')
    }
  })
})

describe('any temperature, however long', () => {
  it('never breaks a low and a high limit of one band at once', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...bands),
        fc.double({ min: -20, max: 100, noNaN: true }),
        fc.constantFrom<Guidance>('strict', 'lenient'),
        ({ limits }, value, guidance) => {
          const out = broken(limits, value, hours(24 * 365), guidance)
          expect(out.some((one) => one.startsWith('low')) && out.some((one) => one.startsWith('high'))).toBe(
            false,
          )
          // Whoever is critical is also past the warning, where there is one.
          if (out.includes('lowCritical') && limits.some((one) => one.limit === 'low'))
            expect(out).toContain('low')
          if (out.includes('highCritical') && limits.some((one) => one.limit === 'high'))
            expect(out).toContain('high')
        },
      ),
    )
  })
})

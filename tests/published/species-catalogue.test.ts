import { describe, expect, it } from 'vitest'
import { SpeciesId } from '../../schemas/ids.ts'
import type {
  ConditionRule,
  Figure,
  MassFigures,
  SeasonFigures,
  SpeciesProfile,
} from '../../schemas/species.ts'
import { catalogue, profileOf } from '../../shared/species/catalogue.ts'
import { faultsIn } from '../../shared/species/faults.ts'
import { figuresIn } from '../../shared/species/figures-in.ts'
import { sources } from '../../shared/species/sources.ts'

function profile(id: string): SpeciesProfile {
  const found = profileOf(SpeciesId.parse(id))
  if (found === undefined) throw new Error(`no profile ${id}`)
  return found
}

/** A figure by strict and by lenient guidance. */
const both = (figure: Figure | undefined) =>
  figure === undefined ? undefined : [figure.value, figure.lenient ?? figure.value]

function season(id: string): SeasonFigures {
  const found = profile(id).season
  if (found === undefined) throw new Error(`${id} has no season`)
  return found
}

function mass(id: string): MassFigures {
  const found = profile(id).mass
  if (found === undefined) throw new Error(`${id} has no mass`)
  return found
}

/** Every sourced number of a profile, limits too. */
const figuresOf = (one: SpeciesProfile): readonly Figure[] => [
  ...figuresIn(one).map(({ figure }) => figure),
  ...[one.active, ...(one.hold === undefined ? [] : [one.hold])].flatMap((band) => [
    ...band.temperature,
    ...band.humidity,
  ]),
]

const publications = Object.values(sources)

const keptWarm = [
  'testudo-graeca-graeca',
  'testudo-kleinmanni',
  'centrochelys-sulcata',
  'chelonoidis-carbonarius',
  'stigmochelys-pardalis',
  'python-regius',
  'correlophus-ciliatus',
  'uromastyx-acanthinura',
  'litoria-caerulea',
]

describe('the catalogue of species', () => {
  it('holds 34 profiles, of which nine must never go down', () => {
    expect(catalogue).toHaveLength(34)
    expect(catalogue.filter((one) => one.winter === 'never').map((one) => one.id)).toEqual(keptWarm)
  })

  it.each(keptWarm)('%s refuses a hold: it has no limits and no figures of one (S1)', (id) => {
    const { hold, season, mass, active } = profile(id)
    expect({ hold, season, mass }).toEqual({ hold: undefined, season: undefined, mass: undefined })
    expect(active.temperature.some(({ limit }) => limit === 'low' || limit === 'lowCritical')).toBe(true)
  })

  it('marks the rows that rest on keeper habit, and no others', () => {
    expect(catalogue.filter((one) => one.weak).map((one) => one.id)).toEqual([
      'pantherophis-guttatus',
      'lampropeltis-getula',
      'heterodon-nasicus',
      'tiliqua-scincoides',
      'timon-lepidus',
      'tarentola-mauritanica',
      'salamandra-salamandra',
      'correlophus-ciliatus',
      'uromastyx-acanthinura',
      'litoria-caerulea',
    ])
  })

  it('holds every taxon that is kept', () => {
    expect(new Set(catalogue.map((one) => one.taxon))).toEqual(
      new Set(['tortoise', 'turtle', 'snake', 'lizard', 'frog', 'salamander']),
    )
  })
})

describe.each(catalogue.map((one) => [one.id, one] as const))('%s', (_id, one) => {
  it('does not contradict itself: limits rise, the aim lies inside, young ≤ adult, lenient ≥ strict', () => {
    expect(faultsIn(one)).toEqual([])
  })

  it('names a publication, keeper habit or the arithmetic behind every number', () => {
    for (const { source, evidence } of figuresOf(one)) {
      const isNamed = publications.some((name) => source.includes(name))
      expect(isNamed || evidence === 'derived', source).toBe(true)
      expect(source.length, source).toBeLessThanOrEqual(400)
      if (evidence === 'derived') expect(source).toMatch(/[Dd]erived/)
      if (evidence === 'commonPractice') expect(source).toContain(sources.keepers)
    }
  })

  it('names a source for every note', () => {
    for (const note of one.notes)
      expect(
        publications.some((name) => note.source.includes(name)),
        note.text,
      ).toBe(true)
  })

  it('has critical limits on both sides of its hold, that ring (S1)', () => {
    if (one.hold === undefined) return expect(one.winter).toBe('never')
    for (const name of ['lowCritical', 'highCritical'])
      expect(one.hold.temperature.find(({ limit }) => limit === name)?.priority).toBe('high')
  })
})

const landTortoises = ['testudo-hermanni', 'testudo-graeca', 'testudo-marginata']

describe('published figures of the winter', () => {
  it.each(landTortoises)(
    '%s aims at 5 °C (Forbes), 10 weeks at most three months (BVA; McArthur), or inside 3 to 5 (Bundestierärztekammer)',
    (id) => {
      const { aim, usualWeeks, mostWeeks } = season(id)
      expect(both(aim)).toEqual([5, 5])
      expect(both(usualWeeks)).toEqual([10, 10])
      expect(both(mostWeeks)).toEqual([13, 17])
      // Three months: 91 days may be planned, 100 may not
      expect([91 <= mostWeeks.value * 7, 100 <= mostWeeks.value * 7]).toEqual([true, false])
    },
  )

  it.each(landTortoises)(
    '%s: a young one six weeks at most, so not 49 days (BVA), or eight (Bundestierärztekammer)',
    (id) => {
      const most = season(id).youngMostWeeks
      expect(both(most)).toEqual([6, 8])
      expect(49 > (most?.value ?? 0) * 7).toBe(true)
    },
  )

  it.each(landTortoises)(
    '%s: from the second winter and 200 g (BVA; Forbes), or every age and size (Rabeling)',
    (id) => {
      expect(both(season(id).leastYears)).toEqual([2, 0])
      expect(both(season(id).leastGrams)).toEqual([200, 0])
    },
  )

  it.each(landTortoises)(
    '%s: three to four weeks of fast (Forbes), bathed every other day (Hedley), cooled by 5 K a week (Hedley)',
    (id) => {
      const { fastWeeks, batheDays, coolPerWeek, fastWarm } = season(id)
      expect(both(fastWeeks)).toEqual([4, 3])
      expect(both(batheDays)).toEqual([2, 3])
      expect(both(coolPerWeek)).toEqual([5, 5])
      expect(both(fastWarm)).toEqual([15, 15])
      // 20 to 5 °C at 5 K a week: 21 days
      expect(((season(id).warm.value - season(id).aim.value) / coolPerWeek.value) * 7).toBe(21)
    },
  )

  it.each([...landTortoises, 'testudo-horsfieldii', 'gopherus-agassizii'])(
    '%s: weighed weekly (BVA), looked at every three days (Forbes), aired weekly (activet), to a vet after seven days (RVC)',
    (id) => {
      const { weighDays, lookDays, airDays, vetDays } = season(id)
      expect([both(weighDays), both(lookDays), both(airDays), both(vetDays)]).toEqual([
        [7, 28],
        [3, 3],
        [7, 7],
        [7, 7],
      ])
    },
  )

  it('testudo-horsfieldii: usually 8 weeks, at most three months (McArthur) or five (Rabeling)', () => {
    expect(both(season('testudo-horsfieldii').usualWeeks)).toEqual([8, 8])
    expect(both(season('testudo-horsfieldii').mostWeeks)).toEqual([13, 21])
  })

  it('a tortoise may lose 1 % a month (RVC; Forbes) and 5 % in all (BVA) or 10 (Bundestierärztekammer)', () => {
    for (const id of [...landTortoises, 'testudo-horsfieldii', 'gopherus-agassizii']) {
      expect(both(mass(id).monthlyPercent)).toEqual([1, 1])
      expect(both(mass(id).totalPercent)).toEqual([5, 10])
    }
  })

  it('amphibians in moist soil gain mass by rights, nobody else does (Calatayud & Langhorne)', () => {
    expect(catalogue.filter((one) => one.mass?.gainIsUsual === true).map((one) => one.id)).toEqual([
      'salamandra-salamandra',
      'triturus-cristatus',
      'bufo-bufo',
    ])
  })

  it.each<[string, string, Partial<Record<keyof SeasonFigures, readonly [number, number]>>]>([
    [
      'terrapene-carolina',
      'common practice: 10 to 14 weeks, fast two to three',
      { mostWeeks: [14, 14], fastWeeks: [3, 2] },
    ],
    [
      'chrysemys-picta',
      'common practice: 12 to 16 weeks; stol.it: fast two to three',
      { usualWeeks: [12, 12], mostWeeks: [16, 16], fastWeeks: [3, 2] },
    ],
    [
      'emys-orbicularis',
      'common practice: 12 to 16 weeks; stol.it: fast two to three',
      { usualWeeks: [12, 12], mostWeeks: [16, 16], fastWeeks: [3, 2] },
    ],
    [
      'pantherophis-guttatus',
      'common practice: 8 to 12 weeks or 13; WikiVet: active from 25 °C',
      { mostWeeks: [12, 13], fastWeeks: [4, 2], fastWarm: [25, 25] },
    ],
    [
      'lampropeltis-getula',
      'common practice: 8 to 12 weeks; WikiVet: active from 25 °C',
      { mostWeeks: [12, 12], fastWeeks: [4, 2], fastWarm: [25, 25] },
    ],
    [
      'heterodon-nasicus',
      'common practice: 8 to 12 weeks, fast two to three',
      { mostWeeks: [12, 12], fastWeeks: [3, 2] },
    ],
    [
      'thamnophis-sirtalis',
      'Costanzo: 4 °C; Stubblefield: six months; Hawley & Aleksiuk: no meal for three days',
      { aim: [4, 4], mostWeeks: [16, 24], fastWarm: [21, 21], firstMealDays: [3, 3] },
    ],
    [
      'vipera-berus',
      'meadow viper centre: 4 °C; common practice: 16 to 20 weeks',
      { aim: [4, 4], mostWeeks: [20, 20] },
    ],
    [
      'pogona-vitticeps',
      'Bundesverband: 4 to 8 weeks; Bundestierärztekammer: light from 14 hours to 8',
      {
        aim: [16, 16],
        mostWeeks: [8, 12],
        lightFrom: [14, 14],
        lightTo: [8, 8],
        leastYears: [1, 0],
        fastWeeks: [2, 1],
      },
    ],
    ['tiliqua-scincoides', 'common practice: 6 to 10 weeks', { mostWeeks: [10, 10], fastWeeks: [2, 2] }],
    [
      'lacerta-agilis',
      'Bannert: 3 to 5 °C; common practice: 12 to 16 weeks or 20',
      { aim: [4, 4], mostWeeks: [16, 20] },
    ],
    [
      'podarcis-siculus',
      'Bannert: 12 to 15 °C for a relative; common practice: 6 to 10 weeks',
      { aim: [13, 13], mostWeeks: [10, 10], fastWeeks: [1, 1] },
    ],
    ['timon-lepidus', 'common practice: 8 to 12 weeks', { mostWeeks: [12, 12], fastWeeks: [3, 2] }],
    [
      'crotaphytus-collaris',
      'Bundesverband: 8 to 12 °C, 4 to 8 weeks',
      { aim: [10, 10], usualWeeks: [6, 6], mostWeeks: [8, 8] },
    ],
    ['tarentola-mauritanica', 'common practice: 6 to 8 weeks', { mostWeeks: [8, 8] }],
    [
      'eublepharis-macularius',
      'Bundestierärztekammer: 15 to 20 °C; Bundesverband: 8 to 12 °C for 4 to 8 weeks',
      { aim: [17, 10], mostWeeks: [8, 8] },
    ],
    [
      'salamandra-salamandra',
      'common practice: about 5 °C, 8 to 12 weeks',
      { aim: [5, 5], mostWeeks: [12, 12], fastWeeks: [2, 1] },
    ],
    ['triturus-cristatus', 'common practice: 8 to 16 weeks', { mostWeeks: [16, 16], fastWeeks: [2, 1] }],
    [
      'bufo-bufo',
      'Burton: six weeks; Calatayud & Langhorne: up to six months; Üveges: young ones 61 days',
      { aim: [4, 4], usualWeeks: [6, 6], mostWeeks: [13, 26], youngMostWeeks: [8, 8] },
    ],
  ])('%s (%s)', (id, _source, figures) => {
    for (const [name, expected] of Object.entries(figures))
      expect([name, both(season(id)[name as keyof SeasonFigures])]).toEqual([name, expected])
  })

  it.each<[string, string, readonly (number | undefined)[]]>([
    ['gopherus-agassizii', 'Tortoise Group: 35 and 50 °F', [1.7, 3, 8, 10]],
    ['terrapene-ornata', 'common practice: 4 to 10 °C, 13 at most', [1, 3, 11, 13]],
    ['emys-orbicularis', 'Ernst: water of 3 to 6 °C', [1, 2, 7, 10]],
    ['pantherophis-guttatus', 'common practice: 10 to 15 °C, 18 at most', [5, 9, 16, 18]],
    ['lampropeltis-getula', 'common practice: 10 to 14 °C, 18 at most', [5, 9, 15, 18]],
    ['heterodon-nasicus', 'common practice: 10 to 14 °C, 18 at most', [5, 9, 15, 18]],
    ['vipera-berus', 'derived: 2 to 6 °C', [1, 2, 7, 10]],
    ['pogona-vitticeps', 'Bundesverband: 15 to 18 °C; Bundestierärztekammer: 20 at most', [12, 14, 19, 20]],
    ['tiliqua-scincoides', 'common practice: 12 to 18 °C; 8 and 22 derived', [8, 11, 19, 22]],
    ['lacerta-agilis', 'Bannert: 3 to 5 °C', [1, 2, 6, 10]],
    ['podarcis-siculus', 'Bannert: 12 to 15 °C for a relative; 5 and 20 derived', [5, 9, 18, 20]],
    ['timon-lepidus', 'common practice: 5 to 10 °C, 12 at most', [3, 4, 11, 12]],
    ['crotaphytus-collaris', 'Bundesverband: 8 to 12 °C; 5 and 15 derived', [5, 7, 13, 15]],
    ['tarentola-mauritanica', 'common practice: 8 to 14 °C; 5 and 18 derived', [5, 7, 15, 18]],
    [
      'eublepharis-macularius',
      'Bundestierärztekammer: 15 to 20 °C; common practice: 10 critical',
      [10, 14, 21, 24],
    ],
    ['salamandra-salamandra', 'common practice: 3 to 8 °C, 12 at most', [1, 2, 9, 12]],
    ['triturus-cristatus', 'common practice: 3 to 8 °C, 12 at most', [1, 2, 9, 12]],
    ['bufo-bufo', 'derived: 3 to 4.5 °C, 8 at most', [1, 2, 6, 8]],
  ])('%s in hold: its limits (%s)', (id, _source, expected) => {
    const limits = profile(id).hold?.temperature ?? []
    const valueOf = (name: string) => limits.find(({ limit }) => limit === name)?.value
    expect(['lowCritical', 'low', 'high', 'highCritical'].map(valueOf)).toEqual(expected)
  })

  it('eublepharis-macularius: the lenient 8 to 12 °C lie inside its lenient limits (Bundesverband)', () => {
    const limits = profile('eublepharis-macularius').hold?.temperature ?? []
    const lenient = Object.fromEntries(limits.map((one) => [one.limit, one.lenient ?? one.value]))
    expect(lenient).toEqual({ lowCritical: 5, low: 7, high: 21, highCritical: 24 })
  })

  it.each<[string, string, number]>([
    ['testudo-graeca-graeca', 'derived: winter-active', 10],
    ['testudo-kleinmanni', 'derived: rests in summer', 12],
    ['centrochelys-sulcata', 'Boyer: 65 °F', 18.3],
    ['chelonoidis-carbonarius', 'derived: nights of 20 °C', 18],
    ['stigmochelys-pardalis', 'derived: as the spurred tortoise', 18],
    ['python-regius', 'derived: nights of 23 °C', 20],
    ['correlophus-ciliatus', 'common practice', 16],
    ['litoria-caerulea', 'common practice', 18],
    ['uromastyx-acanthinura', 'derived: rests of 15 to 21 °C', 12],
  ])('%s awake is first told of as too cold at its low alarm (%s)', (id, _source, expected) => {
    const lows = profile(id).active.temperature.filter(({ limit }) => limit.startsWith('low'))
    expect(Math.max(...lows.map(({ value }) => value))).toBe(expected)
  })
})

describe('rules of condition', () => {
  const having = (rule: ConditionRule) =>
    catalogue.filter((one) => one.condition.includes(rule)).map((one) => one.id)

  it('the Jackson ratio is valid for Testudo hermanni and graeca alone (Tortoise Protection Group)', () => {
    expect(having('jackson')).toEqual(['testudo-hermanni', 'testudo-graeca', 'testudo-graeca-graeca'])
  })

  it('the index of Hailey is valid for the three Greek Testudo alone (Willemsen & Hailey 2002)', () => {
    expect(having('hailey')).toEqual(landTortoises)
  })

  it('the volume of the box is valid for Gopherus agassizii alone (Nagy et al. 2002)', () => {
    expect(having('boxVolume')).toEqual(['gopherus-agassizii'])
  })

  it('a visual score of five is there for everybody (Frankenberger et al. 2024)', () => {
    expect(having('visualFive')).toEqual(catalogue.map((one) => one.id))
  })
})

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, later } from '../../schemas/amounts.ts'
import type { ConditionVerdict } from '../../schemas/condition.ts'
import { type DiaryLine, type DiaryNote, HealthQuestion } from '../../schemas/diary.ts'
import type { GateCheck } from '../../schemas/season.ts'
import { type GateFacts, gateOf, shutWords } from '../../shared/animals/gate.ts'
import { proposePlan } from '../../shared/animals/plan.ts'
import type { Subject } from '../../shared/animals/subject.ts'
import { allWell, aSubject, fitHistory, noon, noted, pebble, steps } from '../support/animal-subjects.ts'
import { aPython, aToad, aTortoise } from '../support/season-profiles.ts'

const now = noon('2026-10-29')
const draft = proposePlan(aSubject(), { by: 'hold', on: '2026-11-19' }).steps
const condition = (verdict: ConditionVerdict): GateFacts['condition'] => ({
  verdict,
  sentence: `The condition: ${verdict}.`,
  findings: [],
  trend: null,
})
const facts: GateFacts = {
  condition: condition('pass'),
  place: { name: 'Low box', isWatched: true },
  hasRung: true,
  fastCelsius: 22,
}
const fit = (more: Parameters<typeof aSubject>[0] = {}): Subject => {
  const { with: change, ...rest } = more ?? {}
  return aSubject({ now, history: fitHistory(now), ...rest, with: { draft, ...change } })
}
const standing = (subject: Subject, check: GateCheck, of: GateFacts = facts) =>
  gateOf(subject, of).items.find((item) => item.check === check)?.standing
const sentence = (subject: Subject, check: GateCheck, of: GateFacts = facts) =>
  gateOf(subject, of).items.find((item) => item.check === check)?.sentence
/** The fit history with one more entry. */
const and = (...notes: [number, DiaryNote][]): DiaryLine[] =>
  [...fitHistory(now), ...notes.map(([ago, note]) => noted(later(now, -days(ago)), note))].toSorted(
    (one, other) => one.at - other.at,
  )
const without = (kind: DiaryNote['kind'], ...instead: [number, DiaryNote][]): DiaryLine[] =>
  and(...instead).filter(({ note }) => note.kind !== kind || instead.some(([, other]) => other === note))

describe('S1: nobody goes down unless the checks are met', () => {
  test('with all of them met the gate is open; each is there once, with its sentence', () => {
    const gate = gateOf(fit(), facts)
    expect(gate.isOpen).toBe(true)
    expect(gate.items.map(({ check, standing: is }) => `${check} ${is}`)).toEqual([
      'profile met',
      'age met',
      'mass met',
      'kept met',
      'weighed met',
      'condition met',
      'health met',
      'gut met',
      'place met',
      'alarm met',
      'cap met',
    ])
    for (const item of gate.items) expect(item.sentence).toMatch(/^[A-Z0-9].*\.$/)
  })

  test('an animal of which nothing is known is asked for everything, in one sentence', () => {
    const { hatched: _, since: __, hasWintered: ___, sex: ____, ...blank } = pebble
    const bare = aSubject({ now, animal: blank })
    const gate = gateOf(bare, { condition: condition('unknown'), place: null, hasRung: false })
    expect(gate.isOpen).toBe(false)
    expect(gate.items.filter(({ standing: is }) => is === 'missing').map(({ check }) => check)).toEqual([
      'age',
      'mass',
      'kept',
      'weighed',
      'condition',
      'health',
      'gut',
      'place',
      'alarm',
      'cap',
    ])
    expect(shutWords(bare, gate)).toMatch(
      /^Pebble may not go down yet: say when it hatched.*no hold is planned\.$/,
    )
  })

  test('profile: a species that must never go down', () => {
    expect(standing(fit({ profile: aPython }), 'profile')).toBe('against')
  })

  test('age: full on the birthday, not a day before; a juvenile without a date is asked for one', () => {
    const born = (hatched: string) => standing(fit({ with: { hatched } }), 'age')
    expect([born('2022-10-29'), born('2022-10-30')]).toEqual(['met', 'against'])
    const { hatched: _, ...undated } = fit().animal
    const classed = (ageClass: 'hatchling' | 'juvenile' | 'adult') =>
      standing({ ...fit(), animal: { ...undated, ageClass } }, 'age')
    expect([classed('adult'), classed('juvenile'), classed('hatchling')]).toEqual([
      'met',
      'missing',
      'against',
    ])
    expect(standing(fit({ guidance: 'lenient', with: { hatched: '2026-08' } }), 'age')).toBe('met')
    expect(standing(fit({ profile: aToad, with: { hatched: '2026-08' } }), 'age')).toBe('met')
  })

  test('mass: 200 g are enough, 199 are not; by the other advice with a word', () => {
    const weighing = (grams: number, guidance: 'strict' | 'lenient' = 'strict') =>
      fit({ guidance, history: without('weighed', [1, { kind: 'weighed', grams }]) })
    expect([200, 199].map((grams) => standing(weighing(grams), 'mass'))).toEqual(['met', 'against'])
    expect(standing(weighing(180, 'lenient'), 'mass')).toBe('met')
    expect(sentence(weighing(180, 'lenient'), 'mass')).toContain('stricter advice')
  })

  test('kept: a year with its keeper on the day, not a day before', () => {
    const since = (date: string) => standing(fit({ with: { since: date } }), 'kept')
    expect([since('2025-10-29'), since('2025-10-30'), since('2025-10'), since('2025-09')]).toEqual([
      'met',
      'against',
      'against',
      'met',
    ])
  })

  test('weighed: exactly 14 days ago counts, a moment longer does not', () => {
    const weighed = (ms: number) =>
      standing(fit({ history: [noted(later(now, -ms), { kind: 'weighed', grams: 900 })] }), 'weighed')
    expect([weighed(days(14)), weighed(days(14) + 1)]).toEqual(['met', 'missing'])
  })

  test('condition: pass and watch are met, vet and block against, unknown is missing', () => {
    const verdicts: ConditionVerdict[] = ['pass', 'watch', 'vet', 'block', 'unknown']
    expect(
      verdicts.map((verdict) => standing(fit(), 'condition', { ...facts, condition: condition(verdict) })),
    ).toEqual(['met', 'met', 'against', 'against', 'missing'])
  })

  test('condition: a vet’s word after the last weighing meets “vet”, never “block”; before it, neither', () => {
    const seen = (ago: number, verdict: ConditionVerdict) =>
      standing(fit({ history: and([ago, { kind: 'vet', clears: true }]) }), 'condition', {
        ...facts,
        condition: condition(verdict),
      })
    expect([seen(1, 'vet'), seen(1, 'block'), seen(3, 'vet')]).toEqual(['met', 'against', 'against'])
  })

  test('place and alarm: a watched box, and a phone that rang', () => {
    expect(standing(fit(), 'place', { ...facts, place: null })).toBe('missing')
    expect(standing(fit(), 'place', { ...facts, place: { name: 'x', isWatched: false } })).toBe('missing')
    expect(standing(fit(), 'alarm', { ...facts, hasRung: false })).toBe('missing')
  })

  test('cap (S3): 91 days are met, 92 are against, none is missing', () => {
    const held = (to: string) =>
      standing(
        fit({ with: { draft: steps(['coolDown', '2026-10-29'], ['hold', '2026-11-19'], ['warmUp', to]) } }),
        'cap',
      )
    expect([held('2027-02-18'), held('2027-02-19')]).toEqual(['met', 'against'])
    expect(standing(fit({ with: { draft: [] } }), 'cap')).toBe('missing')
  })
})

describe('S1: the health list', () => {
  const health = (history: DiaryLine[], more: Parameters<typeof aSubject>[0] = {}) =>
    standing(fit({ ...more, history }), 'health')

  test('counts for 60 days, the last moment included', () => {
    const answered = (ms: number) => health([noted(later(now, -ms), { kind: 'checked', answers: allWell })])
    expect([answered(days(60)), answered(days(60) + 1)]).toEqual(['met', 'missing'])
  })

  test('a test of the droppings on its own day, two months before the cold, still counts', () => {
    const { faecesTested, ...others } = allWell
    const testedAgo = (ms: number) =>
      health([
        noted(later(now, -ms), { kind: 'checked', answers: { faecesTested } }),
        noted(later(now, -days(40)), { kind: 'checked', answers: others }),
      ])
    expect([days(62), days(196), days(196) + 1].map(testedAgo)).toEqual(['met', 'met', 'missing'])
  })

  test('each question by its newest answer, and some may be answered later than others', () => {
    const { eyesClear: _, ...most } = allWell
    const lines = [
      noted(later(now, -days(30)), { kind: 'checked', answers: most }),
      noted(later(now, -days(1)), { kind: 'checked', answers: { eyesClear: 'yes' } }),
    ]
    expect([health(lines.slice(0, 1)), health(lines)]).toEqual(['missing', 'met'])
    expect(sentence(fit({ history: lines.slice(0, 1) }), 'health')).toBe(
      'Of the health list 1 question is open: eyes clear.',
    )
  })

  for (const question of HealthQuestion.options)
    test(`${question}: “no” is against, “unsure” and “not asked” are missing`, () => {
      const answered = (answer: 'no' | 'unsure' | 'notAsked', sex: 'male' | 'female') =>
        health(and([1, { kind: 'checked', answers: { [question]: answer } }]), { with: { sex } })
      const male = question === 'notGravid' ? 'met' : 'missing'
      expect([
        answered('no', 'female'),
        answered('unsure', 'female'),
        answered('notAsked', 'female'),
      ]).toEqual(['against', 'missing', 'missing'])
      expect([answered('no', 'male'), answered('notAsked', 'male')]).toEqual(['against', male])
    })

  test('a vet who lets it go down after a “no” meets that; before it, or with a no, not', () => {
    const bad: [number, DiaryNote] = [10, { kind: 'checked', answers: { eyesClear: 'no' } }]
    expect(health(and(bad, [9, { kind: 'vet', clears: true }]))).toBe('met')
    expect(health(and(bad, [11, { kind: 'vet', clears: true }]))).toBe('against')
    expect(health(and(bad, [9, { kind: 'vet', clears: false }]))).toBe('against')
    expect(health(and([9, { kind: 'vet', clears: false }]))).toBe('against')
    expect(health(and([100, { kind: 'vet', clears: false }]))).toBe('against')
    expect(health(and(bad, [9, { kind: 'vet', clears: true }], [8, { kind: 'vet', clears: false }]))).toBe(
      'against',
    )
  })

  test('a danger sign is against until a vet lets it go down', () => {
    const sign: [number, DiaryNote] = [10, { kind: 'sign', signs: ['discharge'] }]
    expect([health(and(sign)), health(and(sign, [9, { kind: 'vet', clears: true }]))]).toEqual([
      'against',
      'met',
    ])
  })
})

describe('S1: the gut is emptied', () => {
  const fed = (ms: number, eaten: 'all' | 'some' | 'none' = 'all') => [
    ...fitHistory(now).filter(({ note }) => note.kind !== 'fed'),
    noted(later(now, -ms), { kind: 'fed', eaten }),
  ]
  const gut = (history: DiaryLine[], of: GateFacts = facts) => standing(fit({ history }), 'gut', of)

  test('four weeks of the calendar without food are enough, whatever the hour of the meal; a day less is not', () => {
    const inEvening = days(28) - hours(10)
    expect([
      gut(fed(days(28))),
      gut(fed(inEvening)),
      gut(fed(days(27) + hours(11))),
      gut(fed(days(27), 'some')),
    ]).toEqual(['met', 'met', 'missing', 'missing'])
  })

  test('says from which day on it is enough', () => {
    expect(sentence(fit({ history: fed(days(20)) }), 'gut')).toBe(
      'Last ate on 9 October: 20 days of 28 without food, enough from 6 November.',
    )
  })

  test('offered and not eaten is no meal; no meal at all is asked about', () => {
    const refused = fed(days(3), 'none')
    expect(gut(refused)).toBe('missing')
    expect(sentence(fit({ history: refused }), 'gut')).toContain('Say when it last ate')
    expect(gut([...fed(days(30)), noted(later(now, -days(2)), { kind: 'fed', eaten: 'none' })])).toBe('met')
  })

  test('below the profile’s temperature it does not empty; where nothing measured that, it says so', () => {
    expect([18, 17.9].map((fastCelsius) => gut(fed(days(30)), { ...facts, fastCelsius }))).toEqual([
      'met',
      'missing',
    ])
    expect(sentence(fit({ history: fed(days(30)) }), 'gut', { ...facts, fastCelsius: null })).toContain(
      'Nothing measured',
    )
  })

  test('the last faeces are said, or that none are noted', () => {
    expect(sentence(fit(), 'gut')).toContain('Last faeces on 9 October.')
    expect(
      sentence(fit({ history: fed(days(30)).filter(({ note }) => note.kind !== 'passed') }), 'gut'),
    ).toContain('No faeces are noted')
  })
})

describe('properties', () => {
  const note: fc.Arbitrary<DiaryNote> = fc.oneof(
    fc.record({ kind: fc.constant('weighed' as const), grams: fc.integer({ min: 100, max: 900 }) }),
    fc.record({ kind: fc.constant('fed' as const), eaten: fc.constantFrom('all' as const, 'some', 'none') }),
    fc.constant<DiaryNote>({ kind: 'checked', answers: allWell }),
    fc
      .tuple(
        fc.constantFrom(...HealthQuestion.options),
        fc.constantFrom('yes' as const, 'no', 'unsure', 'notAsked'),
      )
      .map(([question, answer]): DiaryNote => ({ kind: 'checked', answers: { [question]: answer } })),
    fc.record({ kind: fc.constant('vet' as const), clears: fc.boolean() }),
    fc.constant<DiaryNote>({ kind: 'sign', signs: ['swelling'] }),
    fc.constant<DiaryNote>({ kind: 'looked' }),
  )
  const history = fc
    .array(fc.tuple(fc.integer({ min: 0, max: 120 }), note), { maxLength: 14 })
    .map((all) =>
      all.map(([ago, one]) => noted(later(now, -days(ago)), one)).toSorted((one, other) => one.at - other.at),
    )

  test('S1: no order of entries opens the gate for an animal that ate, was not weighed, is light, ill or unanswered', () => {
    let opened = 0
    fc.assert(
      fc.property(history, fc.boolean(), (lines, isFit) => {
        const all = isFit ? [...fitHistory(now), ...lines].toSorted((one, other) => one.at - other.at) : lines
        const gate = gateOf(fit({ history: all }), facts)
        if (!gate.isOpen) return true
        opened += 1
        const weighed = all.findLast((line) => line.note.kind === 'weighed')
        const vet = all.findLast((line) => line.note.kind === 'vet')
        const ate = all.some(
          (line) => line.note.kind === 'fed' && line.note.eaten !== 'none' && now - line.at < days(28),
        )
        const illAt = all.findLast(
          (line) =>
            now - line.at <= days(60) &&
            (line.note.kind === 'sign' ||
              (line.note.kind === 'checked' &&
                Object.entries(line.note.answers).some(
                  ([question, answer]) =>
                    answer === 'no' &&
                    !all.some(
                      (later_) =>
                        all.indexOf(later_) > all.indexOf(line) &&
                        later_.note.kind === 'checked' &&
                        question in later_.note.answers,
                    ),
                ))),
        )
        const isCleared =
          vet?.note.kind === 'vet' && vet.note.clears && illAt !== undefined && vet.at >= illAt.at
        const isLight = weighed?.note.kind === 'weighed' && weighed.note.grams < 200
        const isVetoed = vet?.note.kind === 'vet' && !vet.note.clears
        return (
          !ate &&
          weighed !== undefined &&
          now - weighed.at <= days(14) &&
          !isLight &&
          !isVetoed &&
          (illAt === undefined || isCleared)
        )
      }),
      { numRuns: 2000 },
    )
    expect(opened).toBeGreaterThan(10)
  })

  test('an entry of tomorrow changes nothing today', () => {
    fc.assert(
      fc.property(history, note, (lines, ahead) => {
        const tomorrow = noted(later(now, days(1)), ahead)
        const before = gateOf(fit({ history: lines }), facts)
        expect(gateOf(fit({ history: [...lines, tomorrow] }), facts)).toEqual(before)
      }),
      { numRuns: 200 },
    )
  })

  test('the profile’s own figures hold: the same animal of the other profile is judged by its own', () => {
    expect(gateOf(fit({ profile: aTortoise }), facts).isOpen).toBe(true)
    const ate = and([8, { kind: 'fed', eaten: 'all' }])
    expect([aTortoise, aToad].map((profile) => standing(fit({ profile, history: ate }), 'gut'))).toEqual([
      'missing',
      'met',
    ])
  })
})

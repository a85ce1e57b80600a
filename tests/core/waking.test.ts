import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { WakeNow, WakeReason } from '../../schemas/season.ts'
import { massOf } from '../../shared/animals/mass.ts'
import { type PlaceHarm, wakeOf, wakeOrder, wakingStepsOf } from '../../shared/animals/waking.ts'
import { type Noted, onDay, stepsOf, subjectOf, type Told, weighed } from '../support/animal-history.ts'

const noHarm: PlaceHarm = { tooColdAt: null, tooWarmSince: null }

function at(
  now: number,
  notes: readonly Noted[] = [],
  more: Partial<Told> = {},
  harm: PlaceHarm = noHarm,
): WakeNow {
  const subject = subjectOf({ now, notes, ...more })
  return wakeOf(subject, massOf(subject, null), harm)
}
const reason = (wake: WakeNow, name: WakeReason) => wake.reasons.find((one) => one.reason === name)

/** No end planned: only the cap ends it. */
const endless = {
  animal: {
    plan: stepsOf([
      ['coolDown', -21],
      ['hold', 0],
    ]),
  },
}

describe('the longest hold (S3)', () => {
  it('a grown animal by strict guidance: 13 weeks, told a week ahead (BVA/BSAVA/BVZS 2016; McArthur 2003)', () => {
    expect(at(83.9, [], endless).standing).toBe('no')
    expect(at(84, [], endless)).toMatchObject({
      standing: 'soon',
      reasons: [{ reason: 'cap', at: onDay(91), isNow: false }],
    })
    expect(at(90.9, [], endless).standing).toBe('soon')
    expect(at(91, [], endless)).toMatchObject({ standing: 'now', reasons: [{ reason: 'cap', isNow: true }] })
  })

  it('by lenient guidance: 17 weeks (Bundestierärztekammer)', () => {
    const lenient = { ...endless, guidance: 'lenient' as const }
    expect(reason(at(118.9, [], lenient), 'cap')?.isNow).toBe(false)
    expect(reason(at(119, [], lenient), 'cap')?.isNow).toBe(true)
  })

  it('a young animal, and one that goes down for the first time: 6 weeks (BVA/BSAVA/BVZS 2016)', () => {
    const young = { animal: { ...endless.animal, ageClass: 'juvenile' as const } }
    const first = { animal: { ...endless.animal, hasWintered: false } }
    for (const who of [young, first]) {
      expect(reason(at(41.9, [], who), 'cap')?.isNow).toBe(false)
      expect(reason(at(42, [], who), 'cap')?.isNow).toBe(true)
    }
  })
})

describe('the day that was planned (S3)', () => {
  it('is told a week ahead and is due at its noon; nobody has to be told once it is awake by plan', () => {
    expect(at(76.9).standing).toBe('no')
    expect(at(77)).toMatchObject({ standing: 'soon', reasons: [{ reason: 'planned', at: onDay(84) }] })
    expect(reason(at(84), 'planned')).toMatchObject({ isNow: true })
    expect(at(86)).toEqual({ standing: 'no', reasons: [] })
  })

  it('is over as soon as it is woken', () => {
    expect(at(85, [[84.5, { kind: 'warmingBegan', why: 'its time' }]])).toEqual({
      standing: 'no',
      reasons: [],
    })
  })

  it('an animal that is not down has no reason to be woken', () => {
    expect(at(-30, [[-31, { kind: 'active' }]])).toEqual({ standing: 'no', reasons: [] })
  })
})

describe('seen in hold', () => {
  const urine: Noted = [10, { kind: 'passed', faeces: false, urates: false, urine: true }]

  it('urine or a wet box ends the hold (Forbes)', () => {
    expect(at(11, [urine])).toMatchObject({
      standing: 'now',
      reasons: [{ reason: 'urinated', at: onDay(10) }],
    })
    expect(reason(at(11, [weighed(0, 1000), weighed(10, 999, { box: 'wet' })]), 'urinated')?.isNow).toBe(true)
    expect(reason(at(11, [weighed(0, 1000), weighed(10, 999, { box: 'dry' })]), 'urinated')).toBeUndefined()
  })

  it('urine while it is still being cooled does not', () => {
    expect(at(11, [[-10, { kind: 'passed', faeces: true, urates: true, urine: true }]]).standing).toBe('no')
  })

  it('the box of a toad is wet by nature (Calatayud & Langhorne)', () => {
    const toad = { species: 'bufo-bufo' }
    expect(at(11, [weighed(0, 60), weighed(10, 60.5, { box: 'wet' })], toad).reasons).toEqual([])
  })

  it('moving once is looked after tomorrow, twice within three days it is woken; later it is once again (Forbes; how often: derived)', () => {
    const stir = (day: number): Noted => [day, { kind: 'active' }]
    expect(at(11, [stir(10)])).toMatchObject({
      standing: 'soon',
      reasons: [{ reason: 'active', isNow: false }],
    })
    expect(at(14, [stir(10), stir(13)])).toMatchObject({
      standing: 'now',
      reasons: [{ reason: 'active', isNow: true }],
    })
    expect(at(14, [stir(10), stir(13.01)]).standing).toBe('soon')
    expect(at(11, [stir(10), stir(10.02)]).standing).toBe('soon')
    expect(at(17, [stir(10)]).standing).toBe('soon')
    expect(at(17.01, [stir(10)]).standing).toBe('no')
  })

  it('a danger sign ends it and sends to a reptile vet, until a vet has cleared it', () => {
    const sign: Noted = [10, { kind: 'sign', signs: ['discharge', 'redPlastron'] }]
    expect(reason(at(11, [sign]), 'sign')?.sentence).toBe(
      'Discharge from nose or eyes, a reddened plastron seen on 30 November: end the hold and take it to a reptile vet.',
    )
    expect(at(12, [sign, [11, { kind: 'vet', clears: false }]]).standing).toBe('now')
    expect(at(12, [sign, [11, { kind: 'vet', clears: true }]]).standing).toBe('no')
  })

  it('a mass that ends the hold gives its sentence; one that will within a week is told ahead (S2)', () => {
    expect(reason(at(40, [weighed(0, 1000), weighed(40, 949)]), 'mass')).toMatchObject({ isNow: true })
    const sinking = [weighed(0, 1000), weighed(10, 985), weighed(20, 970), weighed(30, 955)]
    expect(reason(at(30, sinking), 'mass')).toMatchObject({ isNow: false })
    expect(reason(at(20, sinking.slice(0, 3)), 'mass')).toBeUndefined()
  })
})

describe('what its place did to it', () => {
  it('one event at the low critical limit ends the hold: eyes may be harmed (Forbes)', () => {
    const wake = at(11, [], {}, { ...noHarm, tooColdAt: onDay(10) })
    expect(wake.standing).toBe('now')
    expect(wake.reasons[0]?.sentence).toBe(
      'It was at or below 1.0 °C on 30 November: warm it slowly, over hours, and let a reptile vet look at its eyes.',
    )
  })

  it('above the high critical limit for a day it is woken, before that soon (derived)', () => {
    const warm = (now: number) => at(now, [], {}, { ...noHarm, tooWarmSince: onDay(10) })
    expect(warm(10.99)).toMatchObject({ standing: 'soon', reasons: [{ reason: 'tooWarm' }] })
    expect(warm(11)).toMatchObject({ standing: 'now', reasons: [{ reason: 'tooWarm', isNow: true }] })
  })
})

describe('who is woken first', () => {
  const row = (
    animal: string,
    standing: WakeNow['standing'],
    ...reasons: readonly (readonly [WakeReason, boolean, number])[]
  ) => ({
    animal,
    wake: {
      standing,
      reasons: reasons.map(([name, isNow, day]) => ({
        reason: name,
        isNow,
        at: onDay(day),
        sentence: '',
        source: null,
        evidence: null,
      })),
    },
  })
  const rows = [
    row('danger', 'now', ['sign', true, 5]),
    row('cold', 'now', ['tooCold', true, 5], ['planned', true, 5]),
    row('coldAlone', 'now', ['tooCold', true, 4]),
    row('earlier', 'now', ['planned', true, 3]),
    row('later', 'now', ['planned', true, 4], ['active', false, 1]),
    row('soon', 'soon', ['active', false, 1]),
    row('sleeps', 'no'),
    row('sleepsToo', 'no'),
  ]

  it('the most pressing, in whatever order they come', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray(rows.slice(0, -1), { minLength: rows.length - 1 }), (shuffled) => {
        expect(wakeOrder(shuffled).map(({ animal }) => animal)).toEqual(
          rows.slice(0, -1).map(({ animal }) => animal),
        )
      }),
    )
  })

  it('equals stay as they were, and nobody is lost', () => {
    expect(wakeOrder(rows).map(({ animal }) => animal)).toEqual(rows.map(({ animal }) => animal))
    expect(wakeOrder([])).toEqual([])
  })
})

describe('the steps after waking', () => {
  const woken: Noted = [84, { kind: 'warmingBegan', why: 'its time' }]
  const drank: Noted = [84.5, { kind: 'bathed', drank: true }]
  const urates: Noted = [86, { kind: 'passed', faeces: false, urates: true, urine: false }]
  const ate: Noted = [88, { kind: 'fed', eaten: 'some' }]
  const after = (day: number, notes: readonly Noted[] = [], more: Partial<Told> = {}) =>
    wakingStepsOf(subjectOf({ now: 84 + day, notes: [woken, ...notes], ...more }))
  const step = (steps: ReturnType<typeof after>, name: string) => steps.find((one) => one.step === name)

  it('are none before it is woken', () => {
    expect(wakingStepsOf(subjectOf({ now: 83, notes: [] }))).toEqual([])
    expect(wakingStepsOf(subjectOf({ now: 83, notes: [woken] }))).toEqual([])
  })

  it('begin with the end of the hold by its plan where nobody noted that it was woken: it is not forgotten', () => {
    const asleep = wakingStepsOf(subjectOf({ now: 83, notes: [] }))
    const forgotten = wakingStepsOf(subjectOf({ now: 88, notes: [] }))
    expect(asleep).toEqual([])
    expect(step(forgotten, 'drink')).toMatchObject({ standing: 'late', due: onDay(85) })
  })

  it('what a vet has seen since is looked for on, and does not send there again', () => {
    const seen = step(after(10, [drank, [92, { kind: 'vet', clears: true }]]), 'urates')
    expect(seen).toMatchObject({ standing: 'late', isVet: false })
    expect(seen?.sentence).not.toContain('vet')
  })

  it('a sign of danger seen in the cold sends to a vet after it too, until a vet has cleared it', () => {
    const went: Noted = [0, { kind: 'coolingBegan', steps: [] }]
    const weak: Noted = [80, { kind: 'sign', signs: ['weakness'] }]
    const normal = (...notes: Noted[]) => step(after(1, [went, weak, ...notes]), 'normal')
    expect(normal()).toMatchObject({ standing: 'waiting', isVet: true })
    expect(normal()?.sentence).toBe('Weakness seen in the cold: take it to a reptile vet now.')
    expect(normal([84.2, { kind: 'vet', clears: true }])?.isVet).toBe(false)
  })

  it('are none while it is down by its plan again', () => {
    const mistake: Noted = [40, { kind: 'warmingBegan', why: 'by mistake' }]
    expect(wakingStepsOf(subjectOf({ now: 45, notes: [mistake] }))).toEqual([])
  })

  it('come in turn: warm and drink at once, a meal only once it is warm and urates have passed', () => {
    expect(after(0.5).map(({ step: name, standing }) => `${name} ${standing}`)).toEqual([
      'warm waiting',
      'drink waiting',
      'urates ahead',
      'eat ahead',
      'normal ahead',
    ])
    expect(step(after(1, [drank]), 'urates')?.standing).toBe('waiting')
    expect(step(after(2.9, [drank, urates]), 'eat')?.standing).toBe('ahead')
    expect(step(after(3, [drank, urates]), 'eat')?.standing).toBe('waiting')
  })

  it('a bath without a word that it drank is no drink', () => {
    expect(step(after(1, [[84.5, { kind: 'bathed' }]]), 'drink')?.standing).toBe('late')
  })

  it('are over once it has drunk, passed urates and eaten', () => {
    expect(after(5, [drank, urates, ate])).toEqual([])
    expect(after(5, [drank, urates, [88, { kind: 'fed', eaten: 'none' }]])).toHaveLength(5)
  })

  it('what was noted before waking does not count', () => {
    expect(step(after(1, [[83, { kind: 'drank' }]]), 'drink')?.standing).toBe('late')
  })

  it('a danger sign keeps them, and sends to a vet, until a vet clears it', () => {
    const sign: Noted = [89, { kind: 'sign', signs: ['weakness'] }]
    expect(step(after(6, [drank, urates, ate, sign]), 'normal')).toMatchObject({ isVet: true })
    expect(after(6, [drank, urates, ate, sign, [90, { kind: 'vet', clears: true }]])).toEqual([])
  })

  it('a vet who cleared it when it was late is not asked for again', () => {
    expect(step(after(9, [drank, [92, { kind: 'vet', clears: true }]]), 'eat')).toMatchObject({
      standing: 'late',
      isVet: false,
    })
    expect(step(after(9, [drank, [90, { kind: 'vet', clears: true }]]), 'eat')).toMatchObject({
      standing: 'late',
      isVet: true,
    })
  })

  it('end after six weeks; without water passed it is told of for six more (netvet.co.uk)', () => {
    expect(after(42, [drank, urates])).toEqual([])
    expect(after(41.9, [drank, urates])).toHaveLength(5)
    expect(after(83.9, [drank])).toHaveLength(1)
    expect(after(84, [drank])).toEqual([])
  })

  it('a snake that is warmed over two weeks is not sent to a vet for want of a meal on day 7 (common practice, no source)', () => {
    const snake = { species: 'pantherophis-guttatus' }
    expect(after(7, [drank], snake).some(({ isVet }) => isVet)).toBe(false)
    expect(step(after(21, [drank], snake), 'urates')).toMatchObject({ isVet: true, due: onDay(84 + 21) })
    expect(step(after(21, [drank], snake), 'eat')).toMatchObject({ isVet: false, due: onDay(84 + 28) })
  })
})

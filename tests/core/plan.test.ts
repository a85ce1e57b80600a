import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { PlaceId } from '../../schemas/ids.ts'
import { Place } from '../../schemas/place.ts'
import { Phase, type Guidance } from '../../schemas/species.ts'
import { begunAt, warmedFrom } from '../../shared/animals/begun.ts'
import { conflictsOf, proposePlan } from '../../shared/animals/plan.ts'
import { planCapOf } from '../../shared/animals/plan-cap.ts'
import { daysFrom, holdOf } from '../../shared/animals/plan-days.ts'
import { marksOf } from '../../shared/animals/plan-marks.ts'
import { placeConflicts, type PlanSurroundings } from '../../shared/animals/plan-place.ts'
import { bandsAt } from '../../shared/judging/band.ts'
import { limitNames } from '../../shared/judging/limit-names.ts'
import { catalogue } from '../../shared/species/catalogue.ts'
import { addDays, daysBetween, localDate, localParts } from '../../shared/time/wall.ts'
import { aSubject, noon, noted, pebble, steps, zone } from '../support/animal-subjects.ts'
import { aPython, aToad, aTortoise } from '../support/season-profiles.ts'

const daysOf = (planned: ReturnType<typeof proposePlan>['steps'], timeZone = zone): string[] =>
  planned.map(({ phase, from }) => `${phase} ${localDate(from, timeZone)}`)

describe('S3: the winter is reckoned back from a wish', () => {
  test('from the day on which the hold begins', () => {
    expect(daysOf(proposePlan(aSubject(), { by: 'hold', on: '2026-11-19' }).steps)).toEqual([
      'feedUp 2026-08-06', // eight weeks before the fast
      'fast 2026-10-01', // four weeks before it is cooled
      'coolDown 2026-10-29', // 15 K at 5 K a week
      'hold 2026-11-19',
      'warmUp 2027-01-28', // ten weeks, the usual
      'awake 2027-01-31',
    ])
  })

  test('from the day on which it is woken, and in so many weeks', () => {
    const { steps: planned } = proposePlan(aSubject(), { by: 'wake', on: '2027-02-28', weeks: 13 })
    expect(daysOf(planned).slice(2, 5)).toEqual([
      'coolDown 2026-11-08',
      'hold 2026-11-29',
      'warmUp 2027-02-28',
    ])
  })

  test('in the south the same wish lies half a year on', () => {
    const timeZone = 'Australia/Melbourne'
    const subject = aSubject({ timeZone, now: noon('2027-02-01', timeZone) })
    const { steps: planned, conflicts } = proposePlan(subject, { by: 'hold', on: '2027-05-20' })
    expect(daysOf(planned, timeZone)).toEqual([
      'feedUp 2027-02-04',
      'fast 2027-04-01',
      'coolDown 2027-04-29',
      'hold 2027-05-20',
      'warmUp 2027-07-29',
      'awake 2027-08-01',
    ])
    expect([...conflicts, ...placeConflicts(subject, planned, alone('south'))]).toEqual([])
  })

  test('every phase begins at local noon, also over the nights on which clocks change', () => {
    const { steps: planned } = proposePlan(aSubject(), { by: 'wake', on: '2027-03-29', weeks: 13 })
    expect(planned.map(({ from }) => localParts(from, zone).hour)).toEqual(planned.map(() => 12))
    expect(localDate(planned.find(({ phase }) => phase === 'warmUp')?.from ?? planned[0]!.from, zone)).toBe(
      '2027-03-29',
    )
  })

  test('a wish past the cap is planned as long as the cap, and said so', () => {
    const { steps: planned, conflicts } = proposePlan(aSubject(), { by: 'wake', on: '2027-02-28', weeks: 20 })
    expect(daysOf(planned).slice(3, 5)).toEqual(['hold 2026-11-29', 'warmUp 2027-02-28'])
    expect(conflicts.map(({ kind, weight }) => [kind, weight])).toEqual([['tooLong', 'warning']])
    expect(conflicts[0]?.sentence).toContain('140 days')
  })

  test('the other guidance fasts for a shorter time and holds for longer', () => {
    const lenient = proposePlan(aSubject({ guidance: 'lenient' }), { by: 'hold', on: '2026-11-19' })
    expect(daysOf(lenient.steps).slice(1, 5)).toEqual([
      'fast 2026-10-08',
      'coolDown 2026-10-29',
      'hold 2026-11-19',
      'warmUp 2027-03-11',
    ])
    expect(lenient.conflicts.map(({ kind, weight }) => [kind, weight])).toEqual([['tooLong', 'warning']])
  })

  test('nothing known of an earlier winter is planned as the first; a waking in the diary is one', () => {
    const { hasWintered: _, ...unknown } = pebble
    const subject = aSubject({ now: noon('2027-09-01') })
    const first = planCapOf({ ...subject, animal: unknown })
    const woken = noted(noon('2027-02-01'), { kind: 'warmingBegan', why: 'planned' })
    const later = planCapOf({ ...subject, animal: unknown, history: [woken] })
    expect([first?.days, first?.why, later?.days, later?.why]).toEqual([42, 'first', 91, 'adult'])
  })

  test('a species that must never go down has no plan', () => {
    expect(() => proposePlan(aSubject({ profile: aPython }), { by: 'hold', on: '2026-11-19' })).toThrow(
      'python',
    )
    const kinds = conflictsOf(aSubject({ profile: aPython }), steps(['hold', '2026-11-19'])).map(
      ({ kind }) => kind,
    )
    expect(kinds).toEqual(['neverDown'])
  })
})

describe('days on the way', () => {
  const marks = (profile = aTortoise) =>
    proposePlan(aSubject({ profile }), { by: 'hold', on: '2026-11-19' }).marks.map(
      ({ kind, at }) => `${kind} ${localDate(at, zone)}`,
    )

  test('S4: faeces two months ahead, the check before the fast, weekly steps of 5 K, bath and meal after waking', () => {
    expect(marks()).toEqual([
      'faecesTest 2026-08-28',
      'healthCheck 2026-09-17',
      'lastMeal 2026-10-01',
      'coolStep 2026-10-29',
      'coolStep 2026-11-05',
      'coolStep 2026-11-12',
      'firstBath 2027-01-31',
      'firstMeal 2027-02-03',
    ])
    const steps_ = proposePlan(aSubject(), { by: 'hold', on: '2026-11-19' }).marks
    expect(steps_.filter(({ kind }) => kind === 'coolStep').map(({ sentence }) => sentence)).toEqual([
      'Let it cool from 20 to 15 °C over the next 7 days, at most 5 K a week.',
      'Let it cool from 15 to 10 °C over the next 7 days, at most 5 K a week.',
      'Let it cool from 10 to 5 °C over the next 7 days, at most 5 K a week.',
    ])
  })

  test('the faeces test lies two whole months ahead, whichever months they are', () => {
    const cool = noon('2026-09-01')
    const [first] = marksOf(aSubject(), [{ phase: 'coolDown', from: cool }])
    expect([first?.kind, localDate(first?.at ?? cool, zone)]).toEqual(['faecesTest', '2026-07-01'])
  })

  test('the answers of the check still count when cooling begins as planned (S1)', () => {
    for (const profile of catalogue.filter(({ season }) => season !== undefined)) {
      const proposal = proposePlan(aSubject({ profile }), { by: 'hold', on: '2026-11-19' })
      const cool = proposal.steps.find(({ phase }) => phase === 'coolDown')
      const check = proposal.marks.find(({ kind }) => kind === 'healthCheck')
      expect(
        daysFrom(check?.at ?? noon('2020-01-01'), cool?.from ?? noon('2020-01-01'), zone),
        profile.id,
      ).toBeLessThan(60)
    }
  })
})

describe('what speaks against a plan', () => {
  const kinds = (planned: ReturnType<typeof steps>, subject = aSubject()) =>
    conflictsOf(subject, planned).map(({ kind, weight }) => `${kind} ${weight}`)
  const good = steps(
    ['fast', '2026-10-01'],
    ['coolDown', '2026-10-29'],
    ['hold', '2026-11-19'],
    ['warmUp', '2027-01-28'],
    ['awake', '2027-01-31'],
  )

  test('nothing, where it keeps to the figures; nothing of a summer', () => {
    expect([kinds(good), kinds(steps(['awake', '2026-10-01']))]).toEqual([[], []])
  })

  test('S3: a hold without an end is refused', () => {
    expect(kinds(good.slice(0, 3))).toEqual(['tooLong refused'])
  })

  test('a fast shorter than the profile asks, by a day', () => {
    expect(kinds(good.with(0, { phase: 'fast', from: noon('2026-10-02') }))).toEqual(['fastTooShort warning'])
    expect(kinds(good.slice(1))).toEqual(['fastTooShort warning'])
  })

  test('a day less than 21 for 15 K is too fast; no cooling at all is, too', () => {
    expect(kinds(good.with(1, { phase: 'coolDown', from: noon('2026-10-30') }))).toEqual(['tooFast warning'])
    expect(kinds([good[0]!, ...good.slice(2)])).toEqual(['tooFast warning'])
  })

  test('the fourth birthday is old enough, the day before is not; a rough date counts from its last day', () => {
    const born = (hatched: string, guidance: Guidance = 'strict') =>
      kinds(good, aSubject({ guidance, with: { hatched } })).filter((one) => one.startsWith('tooYoung'))
    expect(born('2022-11-19')).toEqual([])
    expect(born('2022-11-20')).toEqual(['tooYoung refused'])
    expect(born('2022-10')).toEqual([])
    expect(born('2022-11')).toEqual(['tooYoung refused'])
    expect(born('2022')).toEqual(['tooYoung refused'])
    expect(born('2022-11-20', 'lenient')).toEqual(['tooYoung warning'])
    const hatchling = aSubject({ with: { ageClass: 'hatchling' } })
    const { hatched: _, ...undated } = hatchling.animal
    expect(kinds(good, { ...hatchling, animal: undated })).toContain('tooYoung refused')
  })

  test('days beyond all reckoning are refused, not reckoned with', () => {
    expect(kinds([{ phase: 'hold', from: 5 as never }])).toEqual(['tooLate refused'])
    expect(kinds([{ phase: 'hold', from: 253_402_300_799_999 as never }])).toEqual(['tooLate refused'])
    expect(marksOf(aSubject(), [{ phase: 'coolDown', from: 5 as never }])).toEqual([])
  })
})

const fridge = Place.parse({
  id: 'fridge',
  name: 'Fridge',
  kind: 'fridge',
  trial: { from: 1, until: 2, by: 'Ada' },
})
const box = Place.parse({ id: 'box', name: 'Low box', kind: 'box', parent: 'fridge' })
function alone(
  hemisphere: 'north' | 'south' = 'north',
  more: Partial<PlanSurroundings> = {},
): PlanSurroundings {
  return { hemisphere, place: box, isWatched: true, fridge, shared: [{ place: box, others: [] }], ...more }
}

describe('where and when', () => {
  const planned = proposePlan(aSubject(), { by: 'hold', on: '2026-11-19' }).steps
  const kinds = (around: PlanSurroundings, of = planned, subject = aSubject()) =>
    placeConflicts(subject, of, around).map(({ kind, weight }) => `${kind} ${weight}`)

  test('a watched box in a fridge that was run empty has nothing against it', () => {
    expect(kinds(alone())).toEqual([])
  })

  test('no place, no sensor, no trial run or one that goes on', () => {
    const { trial: _, ...untried } = fridge
    const running = Place.parse({ ...fridge, trial: { from: 1, until: null, by: 'Ada' } })
    expect(kinds(alone('north', { place: null, fridge: null, isWatched: false }))).toEqual([
      'placeNotReady warning',
    ])
    expect(kinds(alone('north', { isWatched: false }))).toEqual(['placeNotReady warning'])
    expect(kinds(alone('north', { fridge: untried }))).toEqual(['placeNotReady warning'])
    expect(kinds(alone('north', { fridge: running }))).toEqual(['placeNotReady warning'])
    expect(kinds(alone('north', { fridge: null }))).toEqual([])
  })

  test('a hold into the next season is refused; one after mid-April is warned of, in the south after mid-October', () => {
    const heldTo = (from: string, to: string) =>
      steps(['coolDown', addDays(from, -21)], ['hold', from], ['warmUp', to])
    expect(kinds(alone(), heldTo('2027-01-15', '2027-04-15'))).toEqual([])
    expect(kinds(alone(), heldTo('2027-01-15', '2027-04-16'))).toEqual(['tooLate warning'])
    expect(kinds(alone(), heldTo('2027-05-01', '2027-07-01'))).toEqual(['tooLate refused'])
    expect(kinds(alone('south'), heldTo('2027-08-01', '2027-10-15'))).toEqual([])
    expect(kinds(alone('south'), heldTo('2027-08-01', '2027-10-16'))).toEqual(['tooLate warning'])
  })

  test('cooling that should have begun already is said; begun today it is not late', () => {
    const at = (now: string) => kinds(alone(), planned, aSubject({ now: noon(now) }))
    expect([at('2026-10-29'), at('2026-10-30')]).toEqual([[], ['tooLate warning']])
  })

  test('L8: two in one box, one of which is warm while the other lies in the cold', () => {
    const other = (plan: ReturnType<typeof steps>, profile = aToad) => ({
      animal: { ...pebble, id: 'moss' as typeof pebble.id, name: 'Moss', plan },
      profile,
    })
    const beside = (plan: ReturnType<typeof steps>, profile = aToad) =>
      alone('north', { shared: [{ place: box, others: [other(plan, profile)] }] })
    expect(kinds(beside([], aTortoise))).toEqual(['boxMates refused'])
    expect(kinds(beside(planned, aTortoise))).toEqual([])
    // A toad's active band reaches down to 4 °C, the tortoise's hold up to 7: that leaves room.
    expect(kinds(beside([]))).toEqual([])
    expect(kinds(beside(steps(['hold', '2026-09-10'])))).toEqual(['boxMates refused'])
    const [conflict] = placeConflicts(aSubject(), planned, beside([], aTortoise))
    expect(conflict?.sentence).toContain('Moss')
  })
})

describe('begun on another day than drafted', () => {
  const draft = proposePlan(aSubject(), { by: 'hold', on: '2026-11-19' }).steps
  const begun = (date: string) => {
    const subject = aSubject({ now: noon(date), with: { draft } })
    return daysOf([...(begunAt(subject) ?? [])])
  }

  test('on its day it is as drafted', () => {
    expect(begun('2026-10-29')).toEqual(daysOf(draft))
  })

  test('late, cooling and hold come later by as much, and it is woken on the same day', () => {
    expect(begun('2026-11-08').slice(2)).toEqual([
      'coolDown 2026-11-08',
      'hold 2026-11-29',
      'warmUp 2027-01-28',
      'awake 2027-01-31',
    ])
  })

  test('early, all of it comes earlier: no hold grows by that', () => {
    expect(begun('2026-10-19').slice(2)).toEqual([
      'coolDown 2026-10-19',
      'hold 2026-11-09',
      'warmUp 2027-01-18',
      'awake 2027-01-21',
    ])
  })

  test('so late that no hold is left it does not begin; a day earlier it does', () => {
    expect(begun('2027-01-06').slice(3, 5)).toEqual(['hold 2027-01-27', 'warmUp 2027-01-28'])
    expect(begunAt(aSubject({ now: noon('2027-01-07'), with: { draft } }))).toBeNull()
  })

  test('warming ends the hold at once and is over after the profile’s days', () => {
    const plan = steps(['coolDown', '2026-10-29'], ['hold', '2026-11-19'], ['warmUp', '2027-01-28'])
    expect(daysOf([...warmedFrom(aSubject({ now: noon('2026-12-24'), with: { plan } }))])).toEqual([
      'coolDown 2026-10-29',
      'hold 2026-11-19',
      'warmUp 2026-12-24',
      'awake 2026-12-27',
    ])
  })
})

describe('properties', () => {
  const profiles = [
    aTortoise,
    aToad,
    ...catalogue.filter(({ season, hold }) => season !== undefined && hold !== undefined),
  ]
  const cases = fc.record({
    profile: fc.constantFrom(...profiles),
    guidance: fc.constantFrom<Guidance>('strict', 'lenient'),
    timeZone: fc.constantFrom('Europe/Vienna', 'Australia/Melbourne', 'America/St_Johns', 'Pacific/Apia'),
    by: fc.constantFrom<'hold' | 'wake'>('hold', 'wake'),
    day: fc.integer({ min: 0, max: 4000 }),
    weeks: fc.option(fc.double({ min: 0.1, max: 40, noNaN: true }), { nil: undefined }),
    hasWintered: fc.boolean(),
    hatched: fc.constantFrom('2010', '2024-05', '2026-08-01', undefined),
  })

  test('S3: no proposed plan is past its caps, too fast or too short of fasting, under either guidance', () => {
    fc.assert(
      fc.property(cases, ({ profile, guidance, timeZone, by, day, weeks, hasWintered, hatched }) => {
        const { hatched: _, ...undated } = pebble
        const animal = { ...undated, hasWintered, ...(hatched === undefined ? {} : { hatched }) }
        const subject = aSubject({ profile, guidance, timeZone, animal })
        const on = addDays('2024-01-01', day)
        const { steps: planned } = proposePlan(subject, { by, on, ...(weeks === undefined ? {} : { weeks }) })
        const hold = holdOf(planned)
        const cap = planCapOf(subject)
        if (hold === null || hold.to === null || cap === null) return false
        const lasts = daysBetween(localDate(hold.from, timeZone), localDate(hold.to, timeZone))
        const wished = localDate(by === 'hold' ? hold.from : hold.to, timeZone)
        const isAscending = planned.every(
          (step, i) => i === 0 || step.from > (planned[i - 1]?.from ?? step.from),
        )
        const refused = conflictsOf(subject, planned).filter(
          ({ kind, weight }) =>
            kind === 'tooFast' || kind === 'fastTooShort' || (kind === 'tooLong' && weight === 'refused'),
        )
        return lasts >= 1 && lasts <= cap.days && wished === on && isAscending && refused.length === 0
      }),
      { numRuns: 300 },
    )
  })

  test('L8: the band of a box is never wider than that of any animal in it', () => {
    const animal = fc.record({
      profile: fc.constantFrom(...profiles),
      plan: fc
        .uniqueArray(fc.integer({ min: 0, max: 200 }), { maxLength: 6 })
        .chain((at) =>
          fc.tuple(
            fc.constant(at.toSorted((one, other) => one - other)),
            fc.array(fc.constantFrom(...Phase.options), { minLength: 6, maxLength: 6 }),
          ),
        )
        .map(([at, phases]) =>
          at.map((day, i) => ({
            phase: phases[i] ?? ('awake' as const),
            from: noon(addDays('2026-09-01', day)),
          })),
        ),
    })
    fc.assert(
      fc.property(
        fc.array(animal, { minLength: 1, maxLength: 4 }),
        fc.integer({ min: 0, max: 220 }),
        fc.constantFrom<Guidance>('strict', 'lenient'),
        (animals, day, guidance) => {
          const at = noon(addDays('2026-09-01', day))
          const tenants = animals.map(({ profile, plan }, i) => ({
            profile,
            animal: { ...pebble, id: `a${i}` as typeof pebble.id, place: PlaceId.parse('box'), plan },
          }))
          const all = bandsAt(box, tenants, guidance, at).bands
          return tenants.every((tenant) => {
            const own = bandsAt(box, [tenant], guidance, at).bands
            return (['temperature', 'humidity'] as const).every((quantity) =>
              limitNames.every((name) => {
                const [mine, shared] = [own[quantity]?.[name], all[quantity]?.[name]]
                if (!mine) return true
                if (!shared) return false
                return name === 'low' || name === 'lowCritical'
                  ? shared.value >= mine.value
                  : shared.value <= mine.value
              }),
            )
          })
        },
      ),
      { numRuns: 200 },
    )
  })
})

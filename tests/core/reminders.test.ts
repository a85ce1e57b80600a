import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, later } from '../../schemas/amounts.ts'
import { Animal, type PlanStep } from '../../schemas/animal.ts'
import { DiaryLine, type DiaryNote } from '../../schemas/diary.ts'
import { AnimalId, PlaceId, SpeciesId } from '../../schemas/ids.ts'
import type { Gate, Reminder, WakeNow, WakingStep } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { byUrgency, onceEach } from '../../shared/animals/day-order.ts'
import { type ReminderFacts, remindersOf } from '../../shared/animals/reminders.ts'
import type { Subject } from '../../shared/animals/subject.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { addDays, daysBetween, localDate, wallInstant } from '../../shared/time/wall.ts'

const vienna = 'Europe/Vienna'
const noon = (date: string, zone = vienna) => wallInstant(date, '12:00', zone)
const profile = profileOf(SpeciesId.parse('testudo-hermanni'))
if (profile === undefined) throw new Error('the catalogue knows no Testudo hermanni')

const steps = (from: Partial<Record<PlanStep['phase'], string>>, zone = vienna): PlanStep[] =>
  Object.entries(from).map(([phase, date]) => ({ phase: phase as PlanStep['phase'], from: noon(date, zone) }))

const winter = {
  fast: '2026-10-20',
  coolDown: '2026-11-17',
  hold: '2026-12-08',
  warmUp: '2027-02-16',
  awake: '2027-02-18',
}

let made = 0
const line = (at: Instant, note: DiaryNote): DiaryLine => {
  made += 1
  return DiaryLine.parse({
    id: made.toString(16).padStart(16, '0'),
    at,
    animal: 'pebble',
    note,
    by: 'Robin',
    notedAt: at,
  })
}

function pebble(of: {
  plan?: PlanStep[]
  draft?: PlanStep[]
  at: string
  history?: DiaryLine[]
  zone?: string
}): Subject {
  const { plan = [], draft = [], at, history = [], zone = vienna } = of
  const animal = Animal.parse({
    id: 'pebble',
    name: 'Pebble',
    species: 'testudo-hermanni',
    place: 'low-shelf',
    mode: 'goesDown',
    plan,
    draft,
  })
  return {
    animal,
    profile: profile as Subject['profile'],
    guidance: 'strict',
    history,
    now: noon(at, zone),
    timeZone: zone,
  }
}

const asleep: WakeNow = { standing: 'no', reasons: [] }
const facts = (more: Partial<ReminderFacts> = {}): ReminderFacts => ({
  gate: null,
  wake: asleep,
  waking: [],
  airedAt: null,
  until: '2027-06-30',
  airPlace: { id: PlaceId.parse('fridge'), name: 'the fridge' },
  ...more,
})

const of = (kind: Reminder['kind'], all: readonly Reminder[]) => all.filter((one) => one.kind === kind)
const first = (kind: Reminder['kind'], all: readonly Reminder[]) => of(kind, all)[0]

describe('S4: before it goes down, by the draft', () => {
  const draft = steps(winter)
  const ahead = remindersOf(pebble({ draft, at: '2026-09-01' }), facts())

  test('each thing has its day, two months for the test of the droppings (bpt), and an id that says which', () => {
    expect(ahead.map(({ id }) => id).filter((id) => !id.startsWith('bathe'))).toEqual([
      'faecesTest:pebble:2026-09-16',
      'healthCheck:pebble:2026-10-06',
      'measure:pebble:2026-10-06',
      'lastMeal:pebble:2026-10-20',
      'weigh:pebble:2026-11-15',
      'beginCooling:pebble:2026-11-17',
    ])
    expect(new Set(ahead.map(({ standing }) => standing))).toEqual(new Set(['coming']))
  })

  test('nothing drafted, nothing to do', () => {
    expect(remindersOf(pebble({ at: '2026-09-01' }), facts())).toEqual([])
  })

  test('what was noted makes it go, and only that', () => {
    const at = '2026-11-16'
    const answers = { faecesTested: 'yes' } as const
    const tested = line(noon('2026-09-20'), { kind: 'checked', answers })
    const left = (history: DiaryLine[]) =>
      new Set(remindersOf(pebble({ draft, at, history }), facts()).map(({ kind }) => kind))
    expect(left([]).has('faecesTest')).toBe(true)
    expect(left([tested]).has('faecesTest')).toBe(false)
    expect(
      left([line(noon('2026-09-20'), { kind: 'checked', answers: { faecesTested: 'unsure' } })]).has(
        'faecesTest',
      ),
    ).toBe(true)
    expect(left([tested]).has('healthCheck')).toBe(true)
    expect(
      left([line(noon('2026-10-06'), { kind: 'checked', answers: { ...answers, eyesClear: 'yes' } })]).has(
        'healthCheck',
      ),
    ).toBe(false)
    expect(left([line(noon('2026-11-01'), { kind: 'measured', length: 15 })]).has('measure')).toBe(false)
    expect(left([line(noon('2026-11-09'), { kind: 'weighed', grams: 900 })]).has('weigh')).toBe(true)
    expect(left([line(noon('2026-11-10'), { kind: 'weighed', grams: 900 })]).has('weigh')).toBe(false)
  })

  test('while it fasts it is bathed every other day (Hedley), until it is cooled', () => {
    const at = '2026-11-14'
    const bathed = [line(noon('2026-11-12'), { kind: 'bathed' })]
    expect(of('bathe', remindersOf(pebble({ draft, at, history: bathed }), facts()))).toMatchObject([
      { on: '2026-11-14', standing: 'due' },
    ])
    expect(first('bathe', remindersOf(pebble({ draft, at }), facts()))).toMatchObject({
      on: '2026-10-20',
      standing: 'late',
    })
    expect(of('bathe', remindersOf(pebble({ draft, at: '2026-11-17' }), facts()))).toEqual([])
  })

  test('S1: when it is to be cooled, what the gate still misses stands there', () => {
    const gate: Gate = {
      isOpen: false,
      items: [
        { check: 'age', standing: 'met', sentence: 'It is old enough.', source: null, evidence: null },
        {
          check: 'weighed',
          standing: 'missing',
          sentence: 'It was not weighed.',
          source: null,
          evidence: null,
        },
      ],
    }
    expect(
      first('beginCooling', remindersOf(pebble({ draft, at: '2026-11-18' }), facts({ gate }))),
    ).toMatchObject({
      standing: 'late',
      sentence: 'Not yet: It was not weighed.',
    })
  })
})

describe('S4: in hold, by the plan in force', () => {
  const plan = steps(winter)
  const held = (at: string, history: DiaryLine[] = [], more: Partial<ReminderFacts> = {}) =>
    remindersOf(pebble({ plan, at, history }), facts(more))
  const weighed = (date: string) => line(noon(date), { kind: 'weighed', grams: 900 })

  test('weekly weighing (BVA/BSAVA/BVZS 2016): six days after the last one it is coming, seven days after due, then late', () => {
    const history = [weighed('2026-12-10')]
    expect(first('weigh', held('2026-12-16', history))).toMatchObject({
      on: '2026-12-17',
      standing: 'coming',
    })
    expect(first('weigh', held('2026-12-17', history))).toMatchObject({ on: '2026-12-17', standing: 'due' })
    expect(first('weigh', held('2026-12-18', history))).toMatchObject({
      id: 'weigh:pebble:2026-12-17',
      standing: 'late',
    })
  })

  test('S2: a loss to be watched is weighed again after two days', () => {
    const history = [weighed('2026-12-10')]
    expect(first('weigh', held('2026-12-11', history, { mass: 'watch' }))?.on).toBe('2026-12-12')
    expect(first('weigh', held('2026-12-11', history, { mass: 'well' }))?.on).toBe('2026-12-17')
  })

  test('on the first day of hold it asks for the entry weigh-in once, not twice', () => {
    const on = held('2026-12-08', [weighed('2026-12-01')]).filter(({ standing }) => standing !== 'coming')
    expect(on.map(({ kind }) => kind)).toEqual(['hold'])
    const late = held('2026-12-20', [weighed('2026-12-01')]).filter(({ standing }) => standing === 'late')
    expect(late.map(({ kind }) => kind)).toEqual(['hold', 'look', 'air'])
    expect(first('hold', held('2026-12-09', [weighed('2026-12-08')]))).toBeUndefined()
    expect(first('weigh', held('2026-12-09', [weighed('2026-12-08')]))?.on).toBe('2026-12-15')
  })

  test('any note of it counts as a look, and so does one of its whole place', () => {
    const lookOn = (history: DiaryLine[], lookedAt: Instant | null = null) =>
      first('look', held('2026-12-20', history, { lookedAt }))?.on
    expect(lookOn([])).toBe('2026-12-11')
    expect(lookOn([line(noon('2026-12-18'), { kind: 'said' })])).toBe('2026-12-21')
    expect(lookOn([], noon('2026-12-19'))).toBe('2026-12-22')
  })

  test('a fridge unopened for eight days is to be aired: weekly rule (ACT; BTK once or twice a week)', () => {
    const opened = noon('2026-12-12')
    expect(first('air', held('2026-12-20', [], { airedAt: opened }))).toMatchObject({
      id: 'air:fridge:2026-12-19',
      title: 'Air the fridge',
      standing: 'late',
    })
    expect(first('air', held('2026-12-18', [], { airedAt: opened }))?.standing).toBe('coming')
    expect(of('air', held('2026-12-20', [], { airPlace: null }))).toEqual([])
  })

  test('an opening from before the hold does not count: it was open when they went in', () => {
    expect(first('air', held('2026-12-09', [], { airedAt: noon('2026-11-01') }))?.on).toBe('2026-12-15')
  })

  test('warming is asked for on the day of the plan and stays until it began; then weighing and airing are over', () => {
    expect(first('beginWarming', held('2027-02-15'))).toMatchObject({ on: '2027-02-16', standing: 'coming' })
    const late = held('2027-02-17')
    expect(first('beginWarming', late)).toMatchObject({ standing: 'late' })
    expect(late.filter(({ kind }) => kind === 'weigh' || kind === 'look' || kind === 'air')).toEqual([])
    const woken = line(noon('2027-02-16'), { kind: 'warmingBegan', why: 'By the plan.' })
    expect(held('2027-02-17', [woken])).toEqual([])
    expect(held('2027-02-18')).toEqual([]) // awake by its plan: the steps after waking ask from here
  })

  test('to be woken now, nothing else is asked for', () => {
    const at = noon('2026-12-19')
    const reasons = [
      { reason: 'mass', at, isNow: true, sentence: 'It lost 6 %.', source: 'BVA', evidence: 'read' } as const,
    ]
    const all = held('2026-12-20', [], { wake: { standing: 'now', reasons } })
    expect(all).toMatchObject([
      { id: 'wakeNow:pebble:2026-12-19', sentence: 'It lost 6 %.', standing: 'late' },
    ])
  })
})

describe('S4: after waking', () => {
  const step = (
    name: WakingStep['step'],
    on: string,
    standing: WakingStep['standing'],
    isVet = false,
  ): WakingStep => ({
    step: name,
    from: noon('2027-02-19'),
    due: noon(on),
    doneAt: standing === 'done' ? noon(on) : null,
    standing,
    isVet,
    sentence: `${name}.`,
    source: null,
    evidence: null,
  })
  const awake = (waking: WakingStep[], history: DiaryLine[] = []) =>
    remindersOf(pebble({ at: '2027-03-01', history }), facts({ waking })).map(({ kind }) => kind)

  test('a sign of danger sends to a vet today, each day with the same id', () => {
    const sign = step('normal', '2027-03-20', 'waiting', true)
    const [vet] = remindersOf(pebble({ at: '2027-03-01' }), facts({ waking: [sign] }))
    expect(vet).toMatchObject({ id: 'vet:pebble:sign', kind: 'vet', on: '2027-03-01', standing: 'due' })
  })

  test('each step that waits has its reminder; what is done or only watched has none', () => {
    expect(
      awake([
        step('warm', '2027-02-18', 'waiting'),
        step('drink', '2027-02-19', 'done'),
        step('urates', '2027-03-02', 'waiting'),
        step('eat', '2027-03-04', 'ahead'),
      ]),
    ).toEqual(['urates'])
  })

  test('the first meal is asked for once urates have passed, from its turn on each day, as one and the same thing', () => {
    const passed = [step('urates', '2027-02-25', 'done'), step('eat', '2027-03-04', 'waiting')]
    const meal = (at: string) => first('firstMeal', remindersOf(pebble({ at }), facts({ waking: passed })))
    expect(meal('2027-02-18')).toMatchObject({ on: '2027-02-19', standing: 'coming' })
    expect(meal('2027-02-19')).toMatchObject({ on: '2027-02-19', standing: 'due' })
    expect(meal('2027-03-01')).toMatchObject({ on: '2027-03-01', standing: 'due' })
    expect(meal('2027-03-01')?.id).toBe(meal('2027-02-19')?.id)
  })

  test('late, it sends to a vet instead, once for all steps; a vet’s visit since then ends that', () => {
    const late = [step('urates', '2027-02-25', 'late', true), step('eat', '2027-02-25', 'late', true)]
    expect(awake(late)).toEqual(['vet'])
    expect(awake(late, [line(noon('2027-02-24'), { kind: 'vet', clears: false })])).toEqual(['vet'])
    expect(awake(late, [line(noon('2027-02-26'), { kind: 'vet', clears: true })])).toEqual([
      'urates',
      'firstMeal',
    ])
  })
})

describe('S4: days are days of the house', () => {
  test('where clocks go back in the hold and in the southern winter the days stay whole', () => {
    const zone = 'Australia/Sydney'
    const plan = steps({ coolDown: '2026-03-20', hold: '2026-04-02', warmUp: '2026-06-20' }, zone)
    const history = [line(wallInstant('2026-04-03', '23:30', zone), { kind: 'weighed', grams: 900 })]
    const subject = pebble({ plan, at: '2026-04-10', history, zone })
    const weigh = of('weigh', remindersOf(subject, facts()))
    expect(weigh[0]).toMatchObject({ on: '2026-04-10', standing: 'due' })
    expect(weigh.slice(0, 4).map(({ on }) => on)).toEqual([
      '2026-04-10',
      '2026-04-17',
      '2026-04-24',
      '2026-05-01',
    ])
  })
})

describe('S4: properties of the list', () => {
  const dates = fc.integer({ min: 0, max: 260 }).map((n) => addDays('2026-09-01', n))
  const note = fc.constantFrom<DiaryNote>(
    { kind: 'weighed', grams: 900 },
    { kind: 'looked' },
    { kind: 'bathed' },
    { kind: 'fed', eaten: 'some' },
    { kind: 'measured', length: 15 },
    { kind: 'checked', answers: { faecesTested: 'yes' } },
  )
  const history = fc
    .array(fc.tuple(dates, note), { maxLength: 12 })
    .map((notes) => notes.sort(([a], [b]) => (a < b ? -1 : 1)).map(([date, one]) => line(noon(date), one)))
  const subject = fc
    .tuple(dates, history, fc.boolean())
    .map(([at, notes, isDown]) =>
      pebble({ at, history: notes, ...(isDown ? { plan: steps(winter) } : { draft: steps(winter) }) }),
    )

  test('in order of time, each once, never past what is wanted, and late exactly when its day is past', () => {
    fc.assert(
      fc.property(subject, dates, (one, until) => {
        const all = remindersOf(one, facts({ until }))
        const today = localDate(one.now, vienna)
        expect(all.map(({ on }) => on)).toEqual(all.map(({ on }) => on).sort())
        expect(new Set(all.map(({ id }) => id)).size).toBe(all.length)
        for (const { on, standing } of all) {
          expect(on <= until).toBe(true)
          expect(standing).toBe(on < today ? 'late' : on === today ? 'due' : 'coming')
        }
      }),
    )
  })

  test('doing what it says makes it go', () => {
    const does: Partial<Record<Reminder['kind'], DiaryNote>> = {
      weigh: { kind: 'weighed', grams: 900 },
      look: { kind: 'looked' },
      bathe: { kind: 'bathed' },
      lastMeal: { kind: 'fed', eaten: 'all' },
      measure: { kind: 'measured', length: 15 },
      healthCheck: { kind: 'checked', answers: {} },
      faecesTest: { kind: 'checked', answers: { faecesTested: 'yes' } },
      hold: { kind: 'weighed', grams: 900 },
      beginWarming: { kind: 'warmingBegan', why: 'By the plan.' },
    }
    fc.assert(
      fc.property(subject, (one) => {
        for (const { id, kind, standing } of remindersOf(one, facts())) {
          const done = does[kind]
          if (standing === 'coming' || done === undefined) continue
          const after = remindersOf({ ...one, history: [...one.history, line(one.now, done)] }, facts())
          expect(after.map((left) => left.id)).not.toContain(id)
          expect(after.filter((left) => left.kind === kind && left.standing !== 'coming')).toEqual([])
        }
      }),
    )
  })

  test('while nothing is done, what was due stays on its day', () => {
    fc.assert(
      fc.property(subject, fc.integer({ min: 0, max: 10 }), (given, more) => {
        const one = { ...given, history: given.history.filter(({ at }) => at <= given.now) }
        const before = remindersOf(one, facts()).filter(({ standing }) => standing !== 'coming')
        const later_ = { ...one, now: later(one.now, days(more)) }
        const after = remindersOf(later_, facts())
        for (const { id, kind, on } of before) {
          const over =
            kind === 'lastMeal' || kind === 'bathe'
              ? '2026-11-17'
              : kind === 'beginWarming'
                ? '2027-02-18'
                : '2027-02-16'
          if (localDate(later_.now, vienna) < over || daysBetween(on, over) < 0)
            expect(after.map((left) => left.id)).toContain(id)
        }
      }),
    )
  })
})

describe('S4: the list of the house', () => {
  const reminder = (id: string, kind: Reminder['kind'], on: string, place?: string): Reminder => ({
    id,
    kind,
    ...(place === undefined ? { animal: AnimalId.parse('pebble') } : { place: PlaceId.parse(place) }),
    title: id,
    on,
    standing: 'due',
    sentence: '',
    source: null,
    evidence: null,
  })

  test('a fridge is aired once for all who share it, by whoever needs it soonest', () => {
    const one = [
      reminder('air:fridge:2026-12-20', 'air', '2026-12-20', 'fridge'),
      reminder('air:fridge:2026-12-27', 'air', '2026-12-27', 'fridge'),
    ]
    const other = [
      reminder('air:fridge:2026-12-18', 'air', '2026-12-18', 'fridge'),
      reminder('weigh:pebble:2026-12-20', 'weigh', '2026-12-20'),
    ]
    expect(onceEach([one, other, other]).map(({ id }) => id)).toEqual([
      'air:fridge:2026-12-18',
      'weigh:pebble:2026-12-20',
    ])
  })

  test('who must be woken comes before who must be weighed, however late that is', () => {
    const all = [
      reminder('weigh', 'weigh', '2026-12-01'),
      reminder('wake', 'wakeNow', '2026-12-20'),
      reminder('count', 'count', '2026-11-01'),
    ]
    expect(byUrgency(all).map(({ id }) => id)).toEqual(['wake', 'weigh', 'count'])
  })
})

import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryNote } from '../../schemas/diary.ts'
import { AnimalId } from '../../schemas/ids.ts'
import { AnimalStanding, PlanProposal, SeasonNow } from '../../schemas/season.ts'
import { Phase } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { coldAhead } from '../../shared/animals/cold-ahead.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import { allWell, noon, steps, zone } from '../support/animal-subjects.ts'
import { quickFolder } from '../support/kept-house.ts'
import { aWinterHouse, keeper, pebbleId, type WinterHouse, winterHousehold } from '../support/winter-house.ts'

let folder: ReturnType<typeof quickFolder>
let winter: WinterHouse
/** The day on which the cooling of the plans below is to begin. */
const coolDay = noon('2026-10-29')
const wish = { by: 'hold', on: '2026-11-19' } as const
const open = (options: Partial<Parameters<typeof aWinterHouse>[1]> = {}): WinterHouse =>
  aWinterHouse(folder.path, { now: coolDay, ...options })

beforeEach(() => {
  folder = quickFolder()
  winter = open()
})
afterEach(() => {
  winter.close()
  folder.remove()
})

const daysOf = (plan: Animal['plan'], timeZone = zone): string[] =>
  plan.map(({ phase, from }) => `${phase} ${localDate(from, timeZone)}`)
function propose(
  of: WinterHouse = winter,
  wished: Parameters<WinterHouse['desk']['propose']>[1] = wish,
): PlanProposal {
  const proposed = of.desk.propose(pebbleId, wished)
  if (!proposed.ok) throw new Error(proposed.sentence)
  return PlanProposal.parse(proposed.value)
}
function draft(of: WinterHouse = winter): Animal {
  const saved = of.desk.saveDraft(pebbleId, { steps: propose(of).steps, wish }, keeper)
  if (!saved.ok) throw new Error(saved.sentence)
  return saved.value
}
function standing(of: WinterHouse = winter): AnimalStanding {
  const found = of.desk.standing(pebbleId)
  if (!found.ok) throw new Error(found.sentence)
  return AnimalStanding.parse(found.value)
}
/** Fit, drafted and cooled from its day on. */
function cooled(): Animal {
  winter.makeFit()
  draft()
  const begun = winter.desk.beginCooling(pebbleId, keeper)
  if (!begun.ok) throw new Error(begun.sentence)
  return begun.value
}

describe('S3: a winter is planned', () => {
  test('a proposal keeps nothing; the draft is kept, and nothing follows it', () => {
    expect(daysOf(propose().steps).slice(2, 4)).toEqual(['coolDown 2026-10-29', 'hold 2026-11-19'])
    expect(winter.pebble().draft).toEqual([])
    const kept = draft()
    expect([daysOf(kept.draft).length, kept.wish, kept.plan]).toEqual([6, wish, []])
    winter.time.now = later(coolDay, days(40))
    expect(standing().phase).toBe('awake')
    expect(winter.journal().at(-1)).toMatchObject({
      kind: 'changed',
      by: keeper,
      animal: 'pebble',
      text: 'Planned the winter of Pebble: in hold from 19 November to 28 January.',
    })
  })

  test('past a cap it is refused with the figure, and kept with a reason that stands in the journal', () => {
    const long = propose().steps.map((step) =>
      step.from > noon('2026-11-20') ? { ...step, from: later(step.from, days(30)) } : step,
    )
    const save = (anyway?: string) =>
      winter.desk.saveDraft(pebbleId, { steps: long, wish: null }, keeper, anyway)
    expect(save()).toMatchObject({ ok: false, error: 'pastCap' })
    expect(save()).toMatchObject({
      sentence: 'A hold of 100 days is longer than the 91 days (13 weeks) allowed.',
    })
    expect(winter.pebble().draft).toEqual([])
    expect(save('its vet wants it so').ok).toBe(true)
    expect(winter.journal().at(-1)?.text).toContain('its vet wants it so')
    expect(winter.pebble()).not.toHaveProperty('wish')
  })

  test('no steps and no wish: nothing is prepared any more', () => {
    draft()
    expect(winter.desk.saveDraft(pebbleId, { steps: [], wish: null }, keeper)).toMatchObject({ ok: true })
    expect([winter.pebble().draft, winter.pebble().wish]).toEqual([[], undefined])
    expect(standing().gate).toBeNull()
  })

  test('an animal that must never go down has no proposal, draft or cooling; one that is not there neither', () => {
    winter.close()
    folder.remove()
    folder = quickFolder()
    const animals = [
      { id: 'pebble', name: 'Pebble', species: 'test-python', place: 'shelf', mode: 'staysAwake' },
    ]
    winter = open({ household: winterHousehold({ animals }) })
    const held = steps(['hold', '2026-11-19'], ['awake', '2026-12-01'])
    expect(winter.desk.propose(pebbleId, wish)).toMatchObject({ ok: false, error: 'mustNotGoDown' })
    expect(winter.desk.saveDraft(pebbleId, { steps: held, wish: null }, keeper, 'why not')).toMatchObject({
      ok: false,
      error: 'mustNotGoDown',
    })
    expect(winter.desk.beginCooling(pebbleId, keeper, 'why not')).toMatchObject({
      ok: false,
      error: 'mustNotGoDown',
    })
    const nobody = 'nobody' as typeof pebbleId
    for (const refused of [
      winter.desk.propose(nobody, wish),
      winter.desk.standing(nobody),
      winter.desk.saveDraft(nobody, { steps: held, wish: null }, keeper),
      winter.desk.beginCooling(nobody, keeper),
      winter.desk.beginWarming(nobody, keeper, 'x'),
    ])
      expect(refused).toMatchObject({ ok: false, error: 'noSuchAnimal' })
  })

  test('in the south the season is a calendar year, and the same plan lies in its winter', () => {
    winter.close()
    folder.remove()
    folder = quickFolder()
    const timeZone = 'Australia/Melbourne'
    winter = open({
      now: noon('2027-04-29', timeZone),
      household: winterHousehold({ timeZone, hemisphere: 'south' }),
    })
    winter.makeFit()
    const proposal = propose(winter, { by: 'hold', on: '2027-05-20' })
    expect(proposal.conflicts).toEqual([])
    winter.desk.saveDraft(pebbleId, { steps: proposal.steps, wish: null }, keeper)
    const begun = winter.desk.beginCooling(pebbleId, keeper)
    expect(begun.ok && daysOf(begun.value.plan, timeZone).slice(-4)).toEqual([
      'coolDown 2027-04-29',
      'hold 2027-05-20',
      'warmUp 2027-07-29',
      'awake 2027-08-01',
    ])
    const season = SeasonNow.parse(winter.desk.season())
    expect([season.season, localDate(season.from, timeZone), localDate(season.to, timeZone)]).toEqual([
      '2027',
      '2027-01-01',
      '2028-01-01',
    ])
  })
})

describe('S1: cooling begins through the gate', () => {
  test('with all met it begins; household, journal and diary say so, and the draft is in force', () => {
    const begun = cooled()
    expect(daysOf(begun.plan)).toEqual([
      'feedUp 2026-08-06',
      'fast 2026-10-01',
      'coolDown 2026-10-29',
      'hold 2026-11-19',
      'warmUp 2027-01-28',
      'awake 2027-01-31',
    ])
    expect([begun.draft, begun.wish]).toEqual([[], undefined])
    expect(winter.pebble()).toEqual(begun)
    expect(winter.noted(['coolingBegan'])).toMatchObject([
      { by: keeper, at: coolDay, note: { kind: 'coolingBegan', steps: begun.plan } },
    ])
    expect(winter.noted(['coolingBegan'])[0]?.note).not.toHaveProperty('anyway')
    expect(winter.journal().at(-1)).toMatchObject({
      kind: 'coolingBegan',
      animal: 'pebble',
      place: 'box',
      text: 'Cooling of Pebble began: in hold from 19 November to 28 January.',
    })
    expect(winter.heard).toContainEqual({ kind: 'diary', animal: 'pebble' })
  })

  test('of nothing known, everything is asked for in one sentence, and nothing changes', () => {
    draft()
    winter.time.hasRung = false
    const before = winter.pebble()
    const refused = winter.desk.beginCooling(pebbleId, keeper)
    expect(refused).toMatchObject({ ok: false, error: 'notReady' })
    const sentence = refused.ok ? '' : refused.sentence
    for (const part of ['never been weighed', 'health list', 'last ate', 'No working sensor', 'No phone'])
      expect(sentence.toLowerCase()).toContain(part.toLowerCase())
    expect([winter.pebble(), winter.noted(['coolingBegan'])]).toEqual([before, []])
  })

  test('with a reason it begins all the same; journal and diary keep what was missing and why', () => {
    draft()
    winter.makeFit()
    winter.note(27, { kind: 'fed', eaten: 'some' })
    expect(winter.desk.beginCooling(pebbleId, keeper)).toMatchObject({ ok: false, error: 'notReady' })
    expect(winter.desk.beginCooling(pebbleId, keeper, 'one dandelion').ok).toBe(true)
    expect(winter.noted(['coolingBegan'])[0]?.note).toMatchObject({ anyway: 'one dandelion' })
    expect(winter.journal().at(-1)?.text).toMatch(/one dandelion.*27 days of 28 without food/)
  })

  test('a reason where nothing is missing is no override', () => {
    draft()
    winter.makeFit()
    expect(winter.desk.beginCooling(pebbleId, keeper, 'just so').ok).toBe(true)
    expect(winter.noted(['coolingBegan'])[0]?.note).not.toHaveProperty('anyway')
    expect(winter.journal().at(-1)?.text).not.toContain('just so')
  })

  test('begun ten days late, the hold begins ten days later and ends on the same day', () => {
    draft()
    winter.time.now = noon('2026-11-08')
    winter.makeFit()
    const begun = winter.desk.beginCooling(pebbleId, keeper)
    expect(begun.ok && daysOf(begun.value.plan).slice(2)).toEqual([
      'coolDown 2026-11-08',
      'hold 2026-11-29',
      'warmUp 2027-01-28',
      'awake 2027-01-31',
    ])
  })

  test('so late that no hold is left it does not begin', () => {
    draft()
    winter.time.now = noon('2027-01-20')
    winter.makeFit()
    expect(winter.desk.beginCooling(pebbleId, keeper, 'late')).toMatchObject({
      ok: false,
      error: 'nothingPlanned',
    })
  })

  test('two keepers at once: the second is told that it has begun, and nothing is begun twice', () => {
    cooled()
    const second = winter.desk.beginCooling(pebbleId, 'Ben', 'me too')
    expect(second).toMatchObject({
      ok: false,
      error: 'nothingPlanned',
      sentence: 'The cooling of Pebble has begun already, on 29 October.',
    })
    expect(winter.noted(['coolingBegan'])).toHaveLength(1)
    expect(winter.journal().filter(({ kind }) => kind === 'coolingBegan')).toHaveLength(1)
  })

  test('one that lies in the cold does not begin the next winter', () => {
    cooled()
    const next = propose(winter, { by: 'hold', on: '2027-11-18' })
    winter.desk.saveDraft(pebbleId, { steps: next.steps, wish: null }, keeper)
    const { plan } = winter.pebble()
    expect(winter.desk.beginCooling(pebbleId, keeper, 'x')).toMatchObject({
      ok: false,
      error: 'nothingPlanned',
    })
    expect(winter.pebble().plan).toEqual(plan)
  })

  test('without a draft there is nothing to begin', () => {
    winter.makeFit()
    expect(winter.desk.beginCooling(pebbleId, keeper)).toMatchObject({
      ok: false,
      error: 'nothingPlanned',
      sentence: 'No winter is planned for Pebble. Plan it first.',
    })
  })

  test('household and diary are one transaction: where it fails or we are killed, neither stands', () => {
    winter.makeFit()
    draft()
    winter.close()
    let isBroken = false
    const commits: boolean[] = []
    winter = open({
      around: (store) => ({
        ...bound(store),
        commit(batch) {
          if (isBroken && batch.household !== undefined) {
            commits.push((batch.diary ?? []).length > 0)
            throw Object.assign(new Error('disk full'), { name: 'StorageError' })
          }
          return store.commit(batch)
        },
      }),
    })
    winter.read(21)
    isBroken = true
    expect(winter.desk.beginCooling(pebbleId, keeper)).toMatchObject({ ok: false, error: 'notStored' })
    expect(commits).toEqual([true])
    expect([winter.pebble().plan, winter.noted(['coolingBegan'])]).toEqual([[], []])
    winter.close()
    winter = open()
    expect([winter.pebble().plan, winter.noted(['coolingBegan'])]).toEqual([[], []])
    winter.read(21)
    expect(winter.desk.beginCooling(pebbleId, keeper).ok).toBe(true)
    winter.close()
    winter = open()
    expect([winter.pebble().plan.length, winter.noted(['coolingBegan']).length]).toEqual([6, 1])
  })
})

describe('warming', () => {
  test('ends the hold at once, for as many days as the profile asks; the reason stands in diary and journal', () => {
    cooled()
    winter.time.now = noon('2026-12-24')
    const woken = winter.desk.beginWarming(pebbleId, keeper, 'it lost too much')
    expect(woken.ok && daysOf(woken.value.plan).slice(2)).toEqual([
      'coolDown 2026-10-29',
      'hold 2026-11-19',
      'warmUp 2026-12-24',
      'awake 2026-12-27',
    ])
    expect(winter.noted(['warmingBegan'])).toMatchObject([{ note: { why: 'it lost too much' } }])
    expect(winter.journal().at(-1)).toMatchObject({ kind: 'warmingBegan', animal: 'pebble' })
    expect(standing().waking.length).toBeGreaterThan(0)
  })

  test('also while it is still being cooled; not of one that is awake, and not twice', () => {
    expect(winter.desk.beginWarming(pebbleId, keeper, 'x')).toMatchObject({ ok: false, error: 'notDown' })
    cooled()
    winter.time.now = later(coolDay, days(3))
    expect(winter.desk.beginWarming(pebbleId, keeper, 'it coughs').ok).toBe(true)
    expect(winter.desk.beginWarming(pebbleId, 'Ben', 'me too')).toMatchObject({ ok: false, error: 'notDown' })
    expect(winter.noted(['warmingBegan'])).toHaveLength(1)
  })

  test('is never refused for a box-mate that stays in hold: the box suits both no longer, and says so by its band', () => {
    cooled()
    winter.time.now = later(coolDay, days(40))
    const [pebble] = winter.household().animals
    if (pebble === undefined) throw new Error('There is no Pebble.')
    const juno = { ...pebble, id: AnimalId.parse('juno'), name: 'Juno' }
    expect(winter.desk.saveAnimal(juno, keeper, 'she lies beside him since October').ok).toBe(true)
    expect(winter.desk.beginWarming(pebbleId, keeper, 'he lost too much')).toMatchObject({ ok: true })
    // Nor does it stand in the way of what is saved next
    expect(winter.desk.saveAnimal({ ...juno, notes: 'shy' }, keeper).ok).toBe(true)
  })
})

describe('S1: an animal saved as a whole passes the same gate', () => {
  const save = (animal: Animal, anyway?: string) => winter.desk.saveAnimal(animal, keeper, anyway)
  const inHold = (): Animal => ({
    ...winter.pebble(),
    plan: steps(['hold', '2026-10-08'], ['warmUp', '2026-12-17'], ['awake', '2026-12-20']),
  })

  test('found in hold when Brumal comes: refused with the list, taken with a reason, in the diary from its first day', () => {
    expect(save(inHold())).toMatchObject({ ok: false, error: 'notReady' })
    expect(winter.pebble().plan).toEqual([])
    expect(save(inHold(), 'it has been in hold since October').ok).toBe(true)
    expect(winter.noted(['coolingBegan'])).toMatchObject([
      { at: noon('2026-10-08'), notedAt: coolDay, note: { anyway: 'it has been in hold since October' } },
    ])
    expect(winter.journal().at(-1)?.text).toMatch(/since October.*may not go down yet/)
    expect(standing().phase).toBe('hold')
  })

  test('with all met it is taken without a reason', () => {
    winter.makeFit()
    expect(save({ ...winter.pebble(), plan: propose().steps }).ok).toBe(true)
    expect(winter.noted(['coolingBegan'])).toHaveLength(1)
  })

  test('a name, a place or an earlier waking needs no gate; a longer hold needs its length to be allowed', () => {
    const { plan } = cooled()
    winter.time.now = noon('2026-12-24')
    const moved = (by: number): Animal => ({
      ...winter.pebble(),
      plan: plan.map((step) =>
        step.phase === 'warmUp' || step.phase === 'awake'
          ? { ...step, from: later(step.from, days(by)) }
          : step,
      ),
    })
    expect(save({ ...winter.pebble(), name: 'Pebble the elder' }).ok).toBe(true)
    expect(save(moved(-10)).ok).toBe(true)
    expect(save(moved(21)).ok).toBe(true) // 91 days
    const past = save(moved(22))
    expect(past).toMatchObject({ ok: false, error: 'notReady' })
    expect(past.ok ? '' : past.sentence).toContain('92 days')
    expect(save(moved(22), 'the vet says so').ok).toBe(true)
    expect(winter.noted(['coolingBegan', 'warmingBegan'])).toHaveLength(1)
  })

  test('what no reason can mend is said first (L8)', () => {
    winter.close()
    folder.remove()
    folder = quickFolder()
    const { animals } = winterHousehold()
    const mate = { ...animals[0], id: 'moss', name: 'Moss', mode: 'staysAwake' }
    winter = open({ household: winterHousehold({ animals: [...animals, mate] }) })
    expect(save(inHold(), 'whatever')).toMatchObject({ ok: false, error: 'bandsConflict' })
    expect(propose().conflicts.map(({ kind, weight }) => `${kind} ${weight}`)).toContain('boxMates refused')
    expect(winter.desk.saveDraft(pebbleId, { steps: propose().steps, wish }, keeper)).toMatchObject({
      ok: false,
      error: 'bandsConflict',
    })
    expect(winter.noted(['coolingBegan'])).toEqual([])
  })

  test('an undo of the beginning takes cold and entry back without a gate', () => {
    winter.makeFit()
    const before = draft()
    winter.desk.beginCooling(pebbleId, keeper)
    winter.time.now = later(coolDay, minutes(2))
    expect(save(before).ok).toBe(true)
    expect([winter.pebble(), winter.noted(['coolingBegan', 'warmingBegan'])]).toEqual([before, []])
    expect(winter.journal().at(-1)?.text).toContain('the beginning of its cooling was taken back')
    winter.time.now = later(coolDay, minutes(3))
    winter.read(21)
    expect(winter.desk.beginCooling(pebbleId, keeper).ok).toBe(true)
  })

  test('an undo of warming puts it back into its hold, for an hour; then the gate stands before it', () => {
    const before = cooled()
    for (const [waits, isBack] of [
      [hours(1), true],
      [hours(1) + 1, false],
    ] as const) {
      winter.time.now = later(winter.time.now, days(30))
      winter.desk.beginWarming(pebbleId, keeper, 'a slip')
      winter.time.now = later(winter.time.now, waits)
      expect(save(before)).toMatchObject(isBack ? { ok: true } : { ok: false, error: 'notReady' })
      expect(winter.noted(['warmingBegan'])).toHaveLength(isBack ? 0 : 1)
    }
    expect(winter.noted(['coolingBegan'])).toHaveLength(1)
  })

  test('once it has eaten, no undo puts it back', () => {
    const before = cooled()
    winter.time.now = later(winter.time.now, days(30))
    winter.desk.beginWarming(pebbleId, keeper, 'a slip')
    winter.time.now = later(winter.time.now, minutes(30))
    winter.note(0, { kind: 'fed', eaten: 'some' })
    expect(save(before)).toMatchObject({ ok: false, error: 'notReady' })
  })

  test('S1: a meal that is noted only after it went down keeps an undo from putting it back', () => {
    const before = cooled()
    winter.note(1, { kind: 'fed', eaten: 'all' })
    winter.desk.beginWarming(pebbleId, keeper, 'it had eaten')
    expect(save(before)).toMatchObject({ ok: false, error: 'notReady' })
    winter.time.now = later(winter.time.now, minutes(30))
    expect(save(before)).toMatchObject({ ok: false, error: 'notReady' })
  })

  test('S1: what goes into hold at once is no undo of a cooling that had only begun', () => {
    const before = cooled()
    winter.desk.beginWarming(pebbleId, keeper, 'a slip')
    const hold = before.plan.find(({ phase }) => phase === 'hold')
    if (hold === undefined) throw new Error('a plan has its hold')
    const { now } = winter.time
    const sooner = before.plan.flatMap((step) =>
      step.phase === 'coolDown' ? [] : [step === hold ? { ...step, from: now } : step],
    )
    expect(sooner.map(({ from }) => from)).toEqual(sooner.map(({ from }) => from).toSorted((a, b) => a - b))
    save({ ...before, plan: sooner }) // by the gate, if at all
    expect(winter.noted(['warmingBegan'])).toHaveLength(1)
  })

  test('taken out of the cold by its plan days later, it stands in the diary as woken', () => {
    cooled()
    winter.time.now = later(coolDay, days(30))
    expect(save({ ...winter.pebble(), plan: [] }).ok).toBe(true)
    expect(winter.noted(['warmingBegan'])).toMatchObject([{ note: { why: 'Its plan was changed by hand.' } }])
  })

  test('put back after it was removed it went down only once', () => {
    const before = cooled()
    winter.time.now = later(coolDay, days(3))
    expect(save(before, 'put back as it had been before it was removed').ok).toBe(true)
    expect(winter.noted(['coolingBegan'])).toHaveLength(1)
  })
})

describe('what is judged of it', () => {
  test('awake, drafted and fit: an open gate, nothing to wake for', () => {
    winter.makeFit()
    draft()
    const now = standing()
    expect([now.phase, now.gate?.isOpen, now.wake.standing, now.mass, now.doubt]).toEqual([
      'awake',
      true,
      'no',
      null,
      null,
    ])
    expect(now.years).toBeCloseTo(14.4, 1)
    expect(now.condition.verdict).toBe('pass')
  })

  test('S2: in hold its mass is judged against the entry weigh-in, with the warmth of its box', () => {
    cooled()
    winter.hold(hours(2), 20.5)
    winter.time.now = noon('2026-12-10')
    winter.hold(hours(1), 5)
    winter.note(0, { kind: 'weighed', grams: 850 })
    const { mass, wake } = standing()
    expect([mass?.entry?.grams, mass?.lostPercent?.toFixed(1), mass?.standing]).toEqual([900, '5.6', 'wake'])
    expect(wake.reasons.map(({ reason }) => reason)).toContain('mass')
    expect(winter.desk.season().wakeFirst).toEqual(['pebble'])
  })

  test('a value at 1.0 °C in hold wakes it, by the alarm of its box; 1.2 °C does not', () => {
    cooled()
    winter.time.now = noon('2026-12-10')
    winter.hold(minutes(90), 5)
    // By doubt of the sensor the alarm rings earlier (L9); the eyes are hurt at the limit itself.
    winter.hold(minutes(90), 1.25)
    expect(standing().wake.reasons.map(({ reason }) => reason)).not.toContain('tooCold')
    winter.hold(minutes(90), 1)
    const cold = standing().wake.reasons.find(({ reason }) => reason === 'tooCold')
    expect(cold?.isNow).toBe(true)
    const minutesAgo = (winter.time.now - (cold?.at ?? 0)) / 60_000
    expect([minutesAgo > 75, minutesAgo <= 90]).toEqual([true, true])
  })

  test('above 10 °C since so long, while it is so', () => {
    cooled()
    winter.time.now = noon('2026-12-10')
    winter.hold(minutes(90), 5)
    winter.hold(hours(30), 10.5)
    expect(
      [...winter.house.state().alarms.values()].some(
        ({ limit, state }) => limit === 'highCritical' && isConditionOut(state),
      ),
    ).toBe(true)
    expect(standing().wake.reasons.map(({ reason }) => reason)).toContain('tooWarm')
    winter.hold(hours(2), 5)
    expect(standing().wake.reasons.map(({ reason }) => reason)).not.toContain('tooWarm')
  })

  test('the season has a row for each, with days, conflicts and gate of what is prepared', () => {
    winter.read(21)
    draft()
    const { season, rows, wakeFirst } = SeasonNow.parse(winter.desk.season())
    expect([season, rows.length, wakeFirst]).toEqual(['2026/27', 1, []])
    expect(rows[0]).toMatchObject({
      animal: 'pebble',
      phase: 'awake',
      plan: [],
      conflicts: [],
      gate: { isOpen: false },
    })
    expect(rows[0]?.marks.map(({ kind }) => kind)).toContain('lastMeal')
  })
})

describe('properties', () => {
  const act = fc.oneof(
    fc.record({ do: fc.constant('note' as const), ago: fc.integer({ min: 0, max: 90 }), note: someNote() }),
    fc.record({ do: fc.constant('draft' as const), on: fc.integer({ min: 20, max: 60 }) }),
    fc.record({ do: fc.constant('begin' as const) }),
    fc.record({ do: fc.constant('put' as const), from: fc.integer({ min: -20, max: 20 }) }),
    fc.record({ do: fc.constant('warm' as const) }),
    fc.record({ do: fc.constant('undo' as const) }),
    fc.record({ do: fc.constant('wait' as const), days: fc.integer({ min: 1, max: 12 }) }),
  )

  test('S1: no order of acts puts an animal that ate within its fast into the cold without a reason that is kept', () => {
    let down = 0
    fc.assert(
      fc.property(fc.array(act, { minLength: 3, maxLength: 14 }), fc.boolean(), (acts, isFit) => {
        const own = quickFolder()
        const one = aWinterHouse(own.path, { now: coolDay })
        try {
          if (isFit) one.makeFit()
          let before = one.pebble()
          for (const step of acts) {
            const was = one.pebble()
            const { now } = one.time
            if (step.do === 'note') one.note(step.ago, step.note)
            if (step.do === 'draft') {
              const on = addDays(localDate(now, zone), step.on)
              const proposed = one.desk.propose(pebbleId, { by: 'hold', on })
              if (proposed.ok)
                one.desk.saveDraft(pebbleId, { steps: proposed.value.steps, wish: null }, keeper)
            }
            if (step.do === 'begin') one.desk.beginCooling(pebbleId, keeper)
            if (step.do === 'put') {
              const from = later(now, days(step.from))
              const plan = [
                { phase: 'hold' as const, from },
                { phase: 'awake' as const, from: later(from, days(40)) },
              ]
              one.desk.saveAnimal({ ...was, plan }, keeper)
            }
            if (step.do === 'warm') one.desk.beginWarming(pebbleId, keeper, 'x')
            if (step.do === 'undo') one.desk.saveAnimal(before, keeper)
            if (step.do === 'wait') one.time.now = later(now, days(step.days))
            if (step.do !== 'undo' && step.do !== 'wait' && step.do !== 'note') before = was
            one.read(5)
            const isNew =
              coldAhead(was.plan, now).length === 0 && coldAhead(one.pebble().plan, now).length > 0
            if (!isNew) continue
            down += 1
            const ate = one
              .noted(['fed'])
              .some(
                ({ at, note }) =>
                  note.kind === 'fed' && note.eaten !== 'none' && at <= now && now - at < days(28),
              )
            const isBack = step.do === 'undo'
            if (ate && !isBack) return false
            if (one.noted(['coolingBegan']).length === 0) return false
          }
          return true
        } finally {
          one.close()
          own.remove()
        }
      }),
      { numRuns: 60 },
    )
    expect(down).toBeGreaterThan(3)
  }, 60_000)
})

test('days of the year 9990 are refused, whatever the reason (X3)', () => {
  const far = [{ phase: 'hold' as const, from: 253_402_300_799_999 as Instant }]
  const animal = winter.pebble()
  for (const change of [{ plan: far }, { draft: far }])
    expect(winter.desk.saveAnimal({ ...animal, ...change }, keeper, 'x')).toMatchObject({
      ok: false,
      error: 'badPlan',
    })
  expect(winter.desk.saveDraft(pebbleId, { steps: far, wish: null }, keeper, 'x')).toMatchObject({
    ok: false,
    error: 'pastCap',
  })
  expect(winter.pebble()).toEqual(animal)
})

test('whatever steps an animal is saved with, season, standing, day and proposal answer', () => {
  const someSteps = fc
    .uniqueArray(
      fc.oneof(
        fc.integer({ min: 0, max: 253_402_300_799_999 }),
        fc.constantFrom(0, 5, 253_402_300_799_999),
        fc.integer({ min: coolDay - days(200), max: coolDay + days(300) }),
      ),
      { maxLength: 6 },
    )
    .chain((froms) =>
      fc
        .array(fc.constantFrom(...Phase.options), { minLength: froms.length, maxLength: froms.length })
        .map((phases) =>
          froms
            .toSorted((one, other) => one - other)
            .map((from, i) => ({ phase: phases[i] ?? ('awake' as const), from: from as Instant })),
        ),
    )
  winter.makeFit()
  fc.assert(
    fc.property(someSteps, someSteps, (plan, drafted) => {
      winter.desk.saveAnimal({ ...winter.pebble(), plan, draft: drafted }, keeper, 'an invented reason')
      SeasonNow.parse(winter.desk.season())
      AnimalStanding.parse(standing())
      winter.desk.day(14)
      propose()
    }),
    { numRuns: 100 },
  )
})

function someNote(): fc.Arbitrary<DiaryNote> {
  return fc.oneof(
    fc.record({ kind: fc.constant('weighed' as const), grams: fc.integer({ min: 150, max: 950 }) }),
    fc.record({ kind: fc.constant('fed' as const), eaten: fc.constantFrom('all' as const, 'some', 'none') }),
    fc.constant({ kind: 'checked' as const, answers: allWell }),
    fc.constant({ kind: 'checked' as const, answers: { eyesClear: 'no' as const } }),
    fc.record({ kind: fc.constant('vet' as const), clears: fc.boolean() }),
  )
}

/** The methods of a store, to be taken apart. */
function bound<Port extends object>(port: Port): Port {
  return new Proxy(port, {
    get: (target, name) => {
      const value = Reflect.get(target, name) as unknown
      return typeof value === 'function' ? (value.bind(target) as unknown) : value
    },
    ownKeys: (target) => Reflect.ownKeys(target),
    getOwnPropertyDescriptor: (target, name) => Reflect.getOwnPropertyDescriptor(target, name),
  })
}

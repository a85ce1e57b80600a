import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, millis, minutes } from '../../schemas/amounts.ts'
import { Trial } from '../../schemas/trial.ts'
import { TrialAct } from '../../schemas/trial-report.ts'
import { actOnTrial, isPlugOut, longestPlugOut, type TrialPlace } from '../../shared/thermal/trial-acts.ts'
import { countedOf, plugsOf, skipsOf, stretchOf } from '../../shared/thermal/trial-times.ts'
import { aFridgeWatch, fridgeHouse, saidBy } from '../support/fridge-story.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy } from '../support/practice-curve.ts'

const now = curveStart
const empty: TrialPlace = { name: 'Fridge', trial: undefined, animalsDown: [], hasSensor: true }
const running = Trial.parse({ from: later(now, -days(1)), until: null, by: 'Ada' })
const act = (place: Partial<TrialPlace>, what: object, at = now) =>
  actOnTrial({ ...empty, ...place }, TrialAct.parse(what), at, 'Ada')
const out = (from: number, until: number | null) => ({
  ...running,
  plugOut: [{ from: instant(from), until: until === null ? null : instant(until) }],
})

describe('a trial run begins, loses its plug and ends', () => {
  test('it begins with its water, by name, in an empty place', () => {
    expect(act({}, { act: 'begin', litres: 6 })).toEqual({
      ok: true,
      value: { from: now, until: null, by: 'Ada', litres: 6, plugOut: [] },
      says: 'A trial run of Fridge began, with 6 L of water inside.',
    })
  })

  test('one that ended gives way to another, one that runs does not', () => {
    const ended = { ...running, until: now }
    expect(act({ trial: ended }, { act: 'begin' })).toMatchObject({ ok: true, value: { from: now } })
    expect(act({ trial: running }, { act: 'begin' })).toMatchObject({ ok: false, error: 'alreadyRuns' })
  })

  test('over an animal that is down neither a run begins nor a plug is pulled', () => {
    const place = { animalsDown: ['Juno', 'Moss'] }
    expect(act(place, { act: 'begin' })).toEqual({
      ok: false,
      error: 'animalsDown',
      sentence: 'Juno and Moss are down in Fridge: a trial run is for an empty place.',
    })
    expect(act({ ...place, trial: running }, { act: 'plugOut' })).toMatchObject({ error: 'animalsDown' })
    expect(act({ ...place, trial: out(now - 1, null) }, { act: 'plugIn' })).toMatchObject({ ok: true })
  })

  test('what does not fit is refused with a sentence', () => {
    const cases = [
      [{ hasSensor: false }, 'begin', 'noSensor'],
      [{}, 'end', 'nothingRuns'],
      [{}, 'plugOut', 'nothingRuns'],
      [{}, 'plugIn', 'nothingRuns'],
      [{}, 'forget', 'nothingRuns'],
      [{ trial: running }, 'plugIn', 'plugIsIn'],
      [{ trial: out(now - 1, null) }, 'plugOut', 'plugIsOut'],
    ] as const
    for (const [place, what, error] of cases) {
      const moved = act(place, { act: what })
      expect(moved).toMatchObject({ ok: false, error })
      expect(moved.ok ? '' : moved.sentence).toMatch(/\.$/)
    }
  })

  test('the twentieth time with the plug out is kept, the next refused (X3)', () => {
    const plugged = (count: number) => ({
      ...running,
      plugOut: Array.from({ length: count }, (_, i) => ({
        from: later(now, -1000 + i * 10),
        until: later(now, -995 + i * 10),
      })),
    })
    expect(act({ trial: plugged(19) }, { act: 'plugOut' })).toMatchObject({ ok: true })
    expect(act({ trial: plugged(20) }, { act: 'plugOut' })).toMatchObject({ error: 'tooManyPlugs' })
  })

  test('ending it puts the plug back, throwing it away leaves nothing', () => {
    const ended = act({ trial: out(now - 5, null) }, { act: 'end' })
    expect(ended).toMatchObject({ ok: true, value: { until: now, plugOut: [{ until: now }] } })
    expect(act({ trial: running }, { act: 'forget' })).toMatchObject({ ok: true, value: null })
  })

  test('property: whatever is done in whatever order, at whatever clock, is a run that can be stored', () => {
    const acts = fc.constantFrom('begin', 'end', 'plugOut', 'plugIn', 'forget')
    const step = fc.record({ what: acts, passed: fc.integer({ min: -10_000, max: 10_000 }) })
    fc.assert(
      fc.property(fc.array(step, { maxLength: 80 }), (steps) => {
        let [trial, at]: [Trial | undefined, number] = [undefined, now]
        for (const { what, passed } of steps) {
          at += passed
          const moved = act({ trial }, { act: what }, instant(at))
          if (moved.ok) trial = moved.value ?? undefined
          if (trial === undefined) continue
          expect(Trial.safeParse(trial).success).toBe(true)
          expect(trial.plugOut.filter(({ until }) => until === null).length).toBeLessThanOrEqual(1)
        }
      }),
    )
  })
})

describe('L12: which time is on purpose, and which counts', () => {
  const from = now
  const grace = minutes(30)

  test('an open plug is meant for a day, and not a moment longer', () => {
    expect(isPlugOut(out(from, null), later(from, longestPlugOut - 1), grace)).toBe(true)
    expect(isPlugOut(out(from, null), later(from, longestPlugOut), grace)).toBe(false)
    expect(isPlugOut(out(from, null), later(from, -1), grace)).toBe(false)
  })

  test('back in it has its grace', () => {
    const back = out(from, from + hours(4))
    expect(isPlugOut(back, later(from, hours(4) + grace - 1), grace)).toBe(true)
    expect(isPlugOut(back, later(from, hours(4) + grace), grace)).toBe(false)
    expect(isPlugOut(undefined, from, grace)).toBe(false)
  })

  test('settling, the plug and twice its time after it are left out once, where they meet', () => {
    const trial = Trial.parse({
      from,
      until: later(from, days(3)),
      by: 'Ada',
      plugOut: [
        { from: later(from, hours(11)), until: later(from, hours(13)) },
        { from: later(from, hours(40)), until: later(from, hours(40) + minutes(10)) },
      ],
    })
    const run = stretchOf(trial, later(from, days(9)))
    const skips = skipsOf(run, plugsOf(trial, run), undefined)
    // 0 to 12 h settling, 11 to 13 h and four more, 40 h and two more: 17 h and 2 h 10 min.
    expect(skips.map((one) => one.to - one.from)).toEqual([hours(17), hours(2) + minutes(10)])
    expect(countedOf(run, skips)).toBe(days(3) - hours(17) - hours(2) - minutes(10))
  })

  test('a run that nobody ended is read for sixty days', () => {
    const run = stretchOf(running, later(running.from, days(400)))
    expect(run.to - run.from).toBe(days(60))
  })
})

describe('L12: the plug is pulled on purpose', () => {
  const cut = days(2)
  const truth = practiceCurve(cellarFridge(), days(3), 5, (elapsed) => ({
    powered: elapsed < cut || elapsed >= cut + hours(8),
  }))
  const said = saidBy('air', shownBy(truth, { place: 1, every: minutes(1), noise: 0.05, step: 0.0625 }, 2))
  const pulled = later(curveStart, cut)
  const trial = (plug: object) => ({ from: curveStart, until: null, by: 'Ada', plugOut: [plug] })
  const told = (fridge: object, more: object = {}) =>
    aFridgeWatch(fridgeHouse({ animals: false, fridge, ...more }))
      .hears(said)
      .told.filter((line) => line.endsWith('notCooling') || line.endsWith('drifting'))

  test('nobody is told that it does not cool, which without the run is told', () => {
    expect(told({})).toEqual(['raised notCooling', 'returned notCooling'])
    const until = later(pulled, hours(8))
    expect(told({ trial: trial({ from: pulled, until }) })).toEqual([])
  })

  test('of a plug forgotten for a day it is told when the day is over', () => {
    // Pulled as the keeper said 20 h before the mains went: four hours later the day is over.
    const before = later(pulled, -hours(20))
    const watch = aFridgeWatch(
      fridgeHouse({ animals: false, fridge: { trial: trial({ from: before, until: null }) } }),
    ).hears(said)
    const raised = watch.first('notCooling')
    expect((raised?.at ?? 0) - before).toBeGreaterThanOrEqual(longestPlugOut)
    expect((raised?.at ?? 0) - before).toBeLessThan(longestPlugOut + minutes(2))
    const heard = watch.journal.filter(({ alarmKind }) => alarmKind === 'notCooling')
    expect(heard.length).toBe(2)
  })

  test('over an animal in hold it is told all the same', () => {
    const fridge = { trial: trial({ from: pulled, until: null }) }
    expect(told(fridge, { animals: true })).toContain('raised notCooling')
    expect(told(fridge, { animals: true, phase: 'fast' })).toEqual([])
  })

  test('dangerous warmth is told though the plug is out on purpose', () => {
    const ownLimits = [{ quantity: 'temperature', limit: 'highCritical', value: 9 }]
    const watch = aFridgeWatch(
      fridgeHouse({ animals: false, fridge: { ownLimits, trial: trial({ from: pulled, until: null }) } }),
    ).hears(said)
    expect(watch.told).toContain('raised limit highCritical')
  })
})

test('a run of no length has no time that counts', () => {
  const run = stretchOf(running, running.from)
  expect(countedOf(run, skipsOf(run, [], undefined))).toBe(millis(0))
})

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { noCycles, stepCycle } from '../../shared/thermal/cycle.ts'
import {
  doorNow,
  doorUnknown,
  recoveryAtFirst,
  smallestJump,
  stepDoor,
  type DoorSeen,
  type DoorState,
} from '../../shared/thermal/door.ts'
import {
  contactNow,
  contactUnknown,
  openTooLong,
  sameOpening,
  stepContact,
} from '../../shared/thermal/door-contact.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { learnCycle, nothingLearnt } from '../../shared/thermal/usual-cycle.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy } from '../support/practice-curve.ts'

/** The doors seen by a fridge that learns its cycles beside them, and when the door was first called ajar. */
function doorsIn(points: readonly Point[]) {
  let cycles = noCycles
  let learning = nothingLearnt
  let door = doorUnknown
  let ajar: number | null = null
  const seen: DoorSeen[] = []
  for (const point of points) {
    const [next, cycle] = stepCycle(cycles, point)
    cycles = next
    if (cycle !== null) learning = learnCycle(learning, cycle)
    const [moved, opening] = stepDoor(door, point, { usual: learning.usual, noise: cycles.noise })
    door = moved
    if (opening !== null) seen.push(opening)
    if (ajar === null && doorNow(door, point.at).name === 'ajar') ajar = point.at - curveStart
  }
  return { seen, ajar, door }
}

const opened = (at: number, lasts: number) =>
  practiceCurve(cellarFridge(), days(1.5), 3, (elapsed) => ({ open: elapsed >= at && elapsed < at + lasts }))
const probes = [
  { noise: 0.05, step: 1 / 16, every: minutes(1) },
  { noise: 0.2, step: 0.1, every: minutes(1) },
]

describe.each(probes)('S4: with noise of $noise K, steps of $step K and a reading each minute', (probe) => {
  test.each([
    { lasts: minutes(1), least: 2, longest: minutes(4) },
    { lasts: minutes(5), least: 5, longest: minutes(8) },
    { lasts: minutes(10), least: 6, longest: minutes(13) },
  ])(
    'a door open for $lasts ms is one opening, at its time, that long at most, and back within half an hour',
    ({ lasts, least, longest }) => {
      const at = days(1)
      for (let seed = 1; seed <= 3; seed++) {
        const { seen, ajar } = doorsIn(shownBy(opened(at, lasts), { place: 1, ...probe }, seed))
        expect(seen).toHaveLength(1)
        const [one] = seen
        expect((one?.from ?? 0) - curveStart).toBeGreaterThanOrEqual(at - minutes(2))
        expect((one?.from ?? 0) - curveStart).toBeLessThanOrEqual(at + minutes(1))
        const openAtMost = (one?.to ?? 0) - (one?.from ?? 0)
        expect(openAtMost).toBeGreaterThanOrEqual(lasts)
        expect(openAtMost).toBeLessThanOrEqual(longest)
        expect(one?.rise).toBeGreaterThan(least)
        expect(one?.recovery).toBeLessThan(minutes(30))
        expect(ajar).toBeNull()
      }
    },
  )

  test('days without a door, with a room that swings and with a power cut, show none', () => {
    const calm = practiceCurve(cellarFridge({}, { mean: 19, swing: 5 }), days(2), 3)
    const cut = practiceCurve(cellarFridge(), days(2), 3, (elapsed) => ({ powered: elapsed < days(1.5) }))
    for (const truth of [calm, cut]) {
      for (let seed = 1; seed <= 3; seed++) {
        expect(doorsIn(shownBy(truth, { place: 1, ...probe, lost: 0.03 }, seed)).seen).toHaveLength(0)
      }
    }
  })

  test('a door left open is ajar after half an hour, for nothing was learnt yet', () => {
    const { ajar } = doorsIn(shownBy(opened(days(1), days(1)), { place: 1, ...probe }, 1))
    expect((ajar ?? 0) - days(1)).toBeGreaterThan(minutes(29))
    expect((ajar ?? 0) - days(1)).toBeLessThan(minutes(33))
  })

  test('after six airings that came back within minutes it is ajar sooner: the recovery is learnt', () => {
    const isAired = (elapsed: number): boolean => elapsed >= hours(12) && elapsed % hours(3) < minutes(2)
    const truth = practiceCurve(cellarFridge(), days(1.5), 3, (elapsed) => ({
      open: elapsed < hours(31) ? isAired(elapsed) : elapsed >= hours(32),
    }))
    const { seen, ajar, door } = doorsIn(shownBy(truth, { place: 1, ...probe }, 1))
    expect(seen.length).toBe(7)
    expect(door.recovery?.middle).toBeLessThan(minutes(10))
    expect((ajar ?? 0) - hours(32)).toBeLessThan(minutes(26))
  })
})

describe('the bounds of a jump', () => {
  const context = { usual: null, noise: 0.05 }
  const run = (values: readonly number[], every = minutes(1)) => {
    let state: DoorState = doorUnknown
    const seen: DoorSeen[] = []
    values.forEach((celsius, i) => {
      const [next, opening] = stepDoor(state, { at: later(curveStart, i * every), celsius }, context)
      state = next
      if (opening !== null) seen.push(opening)
    })
    return { state, seen }
  }

  // Nothing is learnt, so usual warming is taken as 2 K in 20 min: 2 × 0.1 × (5 + 1) = 1.2 K in a minute.
  test('1.2 K in a minute is still a warm fridge, a little more is a door', () => {
    expect(run([5, 5, 5, 6.19, 6.19]).state.phase.name).toBe('quiet')
    expect(run([5, 5, 5, 6.21, 6.21]).state.phase.name).toBe('raised')
    expect(smallestJump).toBeLessThan(1.2)
  })

  test('one reading that jumps and is back is a glitch, one that fades is a door', () => {
    expect(run([5, 5, 5, 9, 5, 5]).seen).toHaveLength(0)
    expect(run([5, 5, 5, 9, 7.9, 6.9, 6.3]).seen).toHaveLength(1)
  })

  test('from, to, rise and recovery are those of the readings', () => {
    const [opening] = run([5, 5, 5, 8, 10, 9, 8, 7, 6.5]).seen
    expect(opening).toEqual({
      from: later(curveStart, minutes(2)),
      to: later(curveStart, minutes(5)),
      rise: 5,
      // Back within 1/e of 5 K, that is at 6.84 °C or less.
      recovery: minutes(4),
    })
  })

  test('air back under the usual crest is back, though it stood at the trough when the door opened', () => {
    const of = (middle: number) => ({ middle, spread: 0.1 })
    const usual = {
      period: of(minutes(30)),
      duty: of(0.4),
      amplitude: of(2),
      mean: of(5),
      crest: of(6),
      trough: of(4),
    }
    let state: DoorState = doorUnknown
    const ends = [4, 4, 4, 7, 7, 6.01, 6].map((celsius, i) => {
      const [next, opening] = stepDoor(
        state,
        { at: later(curveStart, minutes(i)), celsius },
        { usual, noise: 0.05 },
      )
      state = next
      return opening !== null
    })
    expect(ends).toEqual([false, false, false, false, false, false, true])
  })

  test('a door opened again before the air came back is one opening, to its last closing', () => {
    const [opening, ...more] = run([5, 5, 5, 9, 8.2, 7.9, 10, 9, 8, 7, 6]).seen
    expect(more).toHaveLength(0)
    expect(opening).toMatchObject({
      from: later(curveStart, minutes(2)),
      to: later(curveStart, minutes(7)),
      rise: 5,
    })
  })

  test('exactly half an hour is open, a millisecond more is ajar', () => {
    const { state } = run([5, 5, 5, 9, 9, 9])
    const from = later(curveStart, minutes(2))
    expect(doorNow(state, later(from, recoveryAtFirst)).name).toBe('raised')
    expect(doorNow(state, later(from, recoveryAtFirst + 1))).toMatchObject({ name: 'ajar', from, rise: 4 })
  })

  test('a new level that stays is given up after six hours: that is for other rules', () => {
    const { seen, state } = run([5, 5, 5, ...Array.from({ length: 365 }, () => 9)])
    expect(seen).toEqual([expect.objectContaining({ rise: 4, recovery: null })])
    expect(state.phase.name).toBe('quiet')
  })

  test('a gap of more than a quarter of an hour begins anew; L5: late and wrong readings change nothing', () => {
    const { state } = run([5, 5, 5, 9, 9])
    const at = state.last?.at ?? instant(0)
    const after = (ms: number) => stepDoor(state, { at: later(at, ms), celsius: 9 }, context)[0].phase.name
    expect(after(minutes(15))).toBe('raised')
    expect(after(minutes(15) + 1)).toBe('quiet')
    for (const point of [
      { at, celsius: 1 },
      { at: later(at, 1), celsius: Number.NaN },
    ]) {
      expect(stepDoor(state, point, context)).toEqual([state, null])
    }
  })

  test('whatever is read: openings are in order, end after they begin, rise, and the state stays small (X3)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 1200 }), fc.double({ min: -20, max: 40, noNaN: true })), {
          maxLength: 200,
        }),
        (readings) => {
          let state: DoorState = doorUnknown
          let at: number = curveStart
          let last = 0
          for (const [gap, celsius] of readings) {
            at += seconds(gap)
            const [next, opening] = stepDoor(state, { at: instant(at), celsius }, context)
            state = next
            if (opening === null) continue
            expect(opening.from).toBeGreaterThanOrEqual(last)
            expect(opening.to).toBeGreaterThan(opening.from)
            expect(opening.rise).toBeGreaterThan(smallestJump)
            last = opening.from
          }
          expect(JSON.stringify(state).length).toBeLessThan(700)
        },
      ),
    )
  })
})

describe('a contact on the door', () => {
  const say = (...words: readonly (readonly [ms: number, open: boolean])[]) =>
    words.reduce(([state], [ms, open]) => stepContact(state, { at: later(curveStart, ms), open }), [
      contactUnknown,
      null,
    ] as ReturnType<typeof stepContact>)

  test('opened and closed is an opening with its own times', () => {
    expect(say([0, false], [1000, true], [61_000, false])[1]).toEqual({
      from: later(curveStart, 1000),
      to: later(curveStart, 61_000),
    })
  })

  test('a contact that repeats itself opens once', () => {
    const [state, opening] = say([0, false], [1000, true], [30_000, true], [61_000, false])
    expect(opening?.from).toBe(later(curveStart, 1000))
    expect(contactNow(state, later(curveStart, 70_000)).name).toBe('closed')
  })

  test('L5: a late word changes nothing', () => {
    const [state] = say([0, false], [1000, true])
    expect(stepContact(state, { at: later(curveStart, 1000), open: false })).toEqual([state, null])
  })

  test('open for exactly five minutes is open, a millisecond more is ajar (WHO PQS E006/DS01, second hand: more than 5 min)', () => {
    const [state] = say([0, true])
    expect(contactNow(state, later(curveStart, openTooLong)).name).toBe('open')
    expect(contactNow(state, later(curveStart, openTooLong + 1))).toMatchObject({
      name: 'ajar',
      from: curveStart,
    })
    expect(contactNow(contactUnknown, curveStart).name).toBe('notKnownYet')
  })

  test('contact and air are one opening when they overlap, ends included: its times, and the air’s rise', () => {
    const seen: DoorSeen = {
      from: later(curveStart, 0),
      to: later(curveStart, 180_000),
      rise: 4,
      recovery: null,
    }
    const contact = (from: number, to: number) => ({
      from: later(curveStart, from),
      to: later(curveStart, to),
    })
    expect(sameOpening(seen, contact(30_000, 90_000))).toEqual({ ...seen, ...contact(30_000, 90_000) })
    expect(sameOpening(seen, contact(180_000, 200_000))).not.toBeNull()
    expect(sameOpening(seen, contact(180_001, 200_000))).toBeNull()
  })
})

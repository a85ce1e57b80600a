import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Limit } from '../../schemas/band.ts'
import { millis, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  dueAt,
  isOut,
  isRaised,
  type LimitEvent,
  type LimitState,
  startInside,
  stepLimit,
} from '../../shared/judging/limit.ts'
import { limitEvents } from '../support/limit-events.ts'

const cold: Limit = {
  id: 'cold',
  quantity: 'temperature',
  compare: 'atOrBelow',
  value: 1,
  for: minutes(10),
  clearFor: minutes(2),
  deadband: 0.5,
  counting: 'continuous',
  priority: 'high',
}
const at = (min: number): Instant => (1_000_000_000_000 + min * 60_000) as Instant
const reads = (min: number, value: number): LimitEvent => ({ kind: 'reading', at: at(min), value })
const passes = (min: number): LimitEvent => ({ kind: 'timePassed', at: at(min) })

function run(limit: Limit, ...events: readonly LimitEvent[]) {
  let state: LimitState = startInside
  const told: string[] = []
  for (const event of events) {
    const [next, transitions] = stepLimit(state, limit, event)
    state = next
    for (const one of transitions) told.push(`${one.event} at ${(one.at - at(0)) / 60_000}`)
  }
  return { state, told }
}

describe('a limit (L1–L4)', () => {
  test('L1: an inclusive limit is out at its own value, a strict one is not', () => {
    expect(isOut(cold, 1)).toBe(true)
    expect(isOut({ ...cold, compare: 'below' }, 1)).toBe(false)
    expect(isOut({ ...cold, compare: 'atOrAbove' }, 1)).toBe(true)
    expect(isOut({ ...cold, compare: 'above' }, 1)).toBe(false)
  })

  test('L2: the alarm is raised at the instant the delay runs out, not at the next look', () => {
    expect(run(cold, reads(0, 0.5), passes(37)).told).toEqual(['raised at 10'])
  })

  test('L2: one millisecond before its delay has run out nothing is raised', () => {
    const early: LimitEvent = { kind: 'timePassed', at: (at(10) - 1) as Instant }
    expect(run(cold, reads(0, 0.5), early).told).toEqual([])
    expect(run(cold, reads(0, 0.5), early, passes(10)).told).toEqual(['raised at 10'])
  })

  test('L2: at equal instants the reading is applied before the timer', () => {
    expect(run(cold, reads(0, 0.5), reads(10, 5)).told).toEqual([])
    expect(run(cold, reads(0, 0.5), reads(10, 0.4)).told).toEqual(['raised at 10'])
  })

  test('L3: jitter round the limit inside the deadband does not restart the delay', () => {
    const jitter = [0.9, 1.2, 0.95, 1.4, 1.0, 1.49].map((value, i) => reads(i * 2, value))
    expect(run(cold, ...jitter, passes(11)).told).toEqual(['raised at 10'])
  })

  test('L3: coming back through the deadband restarts the delay; its very edge does not', () => {
    expect(run(cold, reads(0, 0.5), reads(5, 1.5), passes(10)).told).toEqual(['raised at 10'])
    expect(run(cold, reads(0, 0.5), reads(5, 1.51), reads(6, 0.5), passes(15.9)).told).toEqual([])
  })

  test('the off-delay holds the alarm until the value has stayed back', () => {
    const raised = [reads(0, 0), passes(10)]
    expect(run(cold, ...raised, reads(20, 3), passes(21.9)).told).toEqual(['raised at 10'])
    expect(run(cold, ...raised, reads(20, 3), passes(22)).told).toEqual(['raised at 10', 'returned at 22'])
    expect(run(cold, ...raised, reads(20, 3), reads(21, 0.2), passes(60)).told).toEqual(['raised at 10'])
  })

  test('L4: silence while the delay runs raises at once', () => {
    expect(run(cold, reads(0, 0.5), { kind: 'fellSilent', at: at(4) }).told).toEqual(['raised at 4'])
  })

  test('L4: silence never clears: an off-delay that was running stops', () => {
    const { state, told } = run(
      cold,
      reads(0, 0),
      passes(10),
      reads(20, 3),
      { kind: 'fellSilent', at: at(21) },
      passes(90),
    )
    expect(told).toEqual(['raised at 10'])
    expect(isRaised(state)).toBe(true)
  })

  test('cumulative: time out adds up, and what is raised stays raised', () => {
    const budget: Limit = { ...cold, counting: 'cumulative', deadband: 0 }
    const events = [reads(0, 0), reads(6, 5), reads(20, 0), reads(23, 5), reads(40, 0), passes(41)]
    expect(run(budget, ...events).told).toEqual(['raised at 41'])
    expect(run(budget, ...events, reads(50, 5), passes(900)).told).toEqual(['raised at 41'])
  })
})

const anyEvents = limitEvents(
  at(0),
  fc.integer({ min: 0, max: 900_000 }),
  [{ weight: 6, arbitrary: fc.double({ min: -1, max: 4, noNaN: true }) }],
  40,
)

describe('any order of events', () => {
  test('raised and returned take turns, in order of time', () => {
    fc.assert(
      fc.property(anyEvents, (events) => {
        let state: LimitState = startInside
        const all: { event: string; at: number }[] = []
        for (const event of events) {
          const [next, transitions] = stepLimit(state, cold, event)
          state = next
          all.push(...transitions)
        }
        all.forEach((one, i) => {
          expect(one.event).toBe(i % 2 === 0 ? 'raised' : 'returned')
          if (i > 0) expect(one.at).toBeGreaterThanOrEqual(all[i - 1]?.at ?? 0)
        })
        expect(isRaised(state)).toBe(all.length % 2 === 1)
      }),
    )
  })

  test('looking at the clock more often changes nothing that is told', () => {
    fc.assert(
      fc.property(anyEvents, fc.integer({ min: 1000, max: 200_000 }), (events, every) => {
        const often = events.flatMap((event, i) => {
          const before = events[i - 1]?.at ?? event.at
          const ticks: LimitEvent[] = []
          for (let t = before + every; t < event.at; t += every)
            ticks.push({ kind: 'timePassed', at: t as Instant })
          return [...ticks, event]
        })
        expect(run(cold, ...often).told).toEqual(run(cold, ...events).told)
      }),
    )
  })

  test('a value that is out without a break is raised exactly its delay after it went out', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 1, noNaN: true }), { minLength: 12, maxLength: 12 }),
        (values) => {
          expect(run(cold, ...values.map((value, i) => reads(i, value))).told).toEqual(['raised at 10'])
        },
      ),
    )
  })

  test('dueAt names the instant at which time alone changes the state', () => {
    fc.assert(
      fc.property(anyEvents, (events) => {
        const { state } = run(cold, ...events)
        const due = dueAt(state, cold)
        if (due === null) {
          expect(stepLimit(state, cold, { kind: 'timePassed', at: at(1e6) })[0]).toBe(state)
          return
        }
        const just = stepLimit(state, cold, { kind: 'timePassed', at: (due - 1) as Instant })
        expect(just[0]).toBe(state)
        expect(stepLimit(state, cold, { kind: 'timePassed', at: due })[0]).not.toBe(state)
      }),
    )
  })
})

test('a limit without delays answers at the reading itself', () => {
  const instant: Limit = { ...cold, for: millis(0), clearFor: millis(0), deadband: 0 }
  expect(run(instant, reads(0, 1), reads(1, 1.01), reads(2, 0)).told).toEqual([
    'raised at 0',
    'returned at 1',
    'raised at 2',
  ])
})

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, later, millis, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  delayingOf,
  isClear,
  isPastRaised,
  isTimed,
  judgedDueAt,
  type JudgedState,
  stepJudged,
} from '../../shared/judging/guarded-limit.ts'
import {
  isRaised,
  type JudgedLimit,
  type LimitEvent,
  type LimitTransition,
  startInside,
  stepLimit,
} from '../../shared/judging/limit.ts'
import { moveLimit } from '../../shared/judging/move-limit.ts'
import { limitEvents } from '../support/limit-events.ts'

/** Past 1 °C it rings after a minute, within 0.6 K of that after ten; a doubt is over when it was clear for three hours. */
const cold = {
  id: 'lowCritical',
  quantity: 'temperature',
  compare: 'atOrBelow',
  value: 1,
  for: minutes(1),
  clearFor: minutes(1),
  deadband: 0.3,
  counting: 'continuous',
  priority: 'high',
  guard: { value: 1.6, expanded: 0.6, for: minutes(10), clearFor: hours(3) },
} satisfies JudgedLimit
const { guard: _, ...plain } = cold

const at = (min: number): Instant => (1_000_000_000_000 + min * 60_000) as Instant
const reads = (min: number, value: number): LimitEvent => ({ kind: 'reading', at: at(min), value })
const passes = (min: number): LimitEvent => ({ kind: 'timePassed', at: at(min) })
const silent = (min: number): LimitEvent => ({ kind: 'fellSilent', at: at(min) })

function runAll(events: readonly LimitEvent[], limit: JudgedLimit = cold, from: JudgedState = startInside) {
  let state = from
  const said: LimitTransition[] = []
  for (const event of events) {
    const [next, transitions] = stepJudged(state, limit, event)
    state = next
    said.push(...transitions)
  }
  return { state, said }
}

const words = ({ event, at: when, isDoubt }: LimitTransition): string =>
  `${isDoubt ? 'doubt' : event} at ${(when - at(0)) / 60_000}`

const run = (...events: readonly LimitEvent[]) => {
  const { state, said } = runAll(events)
  return { state, told: said.map(words) }
}

/** In doubt from minute 0, rung at 10. */
const doubt = [reads(0, 1.5), passes(10)] as const

describe('L9: a doubt is one alarm for as long as it lasts', () => {
  test('air that swings into the guard once a run, for half an hour each, rings once and returns three hours after the last', () => {
    const runs = [0, 90, 180, 270].flatMap((start) => [reads(start, 1.5), reads(start + 30, 4)])
    expect(run(...runs, passes(1000)).told).toEqual(['doubt at 10', 'returned at 480'])
  })

  test('clear for three hours it returns, and not a millisecond sooner', () => {
    const early = later(at(200), -1)
    const { state, told } = run(...doubt, reads(20, 4), { kind: 'timePassed', at: early })
    expect(told).toEqual(['doubt at 10'])
    expect(judgedDueAt(state, cold)).toBe(at(200))
    expect(run(...doubt, reads(20, 4), passes(200)).told).toEqual(['doubt at 10', 'returned at 200'])
  })

  test('L2: a reading at the very end of the three hours is applied before they end', () => {
    expect(run(...doubt, reads(20, 4), reads(200, 1.5), passes(300)).told).toEqual(['doubt at 10'])
    expect(run(...doubt, reads(20, 4), reads(200, 4)).told).toEqual(['doubt at 10', 'returned at 200'])
  })

  test('L4: silence never clears it: the three hours begin anew when it is heard again', () => {
    expect(run(...doubt, reads(20, 4), silent(100), passes(900)).told).toEqual(['doubt at 10'])
    expect(run(...doubt, reads(20, 4), silent(100), reads(120, 4), passes(900)).told.at(-1)).toBe(
      'returned at 300',
    )
  })

  test('clear is short of the guarded value by more than the deadband; its very edge is not', () => {
    expect(run(...doubt, reads(20, 1.9), passes(900)).told).toEqual(['doubt at 10'])
    expect(run(...doubt, reads(20, 1.91), passes(900)).told.at(-1)).toBe('returned at 200')
  })

  test('nine minutes in the guard ring nobody; silence during them does', () => {
    expect(run(reads(0, 1.5), reads(9, 4), passes(60)).told).toEqual([])
    expect(run(reads(0, 1.5), silent(5)).told).toEqual(['doubt at 5'])
  })

  test('while it waits to return it is near nothing, heard or silent, and may change by itself', () => {
    const { state } = run(...doubt, reads(20, 4))
    expect([isRaised(state), isPastRaised(state), isTimed(state)]).toEqual([true, false, true])
    const clear = (...events: readonly LimitEvent[]) => isClear(run(...events).state, cold)
    expect([clear(), clear(...doubt, reads(20, 4)), clear(...doubt, reads(20, 4), silent(30))]).toEqual([
      true,
      true,
      true,
    ])
    expect([clear(...doubt), clear(reads(0, 1.5)), clear(reads(0, 0.9), passes(1), reads(2, 4))]).toEqual([
      false,
      false,
      false,
    ])
  })
})

describe('A1: a value past the limit itself keeps its ordinary delays', () => {
  test('past it for its own minute it rings and, back for a minute, returns', () => {
    expect(run(reads(0, 0.9), reads(5, 4), passes(60)).told).toEqual(['raised at 1', 'returned at 6'])
  })

  test('having been past it, it stands on in the guard without another ring, and returns in a minute from there', () => {
    const told = run(reads(0, 0.9), reads(5, 1.5), passes(60), reads(61, 4), passes(90)).told
    expect(told).toEqual(['raised at 1', 'returned at 62'])
  })

  test('past it a second time it rings a second time, though the alarm stood in between', () => {
    const events = [reads(0, 0.9), reads(5, 1.5), passes(60), reads(61, 0.9), passes(62)]
    expect(run(...events).told).toEqual(['raised at 1', 'raised at 62'])
    expect(run(reads(0, 0.9), reads(5, 1.5), reads(5.9, 0.9), passes(60)).told).toEqual(['raised at 1'])
  })

  test('whoever knows of a doubt is rung each time that it is past the limit for its minute, and no sooner', () => {
    const events = [...doubt, reads(20, 4), reads(30, 0.9), reads(40, 4), reads(50, 0.9), reads(60, 4)]
    const { told } = run(...events, passes(900))
    expect(told).toEqual(['doubt at 10', 'raised at 31', 'raised at 51', 'returned at 240'])
    expect(run(...doubt, reads(20, 4), reads(30, 0.9), reads(30.9, 4), passes(900)).told).toEqual([
      'doubt at 10',
      'returned at 210.9',
    ])
  })

  test('L2: it is past the limit from the end of its minute on, not from the next reading', () => {
    const { state } = run(...doubt, reads(20, 0.9))
    expect(delayingOf(state)?.since).toBe(at(20))
    expect(judgedDueAt(state, cold)).toBe(at(21))
    expect(isTimed(state)).toBe(true)
  })

  test('L4: silence while that minute runs rings at once', () => {
    expect(run(...doubt, reads(20, 0.9), silent(20.5)).told).toEqual(['doubt at 10', 'raised at 20.5'])
  })

  test('the doubt’s ten minutes over within that minute: one ring, and nothing is in doubt', () => {
    expect(run(reads(0, 1.5), reads(9.5, 0.9), passes(60)).told).toEqual(['raised at 10'])
  })
})

describe('a guard that comes, goes or shrinks', () => {
  const known = run(...doubt).state

  test('a sensor that was checked is in doubt no more: a minute clear is enough', () => {
    const surer = { ...cold, guard: { ...cold.guard, value: 1.2, expanded: 0.2 } }
    expect(runAll([reads(20, 1.51), passes(60)], surer, known).said.map(words)).toEqual(['returned at 21'])
  })

  test('one that a year made a little less sure is in doubt as before', () => {
    const lesser = { ...cold, guard: { ...cold.guard, value: 1.7, expanded: 0.7 } }
    expect(runAll([reads(20, 4), passes(60)], lesser, known).said).toEqual([])
  })

  test('without a guard what stands returns like any limit, and a doubt’s delay is over', () => {
    expect(runAll([reads(20, 1.5), passes(60)], plain, known).said.map(words)).toEqual(['returned at 21'])
    const waiting = run(reads(0, 1.2)).state
    expect(runAll([reads(5, 1.2), passes(60)], plain, waiting).said).toEqual([])
  })

  test('L7: what an older program kept of a delay is taken up where it was', () => {
    const older = { name: 'delaying', since: at(0), counted: 0, value: 1.2 } as const
    const inDoubt = runAll([passes(60)], cold, { ...older, past: null })
    expect(inDoubt.said.map(words)).toEqual(['doubt at 10'])
    const pastIt = runAll([passes(60)], cold, { ...older, past: at(5) })
    expect(pastIt.said.map(words)).toEqual(['raised at 6'])
    expect(runAll([passes(60)], cold, older).said.map(words)).toEqual(['raised at 1'])
  })

  test('L7: what an older program kept of an alarm stands, and returns once it is clear', () => {
    const older = { name: 'out', since: at(0), value: 1.5 } as const
    expect(runAll([reads(5, 1.5), passes(60)], cold, older).said).toEqual([])
    expect(runAll([reads(5, 4), passes(60)], cold, older).said.map(words)).toEqual(['returned at 6'])
    expect(runAll([reads(5, 1.5), reads(8, 0.9), passes(60)], cold, older).said.map(words)).toEqual([
      'raised at 9',
    ])
  })

  test('N3: a clock that is set moves both memories', () => {
    const { state } = run(...doubt, reads(20, 0.9))
    const moved = moveLimit(state, (one) => later(one, hours(5)))
    expect(judgedDueAt(moved, cold)).toBe(at(321))
    expect(moved).toMatchObject({ name: 'out', since: at(310), itself: { since: at(320) } })
  })
})

const anyEvents = limitEvents(
  at(0),
  fc.oneof(fc.integer({ min: 0, max: 900_000 }), fc.constantFrom(0, 30_000, 60_000, 7_200_000)),
  [
    { weight: 4, arbitrary: fc.double({ min: 0.5, max: 2.5, noNaN: true }) },
    { weight: 4, arbitrary: fc.constantFrom(0.9, 1, 1.3, 1.31, 1.6, 1.9, 1.91, 4) },
  ],
  60,
)

describe('whatever happens', () => {
  test('A1: each time that it would ring without a guard it has rung since it last returned there, as past the limit, no later', () => {
    fc.assert(
      fc.property(anyEvents, (events) => {
        const bare = runAll(events, plain).said
        const past = runAll(events).said.filter(({ event, isDoubt }) => event === 'raised' && !isDoubt)
        bare.forEach(({ event, at: when }, i) => {
          if (event !== 'raised') return
          const from = bare[i - 1]?.at ?? 0
          expect(past.some((one) => one.at >= from && one.at <= when)).toBe(true)
        })
      }),
      { numRuns: 1000 },
    )
  })

  test('A1: it never stands inside while it would stand without a guard, nor clear while past the limit', () => {
    fc.assert(
      fc.property(anyEvents, (events) => {
        let [state, bare]: [JudgedState, JudgedState] = [startInside, startInside]
        for (const event of events) {
          ;[state] = stepJudged(state, cold, event)
          ;[bare] = stepLimit(bare, plain, event)
          if (isRaised(bare)) expect(isPastRaised(state)).toBe(true)
          if (isPastRaised(state)) expect(isRaised(state)).toBe(true)
          if (event.kind === 'reading' && event.value <= 1.6) expect(isClear(state, cold)).toBe(false)
        }
      }),
      { numRuns: 1000 },
    )
  })

  test('a doubt is rung again only after it has returned, and returns no sooner than three hours after it was last seen', () => {
    fc.assert(
      fc.property(anyEvents, (events) => {
        let stands = false
        let pureSince: Instant | null = null
        for (const { event, at: when, isDoubt } of runAll([...events, passes(10_000)]).said) {
          if (isDoubt) expect(stands).toBe(false)
          if (isDoubt) pureSince = when
          if (event === 'returned' && pureSince !== null) {
            const seen = events.findLast((one) => one.kind === 'reading' && one.value <= 1.6 && one.at < when)
            expect(when - (seen?.at ?? 0)).toBeGreaterThanOrEqual(hours(3))
            pureSince = null
          }
          stands = event === 'raised'
        }
      }),
      { numRuns: 1000 },
    )
  })

  test('L2: how often somebody looks changes nothing of what is said', () => {
    fc.assert(
      fc.property(anyEvents, fc.integer({ min: 20_000, max: 2_000_000 }), (events, every) => {
        const looked = events.flatMap((event, i) => {
          const [from, to] = [events[i - 1]?.at ?? event.at, event.at]
          const looks: LimitEvent[] = []
          for (let when = from + every; when < to; when += every)
            looks.push({ kind: 'timePassed', at: when as Instant })
          return [...looks, event]
        })
        expect(runAll(looked).said).toEqual(runAll(events).said)
      }),
      { numRuns: 300 },
    )
  })

  test('L7: as text and back it is the same', () => {
    fc.assert(
      fc.property(anyEvents, (events) => {
        let state: JudgedState = startInside
        for (const event of events) {
          const [next] = stepJudged(state, cold, event)
          const back = JSON.parse(JSON.stringify(state)) as JudgedState
          expect(stepJudged(back, cold, event)).toEqual(stepJudged(state, cold, event))
          state = next
        }
      }),
    )
  })

  test('a guard without width and with the limit’s own delays is the plain limit', () => {
    const thin = { value: 1, expanded: 0, for: millis(0), clearFor: millis(0) }
    fc.assert(
      fc.property(anyEvents, (events) => {
        const times = (said: readonly LimitTransition[]) => said.map(({ event, at: when }) => [event, when])
        expect(times(runAll(events, { ...cold, guard: thin }).said)).toEqual(
          times(runAll(events, plain).said),
        )
      }),
    )
  })
})

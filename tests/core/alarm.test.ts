import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Alarm, AlarmState } from '../../schemas/alarm.ts'
import type { AlarmId, PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { type AlarmEvent, isConditionOut, stepAlarm } from '../../shared/judging/alarm.ts'

const calm: Alarm = {
  id: 'limit:box-1:temperature:lowCritical' as AlarmId,
  kind: 'limit',
  place: 'box-1' as PlaceId,
  sensor: null,
  contact: null,
  quantity: 'temperature',
  limit: 'lowCritical',
  priority: 'high',
  occurrence: 0,
  value: null,
  threshold: null,
  state: { name: 'normal' },
}
const s = (seconds: number): Instant => (1_000_000_000_000 + seconds * 1000) as Instant
type Name =
  | 'goesOut'
  | 'comesBack'
  | 'ack'
  | 'shelve'
  | 'unshelve'
  | 'suppress'
  | 'unsuppress'
  | 'oos'
  | 'inService'
const event = (name: Name, at = 0, until = at + 1800): AlarmEvent => {
  switch (name) {
    case 'goesOut':
      return { kind: 'wentOut', at: s(at), value: -1, threshold: 1, priority: 'high' }
    case 'comesBack':
      return { kind: 'cameBack', at: s(at), value: 2 }
    case 'ack':
      return { kind: 'acknowledge', at: s(at), by: 'Ada' }
    case 'shelve':
      return { kind: 'shelve', at: s(at), until: s(until), by: 'Ada', reason: 'probe in my hand' }
    case 'unshelve':
      return { kind: 'unshelve', at: s(at), by: 'Ada' }
    case 'suppress':
      return { kind: 'suppress', at: s(at), until: s(until), by: 'Ada' }
    case 'unsuppress':
      return { kind: 'unsuppress', at: s(at) }
    case 'oos':
      return { kind: 'takeOutOfService', at: s(at), by: 'Ada', reason: 'probe broken' }
    case 'inService':
      return { kind: 'returnToService', at: s(at), by: 'Ada' }
  }
}
function play(alarm: Alarm, ...events: readonly AlarmEvent[]) {
  const told: string[] = []
  let now = alarm
  for (const one of events) {
    const [next, effects] = stepAlarm(now, one)
    now = next
    for (const effect of effects) if (effect.kind === 'tell') told.push(effect.why)
  }
  return { alarm: now, state: now.state.name, told }
}

/**
 * States A–D and G–I and their transitions: ISA-18.2 figure 3 (values from memory; rows A–D agree with a secondary
 * source). Rows of the table: from, then the state after each event.
 */
describe('states and transitions of IEC 62682 / ISA-18.2 (A1)', () => {
  const reach: Record<string, readonly Name[]> = {
    normal: [],
    unacknowledged: ['goesOut'],
    acknowledged: ['goesOut', 'ack'],
    returnedUnacknowledged: ['goesOut', 'comesBack'],
    shelved: ['shelve'],
    suppressed: ['suppress'],
    outOfService: ['oos'],
  }
  const [N, U, K, R, G, H, I] = [
    'normal',
    'unacknowledged',
    'acknowledged',
    'returnedUnacknowledged',
    'shelved',
    'suppressed',
    'outOfService',
  ]
  const events: readonly Name[] = [
    'goesOut',
    'comesBack',
    'ack',
    'shelve',
    'unshelve',
    'suppress',
    'unsuppress',
    'oos',
    'inService',
  ]
  const table: readonly (readonly (string | undefined)[])[] = [
    [N, U, N, N, G, N, H, N, I, N],
    [U, U, R, K, G, U, H, U, I, U],
    [K, K, N, K, G, K, H, K, I, K],
    [R, U, R, N, G, R, H, R, I, R],
    [G, G, G, G, G, N, H, G, I, G],
    [H, H, H, H, H, H, H, N, I, H],
    [I, I, I, I, I, I, I, I, I, N],
  ]
  for (const [from, ...after] of table)
    for (const [i, to] of after.entries()) {
      const name = events[i] as Name
      test(`${from} + ${name} → ${to}`, () => {
        const before = play(calm, ...(reach[from ?? ''] ?? []).map((one, k) => event(one, k))).alarm
        expect(before.state.name).toBe(from)
        expect(play(before, event(name, 10)).state).toBe(to)
      })
    }

  for (const [hidden, ends] of [
    ['shelve', 'unshelve'],
    ['suppress', 'unsuppress'],
    ['oos', 'inService'],
  ] as const) {
    test(`what is still out after ${ends} is raised afresh and people are told again (A2)`, () => {
      const { alarm, state, told } = play(
        calm,
        event('goesOut'),
        event('ack', 5),
        event(hidden, 10),
        event(ends, 20),
      )
      expect([state, told, alarm.occurrence]).toEqual(['unacknowledged', ['raised', 'raised'], 2])
    })
    test(`what went out while hidden by ${hidden} is raised when ${ends} comes, at that time`, () => {
      const { alarm } = play(calm, event(hidden), event('goesOut', 5), event(ends, 20))
      expect(alarm.state).toEqual({ name: 'unacknowledged', since: s(20) } satisfies AlarmState)
    })
  }
})

describe('shelving 600 s after raising for 1800 s (timed shelving, OPC 10000-9 §5.8.17)', () => {
  const shelved = [event('goesOut', 0), event('shelve', 600, 2400)]
  const at = (seconds: number): AlarmEvent => ({ kind: 'timePassed', at: s(seconds) })

  test('is quiet until 2400 s and raised afresh then', () => {
    expect(play(calm, ...shelved, at(2399)).state).toBe('shelved')
    const { alarm, told } = play(calm, ...shelved, at(2400))
    expect(alarm.state).toEqual({ name: 'unacknowledged', since: s(2400) })
    expect(told).toEqual(['raised', 'raised'])
  })

  test('ends in normal without a word when the value came back at 2000 s', () => {
    expect(play(calm, ...shelved, event('comesBack', 2000), at(2400))).toMatchObject({
      state: 'normal',
      told: ['raised'],
    })
  })
})

test('returned is told once; a second acknowledgement changes nothing and says nothing (A4)', () => {
  const { alarm, told } = play(calm, event('goesOut'), event('comesBack', 5), event('comesBack', 6))
  expect(told).toEqual(['raised', 'returned'])
  const [acknowledged] = stepAlarm(alarm, event('ack', 7))
  const [again, effects] = stepAlarm(acknowledged, event('ack', 8))
  expect([again, effects]).toEqual([acknowledged, []])
})

test('A1: no order of events leaves an alarm normal while its value is out', () => {
  const names: readonly Name[] = [
    'goesOut',
    'comesBack',
    'ack',
    'shelve',
    'unshelve',
    'suppress',
    'unsuppress',
    'oos',
    'inService',
  ]
  fc.assert(
    fc.property(
      fc.array(fc.oneof(fc.constantFrom(...names), fc.constant('time' as const)), { maxLength: 60 }),
      (order) => {
        let alarm = calm
        let isOut = false
        order.forEach((name, i) => {
          if (name === 'goesOut') isOut = true
          if (name === 'comesBack') isOut = false
          const next: AlarmEvent =
            name === 'time' ? { kind: 'timePassed', at: s(i * 700) } : event(name, i * 700)
          const [after, effects] = stepAlarm(alarm, next)
          if (after.occurrence > alarm.occurrence)
            expect(effects.filter((e) => e.kind === 'tell' && e.why === 'raised')).toHaveLength(1)
          alarm = after
          expect(isConditionOut(alarm.state)).toBe(isOut)
          expect(alarm.state.name === 'normal' && isOut).toBe(false)
        })
      },
    ),
    { numRuns: 2000 },
  )
})

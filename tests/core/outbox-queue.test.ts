import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { AlarmId, ChannelId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Millis } from '../../schemas/units.ts'
import {
  type Came,
  emptyQueue,
  nextWake,
  type QueueEffect,
  type QueueEvent,
} from '../../shared/telling/outbox-queue.ts'
import { mostAtOnce, mostWaiting, stepQueue } from '../../shared/telling/outbox-step.ts'
import { longestPause, nextWait } from '../../shared/telling/retry.ts'
import { clock } from '../support/store-world.ts'
import { waitingParcel } from '../support/waiting-parcel.ts'

const channel = (name: string) => ChannelId.parse(name)
const alarm = (name: string) => AlarmId.parse(`silent:${name}`)

const took: Came = { outcome: 'delivered', sentence: 'The relay took the message (200).' }
const fails: Came = { outcome: 'later', retryAfter: null, sentence: 'The relay could not take it (503).' }
const wants = (pause: Millis): Came => ({
  outcome: 'later',
  retryAfter: pause,
  sentence: 'The relay wants a pause (429).',
})

/** A queue over time: steps, and what it asked for. */
function aQueue() {
  let queue = emptyQueue
  let at = { now: clock(1), uptime: millis(50_000) }
  const effects: QueueEffect[] = []
  const step = (event: QueueEvent): readonly QueueEffect[] => {
    const [next, more] = stepQueue(queue, event, at)
    queue = next
    effects.push(...more)
    return more
  }
  const subject = {
    effects,
    step,
    at: () => at,
    waiting: () => [...queue.waiting.values()],
    wake: () => nextWake(queue, at.uptime),
    born: (key: string, more: Partial<Parcel> = {}): Parcel =>
      waitingParcel(key, { bornAt: at.now, dueAt: at.now, expiresAt: later(at.now, hours(24)), ...more }),
    put: (...parcels: Parcel[]) => step({ kind: 'put', parcels }),
    /** Keys that are tried now. */
    tries: () =>
      step({ kind: 'timePassed' }).flatMap(({ kind, parcel }) => (kind === 'try' ? [parcel.key] : [])),
    came: (key: string, what: Came, chance = 0.5) => {
      const message = queue.waiting.get(key)?.parcel.message ?? waitingParcel(key).message
      return step({ kind: 'came', key, message, came: what, chance })
    },
    pass(ms: number) {
      at = { now: later(at.now, ms), uptime: millis(at.uptime + ms) }
    },
    setClock(ms: number) {
      at = { ...at, now: instant(Math.max(0, at.now + ms)) }
    },
    ends: () =>
      effects.flatMap(({ kind, parcel }) => (kind === 'ended' ? [`${parcel.key} ${parcel.state}`] : [])),
    outcomeOf: (key: string) => effects.findLast(({ parcel }) => parcel.key === key)?.parcel.outcome,
  }
  return subject
}

describe('waits', () => {
  test.each([
    [1, 5_000],
    [2, 10_000],
    [3, 20_000],
    [6, 160_000],
    [7, 300_000],
    [1000, 300_000],
  ])('after try %i the wait is between half of %i ms and all of it', (tries, whole) => {
    expect(nextWait(tries, 0)).toBe(whole / 2)
    expect(nextWait(tries, 0.999_999)).toBeLessThanOrEqual(whole)
    expect(nextWait(tries, 0.999_999)).toBeGreaterThan(whole * 0.99)
  })

  test('a message that failed is tried again when its wait is over, to the millisecond, and not before', () => {
    const queue = aQueue()
    queue.put(queue.born('a'))
    expect(queue.tries()).toEqual(['a'])
    queue.came('a', fails)
    expect(queue.wake()).toBe(3750)
    queue.pass(3749)
    expect(queue.tries()).toEqual([])
    queue.pass(1)
    expect(queue.tries()).toEqual(['a'])
    expect(queue.waiting()[0]?.parcel).toMatchObject({ tries: 1, outcome: fails.sentence })
  })

  test('A4: a pause that the receiver wants holds for every message of that channel, and for no other', () => {
    const queue = aQueue()
    queue.put(queue.born('a', { channel: channel('one') }))
    queue.tries()
    queue.put(queue.born('waits', { channel: channel('one'), alarm: alarm('b') }))
    queue.came('a', wants(seconds(90)))
    queue.put(queue.born('new', { channel: channel('one'), alarm: alarm('c') }))
    queue.put(queue.born('other', { channel: channel('two'), alarm: alarm('c') }))
    expect(queue.tries()).toEqual(['other'])
    expect(queue.outcomeOf('new')).toBe('The relay wants a pause (429).')
    expect(queue.waiting().map(({ parcel }) => parcel.dueAt)).toEqual([
      ...Array.from({ length: 3 }, () => later(queue.at().now, 90_000)),
      queue.at().now,
    ])
    queue.pass(89_999)
    expect(queue.tries()).toEqual([])
    queue.pass(1)
    expect(queue.tries()).toEqual(['waits']) // never tried goes first
    queue.came('waits', took)
    expect(queue.tries()).toEqual(['new'])
  })

  test('N1: a pause up to 5 min is one failure; a longer one takes the channel out at once; an hour is the most', () => {
    const reachOf = (pause: number) => {
      const queue = aQueue()
      queue.put(queue.born('a'))
      queue.tries()
      const [waits] = queue.came('a', wants(millis(pause)))
      return waits?.kind === 'waits' ? [waits.reach?.kind, waits.parcel.dueAt - queue.at().now] : []
    }
    expect(reachOf(minutes(5))).toEqual(['failed', 300_000])
    expect(reachOf(minutes(5) + 1)).toEqual(['lost', 300_001])
    expect(reachOf(hours(9))).toEqual(['lost', longestPause])
  })

  test('a pause beyond the end of a message ends it at its end', () => {
    const queue = aQueue()
    queue.put(queue.born('a', { expiresAt: later(queue.at().now, minutes(10)) }))
    queue.tries()
    queue.came('a', wants(minutes(30)))
    expect(queue.wake()).toBe(600_000)
    queue.pass(599_999)
    expect([queue.tries(), queue.ends()]).toEqual([[], []])
    queue.pass(1)
    expect([queue.tries(), queue.ends()]).toEqual([[], ['a failed']])
    expect(queue.outcomeOf('a')).toBe('The relay wants a pause (429).')
  })
})

describe('clocks', () => {
  test.each([-10, 10, -24 * 365, 24 * 365])(
    'N3: a clock set by %i h in the middle changes no wait and ends nothing',
    (byHours) => {
      const queue = aQueue()
      queue.put(queue.born('a'), queue.born('b', { channel: channel('two') }))
      queue.tries()
      queue.came('a', fails)
      queue.setClock(hours(byHours))
      queue.came('b', fails)
      queue.pass(3749)
      expect(queue.tries()).toEqual([])
      queue.pass(1)
      expect(queue.tries()).toEqual(['a', 'b'])
      expect(queue.ends()).toEqual([])
    },
  )

  test('N3: after a restart a wait goes on; one longer than any that was given is over', () => {
    const queue = aQueue()
    const { now } = queue.at()
    const found = (key: string, wait: number) =>
      queue.born(key, { channel: channel(key), dueAt: later(now, wait), tries: 2 })
    const parcels = [found('short', 5000), found('hour', longestPause), found('longer', longestPause + 1)]
    queue.step({ kind: 'found', parcels })
    expect(queue.tries()).toEqual(['longer'])
    queue.pass(5000)
    expect(queue.tries()).toEqual(['short'])
    queue.pass(longestPause - 5000)
    expect(queue.tries()).toEqual(['hour'])
  })

  test('N3: found after the clock was set back by years, a message lives no longer than it was to', () => {
    const queue = aQueue()
    const bornAt = later(queue.at().now, hours(24 * 365))
    const found = queue.born('a', { bornAt, dueAt: bornAt, expiresAt: later(bornAt, hours(2)) })
    queue.step({ kind: 'found', parcels: [found] })
    expect(queue.tries()).toEqual(['a'])
    queue.came('a', wants(hours(1)))
    queue.pass(hours(1))
    queue.tries()
    queue.came('a', wants(hours(1)))
    queue.pass(hours(1))
    expect([queue.tries(), queue.ends()]).toEqual([[], ['a failed']])
  })

  test('what ran out while nobody sent fails, untried, and is no failure of its channel', () => {
    const queue = aQueue()
    queue.step({ kind: 'found', parcels: [queue.born('a', { expiresAt: queue.at().now })] })
    expect(queue.tries()).toEqual([])
    expect(queue.effects).toMatchObject([
      { kind: 'ended', reach: null, parcel: { outcome: 'Its time was over before it could be tried.' } },
    ])
  })

  test('with nothing but tries under way, or blocked behind them, nothing wakes before its end', () => {
    const queue = aQueue()
    expect(queue.wake()).toBeNull()
    queue.put(queue.born('a'))
    queue.tries()
    expect(queue.wake()).toBeNull()
    queue.put(queue.born('b', { alarm: alarm('b'), expiresAt: later(queue.at().now, hours(2)) }))
    queue.tries()
    expect(queue.wake()).toBe(hours(2))
    queue.put(queue.born('c', { alarm: alarm('c'), expiresAt: later(queue.at().now, hours(9999)) }))
    queue.step({ kind: 'dropped', key: 'b', state: 'replaced', outcome: 'No longer true.' })
    expect(queue.wake()).toBe(hours(24)) // longer than a machine's timer holds
  })
})

describe('what takes whose place', () => {
  test('A4: what is newer about an alarm replaces what waits about it by the same channel, and nothing else', () => {
    const queue = aQueue()
    queue.put(
      queue.born('a'),
      queue.born('b', { alarm: alarm('b') }),
      queue.born('c', { channel: channel('two') }),
    )
    queue.put(queue.born('d', { kind: 'again' }))
    expect(queue.ends()).toEqual(['a replaced'])
    expect(queue.outcomeOf('a')).toBe('Something newer was said instead.')
    expect(queue.tries()).toEqual(['b', 'c'])
  })

  test('without an alarm, the same kind is the same matter', () => {
    const queue = aQueue()
    const ofHouse = (key: string, kind: Parcel['kind']) => queue.born(key, { alarm: null, kind })
    queue.put(ofHouse('a', 'flood'), ofHouse('b', 'ring'), ofHouse('c', 'flood'))
    expect(queue.ends()).toEqual(['a replaced'])
  })

  test('a clock set back does not make the newer one the older', () => {
    const queue = aQueue()
    queue.put(queue.born('a'))
    queue.setClock(-hours(3))
    queue.put(queue.born('b', { kind: 'returned' }))
    expect(queue.ends()).toEqual(['a replaced'])
  })

  test('one under way may still arrive; if it does not, it is not tried again', () => {
    const queue = aQueue()
    queue.put(queue.born('a'))
    queue.tries()
    queue.put(queue.born('b', { kind: 'again' }))
    expect([queue.ends(), queue.tries()]).toEqual([[], []])
    queue.came('a', fails)
    expect(queue.effects.at(-1)).toMatchObject({
      kind: 'ended',
      parcel: { key: 'a', state: 'replaced', tries: 1 },
      reach: { kind: 'failed', sentence: fails.sentence },
    })
    expect(queue.tries()).toEqual(['b'])
    queue.put(queue.born('c', { kind: 'again' }))
    queue.came('b', took)
    expect(queue.ends()).toEqual(['a replaced', 'b delivered'])
  })

  test('A4: an answered alarm rings no more, but its end is still told', () => {
    const queue = aQueue()
    const kinds = ['raised', 'again', 'chattering', 'returned'] as const
    queue.put(...kinds.map((kind) => queue.born(kind, { kind, channel: channel(kind) })))
    queue.put(queue.born('flying', { channel: channel('five'), alarm: alarm('b') }))
    queue.put(queue.born('other', { channel: channel('six'), alarm: alarm('c') }))
    const { alarm: answered } = waitingParcel('x')
    if (answered === null) throw new Error('no alarm')
    queue.step({ kind: 'settled', alarm: answered, outcome: 'Bela answered it first.' })
    expect(queue.ends()).toEqual(['raised replaced', 'again replaced', 'chattering replaced'])
    expect(queue.outcomeOf('again')).toBe('Bela answered it first.')
    expect(queue.tries()).toEqual(['returned', 'flying', 'other'])
    queue.step({ kind: 'settled', alarm: alarm('b'), outcome: 'It is over.' })
    queue.came('flying', fails)
    expect(queue.ends().at(-1)).toBe('flying replaced')
    expect(queue.outcomeOf('flying')).toBe('It is over.')
  })

  test('L7: what an earlier run left is older than what came since, and its newest stays', () => {
    const queue = aQueue()
    queue.put(queue.born('since'))
    const left = ['b1', 'b2', 'b3'].map((key) => queue.born(key, { alarm: alarm('b') }))
    queue.step({ kind: 'found', parcels: [queue.born('before'), ...left, queue.born('since')] })
    expect(queue.ends().toSorted()).toEqual(['b1 replaced', 'b2 replaced', 'before replaced'])
    expect(queue.waiting().map(({ parcel }) => parcel.key)).toEqual(['since', 'b3'])
  })

  test('one that waits already, put in again, changes nothing', () => {
    const queue = aQueue()
    queue.put(queue.born('a'))
    queue.tries()
    queue.came('a', fails)
    expect(queue.put(waitingParcel('a'))).toEqual([])
    expect(queue.waiting()[0]?.parcel.tries).toBe(1)
  })
})

describe('order and bounds', () => {
  test('high goes first, then what was never tried, then the oldest; four at once, one by each channel', () => {
    const queue = aQueue()
    const of = (key: string, priority: 'low' | 'medium' | 'high', more: Partial<Parcel> = {}) => {
      const parcel = queue.born(key, { channel: channel(key.slice(0, 1)), alarm: alarm(key), ...more })
      return { ...parcel, message: { ...parcel.message, priority } }
    }
    queue.put(
      of('a1', 'low', { bornAt: clock(0) }),
      of('a2', 'medium'),
      of('b1', 'high', { tries: 3, bornAt: clock(0) }),
      of('c1', 'high'),
      of('d1', 'high', { bornAt: clock(0.5) }),
      of('c2', 'high', { bornAt: clock(0.9) }),
      of('e1', 'low'),
    )
    expect(queue.tries()).toEqual(['d1', 'c2', 'b1', 'a2'])
    expect(queue.tries()).toEqual([])
    queue.came('c2', took)
    expect(queue.tries()).toEqual(['c1'])
    queue.came('b1', took)
    expect(queue.tries()).toEqual(['e1'])
  })

  test('X3: at most 500 wait; beyond that the oldest of the lowest priority end, and say so', () => {
    const queue = aQueue()
    const low = { ...waitingParcel('x').message, priority: 'low' as const }
    queue.put(
      ...Array.from({ length: mostWaiting }, (_, i) => queue.born(`high ${i}`, { alarm: alarm(`h${i}`) })),
    )
    expect(queue.ends()).toEqual([])
    queue.put(queue.born('low', { alarm: alarm('low'), message: low }))
    expect(queue.ends()).toEqual(['low failed'])
    expect(queue.outcomeOf('low')).toBe('More than 500 messages were waiting; this one had to go.')
    queue.pass(1)
    queue.put(queue.born('newest', { alarm: alarm('newest') }))
    expect(queue.ends()).toEqual(['low failed', 'high 0 failed'])
  })
})

/** Any story of a queue: what is put in, answered, tried with any outcome, and any passing or setting of clocks. */
const anyCame: fc.Arbitrary<Came> = fc.oneof(
  fc.constant(took),
  fc.constant(fails),
  fc.constantFrom<Came>({ outcome: 'gone', sentence: 'Gone.' }, { outcome: 'refused', sentence: 'No.' }),
  fc.integer({ min: 0, max: 7_200_000 }).map((ms) => wants(millis(ms))),
)
const anyAct = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({
      put: fc.record({
        channel: fc.constantFrom('one', 'two', 'three', 'four', 'five', 'six').map(channel),
        alarm: fc.option(fc.constantFrom('a', 'b', 'c').map(alarm)),
        kind: fc.constantFrom('raised', 'again', 'returned', 'flood', 'summary'),
        lives: fc.integer({ min: 1, max: 7_200_000 }),
      }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ repeat: fc.nat() }) },
  { weight: 1, arbitrary: fc.record({ settle: fc.constantFrom('a', 'b', 'c').map(alarm) }) },
  {
    weight: 6,
    arbitrary: fc.record({
      come: anyCame,
      which: fc.nat(),
      chance: fc.double({ min: 0, max: 0.999, noNaN: true }),
    }),
  },
  { weight: 4, arbitrary: fc.record({ pass: fc.integer({ min: 0, max: 400_000 }) }) },
  { weight: 1, arbitrary: fc.record({ setClock: fc.integer({ min: -hours(72), max: hours(72) }) }) },
)

test('A4, N1: no story sends two at a time by one channel, sends what has ended, or loses a message', () => {
  fc.assert(
    fc.property(fc.array(anyAct, { maxLength: 60 }), (acts) => {
      const queue = aQueue()
      const born: Parcel[] = []
      const underWay = new Map<string, ChannelId>()
      const ended = new Set<string>()
      const look = (effects: readonly QueueEffect[]) => {
        for (const { kind, parcel } of effects) {
          if (kind === 'try') {
            expect(ended.has(parcel.key)).toBe(false)
            expect([...underWay.values()]).not.toContain(parcel.channel)
            underWay.set(parcel.key, parcel.channel)
          } else if (kind === 'ended') {
            expect(ended.has(parcel.key)).toBe(false)
            expect(parcel.outcome).toMatch(/\.$/)
            ended.add(parcel.key)
          }
        }
        expect(underWay.size).toBeLessThanOrEqual(mostAtOnce)
        const waiting = queue.waiting()
        expect(new Set([...waiting.map(({ parcel }) => parcel.key), ...ended]).size).toBe(born.length)
        expect(waiting.length + ended.size).toBe(born.length)
        const idle = waiting.filter(({ isUnderWay }) => !isUnderWay)
        expect(idle.length === 0 || queue.wake() !== null).toBe(true)
        const matters = idle.map(({ parcel }) => `${parcel.channel} ${parcel.alarm ?? parcel.kind}`)
        expect(new Set(matters).size).toBe(matters.length)
      }
      const come = (key: string, what: Came, chance: number) => {
        underWay.delete(key)
        look(queue.came(key, what, chance))
      }
      for (const act of acts) {
        if ('put' in act) {
          const { lives, kind, ...more } = act.put
          const expiresAt = later(queue.at().now, lives)
          born.push(queue.born(`key ${born.length}`, { ...more, kind: kind as Parcel['kind'], expiresAt }))
          look(queue.put(...born.slice(-1)))
        } else if ('repeat' in act) {
          const parcel = born[act.repeat % born.length]
          if (parcel !== undefined && !ended.has(parcel.key)) expect(queue.put(parcel)).toEqual([])
        } else if ('settle' in act) look(queue.step({ kind: 'settled', alarm: act.settle, outcome: 'Over.' }))
        else if ('come' in act) {
          const key = [...underWay.keys()][act.which % underWay.size]
          if (key !== undefined) come(key, act.come, act.chance)
        } else if ('pass' in act) queue.pass(act.pass)
        else queue.setClock(act.setClock)
        look(queue.step({ kind: 'timePassed' }))
      }
      // From here on everything is taken: within the longest pause nothing is left.
      const end = queue.at().uptime + longestPause
      for (let rounds = 0; queue.waiting().length > 0; rounds++) {
        expect(rounds).toBeLessThan(500)
        for (const key of underWay.keys()) come(key, took, 0)
        look(queue.step({ kind: 'timePassed' }))
        if (underWay.size === 0) queue.pass(queue.wake() ?? 0)
        look(queue.step({ kind: 'timePassed' }))
      }
      expect(queue.at().uptime).toBeLessThanOrEqual(end)
      expect(ended.size).toBe(born.length)
    }),
    { numRuns: 300 },
  )
})

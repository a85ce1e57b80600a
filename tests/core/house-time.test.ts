import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { houseClock } from '../../daemon/app/house-clock.ts'
import {
  agreeWithin,
  catchUp,
  earliestPlausible,
  evidence,
  farthestAhead,
  farthestBack,
  heardApart,
  type HouseTime,
  nowOf,
  silentlyFollowed,
  startTime,
  stepTime,
  storedAhead,
  type TimeEvent,
} from '../../shared/time/house-time.ts'
import { nightNamed } from '../../shared/time/night.ts'

const winter = instant(Date.parse('2026-11-20T18:00:00Z'))
const boot = millis(30_000)
const poll = 500

const started = (wall: number, newest: Instant | null = null): HouseTime =>
  startTime({ wall: instant(wall), uptime: boot, newest, floor: earliestPlausible })

const stepped = (state: HouseTime, wall: number, uptime: number) =>
  stepTime(state, { wall: instant(wall), uptime: millis(uptime) })

/** A house whose machine shows what it is told to, polled twice a second. */
function aHouse(wall: number, newest: Instant | null = null) {
  const machine = { wall, uptime: boot as number }
  const clock = houseClock({
    machine: { now: () => instant(machine.wall), uptime: () => millis(machine.uptime) },
    newest,
  })
  const events: TimeEvent[] = []
  const noting = (event: TimeEvent | null) => {
    if (event !== null) events.push(event)
  }
  const house = {
    clock,
    events,
    passes(ms: number, rate = 1) {
      let drift = 0
      for (let left = ms; left > 0; left -= poll) {
        const part = Math.min(poll, left)
        machine.uptime += part
        drift += part * rate
        const whole = Math.floor(drift)
        machine.wall += whole
        drift -= whole
        noting(clock.step())
      }
      return house
    },
    isSet(to: number) {
      machine.wall = to
      return house
    },
    hears(stamp: number) {
      noting(clock.heard(instant(stamp)))
      return house
    },
  }
  return house
}

describe('N3: the wall’s clock at the start', () => {
  test('is believed from the date at which this program began to exist, and not a millisecond before', () => {
    expect(started(earliestPlausible).isTrusted).toBe(true)
    expect(started(earliestPlausible - 1).isTrusted).toBe(false)
  })

  test('is believed up to 60 s before the newest stored instant, and not a millisecond more', () => {
    expect(started(winter - storedAhead, winter).isTrusted).toBe(true)
    expect(started(winter - storedAhead - 1, winter).isTrusted).toBe(false)
  })

  test('in 1970, time goes on from the newest stored instant by what passes', () => {
    const house = aHouse(0, winter)
    expect(house.clock.now()).toBe(winter)
    house.passes(hours(1))
    expect([house.clock.now(), house.clock.isTrusted()]).toEqual([later(winter, hours(1)), false])
    expect(house.events).toEqual([])
  })

  test('in 1970 with nothing stored, time goes on from the first plausible date', () => {
    expect(aHouse(0).passes(seconds(10)).clock.now()).toBe(later(earliestPlausible, seconds(10)))
  })

  test('an hour before the newest stored instant, as a saved clock shows after an outage, it is not believed until it has passed it', () => {
    const house = aHouse(winter - hours(1), winter).passes(hours(1) - storedAhead - poll)
    expect(house.events).toEqual([])
    house.passes(poll)
    expect(house.events.map(({ kind, by }) => [kind, by])).toEqual([['becameTrusted', -hours(1)]])
  })

  test('once it is set, time jumps to it with one event', () => {
    const right = later(winter, days(3))
    const house = aHouse(0, winter).passes(minutes(2)).isSet(right).passes(poll)
    const was = later(winter, minutes(2) + poll)
    const at = later(right, poll)
    expect(house.events).toEqual([{ kind: 'becameTrusted', was, at, by: at - was }])
    expect(house.passes(minutes(1)).clock.now()).toBe(later(at, minutes(1)))
    expect([house.clock.isTrusted(), house.events.length]).toEqual([true, 1])
  })
})

describe('N3: the wall’s clock is set while we run', () => {
  const time = started(winter)
  const at = boot + poll

  test.each([-1, 1])('2 s are followed silently, 2.001 s are a jump (direction %i)', (sign) => {
    expect(stepped(time, winter + poll + sign * silentlyFollowed, at)[1]).toBeNull()
    const wall = winter + poll + sign * (silentlyFollowed + 1)
    expect(stepped(time, wall, at)[1]).toEqual({
      kind: 'jumped',
      was: winter + poll,
      at: wall,
      by: sign * (silentlyFollowed + 1),
    })
  })

  test('2 s ahead are made up at a tenth of the time that passes', () => {
    const house = aHouse(winter)
      .isSet(winter + silentlyFollowed)
      .passes(seconds(10))
    expect(house.clock.now()).toBe(winter + seconds(10) * (1 + catchUp))
    house.passes(seconds(10)).passes(minutes(1))
    expect([house.clock.now(), house.events]).toEqual([
      winter + silentlyFollowed + seconds(20) + minutes(1),
      [],
    ])
  })

  test.each([3, -3, 12, -12])('a jump of %i h is followed at once, and said once', (n) => {
    const house = aHouse(winter)
      .passes(seconds(5))
      .isSet(winter + hours(n))
      .passes(seconds(5))
    expect(house.events).toHaveLength(1)
    expect(house.events[0]).toMatchObject({ kind: 'jumped', by: hours(n) - seconds(5) })
    expect(house.clock.now()).toBe(winter + hours(n) + seconds(5))
    expect(house.clock.isTrusted()).toBe(true)
  })

  test('two small moves soon after one another are one jump, not two moves that nobody hears of', () => {
    const house = aHouse(winter)
      .isSet(winter + 1500)
      .passes(seconds(1))
      .isSet(winter + seconds(1) + 3000)
      .passes(seconds(1))
    expect(house.events.map(({ kind }) => kind)).toEqual(['jumped'])
  })

  test('400 days back are followed, a millisecond more is not believed', () => {
    // Years later, so that 400 days before is no earlier than the first plausible date.
    const late = later(winter, days(2000))
    const [followed, jump] = stepped(started(late), late + poll - farthestBack, at)
    expect([followed.isTrusted, jump?.kind]).toEqual([true, 'jumped'])
    const [lost, loss] = stepped(started(late), late + poll - farthestBack - 1, at)
    expect(loss).toEqual({
      kind: 'lostTrust',
      was: late + poll,
      at: late + poll,
      by: -farthestBack - 1,
    })
    expect(nowOf(lost, { uptime: millis(at + 1000) })).toBe(late + poll + 1000)
  })

  test('back to the first plausible date it is followed, before that it is not believed', () => {
    expect(stepped(time, earliestPlausible, at)[1]?.kind).toBe('jumped')
    expect(stepped(time, earliestPlausible - 1, at)[1]?.kind).toBe('lostTrust')
  })

  test('after a fall to 1970 time goes on, is said to be doubtful once, and is believed when the clock is right again', () => {
    const house = aHouse(winter).passes(minutes(1)).isSet(0).passes(hours(2))
    expect(house.events.map(({ kind }) => kind)).toEqual(['lostTrust'])
    expect(house.clock.now()).toBe(winter + minutes(1) + hours(2))
    house.isSet(winter + minutes(1) + hours(2)).passes(poll)
    expect(house.events.at(-1)).toMatchObject({ kind: 'becameTrusted', by: 0 })
    expect(house.clock.isTrusted()).toBe(true)
  })

  test('an hour of a clock that stands still is an hour', () => {
    const house = aHouse(winter)
    let elapsed = 0
    let last: number = house.clock.now()
    for (let i = 0; i < hours(1) / poll; i++) {
      const before = house.events.length
      house.passes(poll, 0)
      const event = house.events.slice(before)[0]
      elapsed += house.clock.now() - last - (event === undefined ? 0 : event.at - event.was)
      last = house.clock.now()
    }
    expect(elapsed / hours(1)).toBeGreaterThan(0.89)
    expect(elapsed / hours(1)).toBeLessThanOrEqual(1)
  })
})

describe('N3: a clock that is slewed, not set', () => {
  // 500 ppm: the most that a disciplined clock is slewed by, RFC 5905 §12.
  test.each([1 + 500e-6, 1 - 500e-6])('a day at a rate of %d is no event, and is followed', (rate) => {
    const house = aHouse(winter)
    let last = 0
    for (let m = 0; m < 1440; m++) {
      house.passes(minutes(1), rate)
      expect(house.clock.now()).toBeGreaterThan(last)
      last = house.clock.now()
    }
    expect(house.events).toEqual([])
    const wall = winter + days(1) * rate
    expect(Math.abs(house.clock.now() - wall)).toBeLessThan(2000)
    expect(Math.abs(house.clock.now() - winter - days(1))).toBeGreaterThan(40_000)
  })
})

describe('N3: sensors that know the time while we do not', () => {
  const right = later(winter, hours(5))
  const assuming = started(0, winter)
  const hear = (state: HouseTime, stamp: number, uptime: number) =>
    evidence(state, { stamp: instant(stamp), uptime: millis(uptime) })

  test('two of them that agree set the assumed time; it is still not trusted', () => {
    const house = aHouse(0, winter)
      .hears(right)
      .passes(seconds(60))
      .hears(later(right, seconds(60)))
    const was = later(winter, seconds(60))
    expect(house.events).toEqual([{ kind: 'jumped', was, at: later(right, seconds(60)), by: hours(5) }])
    expect([house.clock.now(), house.clock.isTrusted()]).toEqual([later(right, seconds(60)), false])
  })

  test('one alone does not, however often it is in one burst; a second later it does', () => {
    const [once] = hear(assuming, right, boot)
    const [twice, none] = hear(once, right + heardApart - 1, boot + heardApart - 1)
    expect([none, nowOf(twice, { uptime: millis(boot) })]).toEqual([null, winter])
    expect(hear(twice, right + heardApart, boot + heardApart)[1]?.kind).toBe('jumped')
  })

  test.each([-1, 1])('60 s apart they agree, a millisecond more and they do not (direction %i)', (sign) => {
    const [once] = hear(assuming, right, boot)
    const at = boot + heardApart
    expect(hear(once, right + heardApart + sign * agreeWithin, at)[1]).not.toBeNull()
    expect(hear(once, right + heardApart + sign * (agreeWithin + 1), at)[1]).toBeNull()
  })

  test('of two the later is taken: a message may come late, never early', () => {
    const [once] = hear(assuming, right, boot)
    expect(hear(once, right + heardApart - 30_000, boot + heardApart)[1]?.at).toBe(right + heardApart)
  })

  test('own times that lie before the assumed time, or hardly ahead of it, say nothing', () => {
    for (const stamp of [winter - hours(5), winter, winter + agreeWithin]) {
      expect(hear(assuming, stamp, boot)[0]).toBe(assuming)
    }
    expect(hear(assuming, winter + agreeWithin + 1, boot)[0].heard).toHaveLength(1)
  })

  test('an own time more than 400 days after what is stored is not believed', () => {
    expect(hear(assuming, winter + farthestAhead, boot)[0].heard).toHaveLength(1)
    expect(hear(assuming, winter + farthestAhead + 1, boot)[0].heard).toHaveLength(0)
  })

  test('two sensors with wrong clocks, each its own, do not hide a third that is right', () => {
    const house = aHouse(0, winter)
    for (const [i, far] of [days(100), 0, days(200)].entries()) house.passes(seconds(i)).hears(right + far)
    house.passes(seconds(60)).hears(right + seconds(62))
    expect(house.clock.now()).toBeGreaterThanOrEqual(right)
    expect(house.clock.now()).toBeLessThan(right + minutes(2))
  })

  test('a burst from one wrong clock is one witness, and does not push out the others', () => {
    const house = aHouse(0, winter).hears(right)
    for (let i = 0; i < 20; i++) house.hears(right + days(100) + i)
    house.passes(heardApart).hears(right + heardApart)
    expect(house.events.map(({ at }) => at)).toEqual([right + heardApart])
  })

  test('a wall’s clock set right later is believed even where the sensors were ahead of it', () => {
    const house = aHouse(0, winter)
      .hears(right + hours(1))
      .passes(seconds(60))
      .hears(right + hours(1) + seconds(60))
      .isSet(right)
      .passes(poll)
    expect(house.events.map(({ kind }) => kind)).toEqual(['jumped', 'becameTrusted'])
    expect(house.clock.now()).toBe(right + poll)
  })

  test('while the wall’s clock is believed no sensor moves the time', () => {
    const house = aHouse(winter)
      .hears(right)
      .passes(seconds(5))
      .hears(right + seconds(5))
    expect([house.events, house.clock.now()]).toEqual([[], winter + seconds(5)])
  })
})

describe('N3: the zone’s clock change is no jump of the clock', () => {
  // Lengths of the nights from IANA tzdata.
  test.each([
    ['Europe/Vienna', '2026-03-28', 11],
    ['Europe/Vienna', '2026-10-24', 13],
    ['Pacific/Auckland', '2026-04-04', 13],
    ['Pacific/Auckland', '2026-09-26', 11],
  ])('in %s the night of %s lasts %i h, and time passes through it evenly', (zone, date, length) => {
    const night = nightNamed(date, zone, { from: '20:00', to: '08:00' })
    const house = aHouse(night.from).passes(hours(length))
    expect(house.events).toEqual([])
    expect(house.clock.now()).toBe(night.to)
  })
})

describe('N3: whatever happens to the clock', () => {
  const happening = fc.oneof(
    {
      weight: 6,
      arbitrary: fc.record({ kind: fc.constant('passes' as const), ms: fc.integer({ min: 0, max: 5000 }) }),
    },
    {
      weight: 2,
      arbitrary: fc.record({
        kind: fc.constant('moves' as const),
        by: fc.oneof(fc.integer({ min: -2500, max: 2500 }), fc.integer({ min: -hours(12), max: hours(12) })),
      }),
    },
    {
      weight: 1,
      arbitrary: fc.record({
        kind: fc.constant('set' as const),
        to: fc.constantFrom(0, winter, winter + days(30)),
      }),
    },
    {
      weight: 2,
      arbitrary: fc.record({
        kind: fc.constant('hears' as const),
        ahead: fc.constantFrom(0, 59_000, 61_000, hours(2), days(30)),
      }),
    },
    { weight: 4, arbitrary: fc.record({ kind: fc.constant('steps' as const) }) },
  )

  test('shown time never goes back but by an event, and no event lies about the time before and after it', () => {
    fc.assert(
      fc.property(
        fc.array(happening, { maxLength: 80 }),
        fc.constantFrom(0, winter - hours(1), winter, winter + hours(9)),
        fc.constantFrom(null, winter),
        (happenings, wallAtFirst, newest) => {
          const machine = { wall: wallAtFirst, uptime: boot as number }
          const clock = houseClock({
            machine: { now: () => instant(machine.wall), uptime: () => millis(machine.uptime) },
            newest,
          })
          let last: number = clock.now()
          for (const one of happenings) {
            let event: TimeEvent | null = null
            const before = clock.now()
            expect(before).toBeGreaterThanOrEqual(last)
            if (one.kind === 'passes') {
              machine.uptime += one.ms
              machine.wall += one.ms
              // No more than the time that passed is ever shown between two steps.
              expect(clock.now() - before).toBeLessThanOrEqual(one.ms)
            } else if (one.kind === 'moves') machine.wall = Math.max(0, machine.wall + one.by)
            else if (one.kind === 'set') machine.wall = one.to
            else event = one.kind === 'steps' ? clock.step() : clock.heard(instant(before + one.ahead))
            const now = clock.now()
            if (event === null) expect(now).toBeGreaterThanOrEqual(before)
            else {
              expect([event.was, event.at]).toEqual([before, now])
              if (event.kind !== 'lostTrust') expect(event.by).toBe(now - before)
            }
            last = now
          }
        },
      ),
      { numRuns: 500 },
    )
  })

  test('a clock that stays right is followed within a moment of being set, from any start', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: winter + days(60) }),
        fc.constantFrom(null, winter),
        fc.integer({ min: 0, max: days(300) }),
        (first, newest, ahead) => {
          const right = later(winter, ahead)
          const house = aHouse(first, newest).passes(seconds(2)).isSet(right).passes(minutes(1))
          expect(house.clock.now()).toBe(later(right, minutes(1)))
          expect(house.clock.isTrusted()).toBe(true)
        },
      ),
      { numRuns: 100 },
    )
  })
})

describe('N3: a machine that has its time from a server', () => {
  const right = instant(Date.UTC(2026, 10, 25))
  const farAhead = instant(Date.UTC(2036, 0, 1))

  test('is believed after a wild date was kept, and one that cannot say is not', () => {
    const kept = { wall: right, uptime: millis(5000), newest: farAhead, floor: earliestPlausible }
    expect(startTime({ ...kept, isSynchronised: true })).toMatchObject({ isTrusted: true, shown: right })
    expect(startTime(kept)).toMatchObject({ isTrusted: false, shown: farAhead })
  })

  test('is followed back over years, and believed again as soon as it says so', () => {
    const wild = startTime({ wall: farAhead, uptime: millis(0), newest: null, floor: earliestPlausible })
    const back = { wall: right, uptime: millis(500) }
    expect(stepTime(wild, back)[1]).toMatchObject({ kind: 'lostTrust' })
    expect(stepTime(wild, { ...back, isSynchronised: true })[1]).toMatchObject({ kind: 'jumped', at: right })
    const [lost] = stepTime(wild, back)
    expect(stepTime(lost, { wall: right, uptime: millis(1000), isSynchronised: true })[1]).toMatchObject({
      kind: 'becameTrusted',
      at: right,
    })
  })

  test('no server makes a date before the program existed right', () => {
    const epoch = { wall: instant(0), uptime: millis(0), newest: null, floor: earliestPlausible }
    expect(startTime({ ...epoch, isSynchronised: true }).isTrusted).toBe(false)
  })
})

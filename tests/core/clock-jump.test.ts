import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import type { AlarmId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { jumpWatch } from '../../shared/judging/clock-jump.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import type { WatchEffect, WatchState } from '../../shared/judging/watch-state.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { jumpTelling } from '../../shared/telling/clock-jump.ts'
import { stepTelling } from '../../shared/telling/escalation.ts'
import { nothingTold, type TellingState } from '../../shared/telling/telling-state.ts'
import { nightNamed } from '../../shared/time/night.ts'
import { aHousehold, dusk, tortoiseBox } from '../support/story.ts'

const minute = 60_000
const warm = aHousehold({
  places: [
    {
      id: 'box',
      name: 'Shelf box',
      kind: 'box',
      ownLimits: [{ quantity: 'temperature', limit: 'high', value: 8, for: hours(1), clearFor: minutes(10) }],
    },
  ],
  sensors: [
    { id: 'probe', name: 'Box probe', place: 'box', topic: 'x', type: 'ds18b20', expectedEvery: minute },
  ],
})

/**
 * A watch whose story is told in minutes of true elapsed time, over a clock that is `off` by some ms until it is set.
 * `own`: the sensor stamps by a right clock of its own.
 */
function aWatchOver({
  household = tortoiseBox,
  start = dusk,
  off = 0,
  own = false,
}: {
  household?: Household
  start?: number
  off?: number
  own?: boolean
} = {}) {
  let elapsed = 0
  let ahead = off
  let moved = 0
  const wall = () => instant(start + elapsed + ahead)
  let state: WatchState = startWatch(household, profileOf, wall())
  const effects: WatchEffect[] = []
  const alarms: string[] = []
  const take = (event: WatchEvent) => {
    const [next, more] = stepWatch(state, event)
    state = next
    effects.push(...more)
    for (const effect of more) {
      if (effect.kind !== 'journal') continue
      const { entry } = effect
      if (entry.kind !== 'raised' && entry.kind !== 'returned') continue
      const what = entry.limit ?? `${entry.alarmKind}${entry.sensor ? ` ${entry.sensor}` : ''}`
      // Where the clock was never wrong, instants are moved with it; where it was, they are right at the end.
      alarms.push(`${entry.kind} ${what} at ${(entry.at - start - moved) / minute}`)
    }
  }
  const story = {
    get state() {
      return state
    },
    get now() {
      return wall()
    },
    effects,
    alarms,
    /** The same instant as in a story whose clock never moved. */
    waits(ms: number) {
      elapsed += ms
      return story
    },
    ticks() {
      take({ kind: 'timePassed', at: wall() })
      return story
    },
    hears(value: number, sensor = 'probe') {
      const at = own ? instant(start + elapsed) : wall()
      take({
        kind: 'reading',
        reading: { sensor: sensor as SensorId, quantity: 'temperature', value, at },
        heardAt: wall(),
      })
      return story
    },
    /** The same value every minute. */
    holds(value: number, forMinutes: number) {
      for (let m = 0; m < forMinutes; m++) story.hears(value).waits(minute).ticks()
      return story
    },
    shelves(alarm: string, ms: number) {
      const at = wall()
      const until = later(at, ms)
      take({
        kind: 'person',
        alarm: alarm as AlarmId,
        act: { kind: 'shelve', at, until, by: 'Ada', reason: 'x' },
      })
      return story
    },
    tends(ms: number) {
      take({ kind: 'tend', place: 'box' as PlaceId, at: wall(), until: later(wall(), ms), by: 'Ada' })
      return story
    },
    /** The clock, right or not, is set to something else: instants move with it. */
    isSet(by: number) {
      const was = wall()
      ahead += by
      moved += by
      state = jumpWatch(state, was, wall())
      return story
    },
    /** The clock that was wrong is put right: the instants of a right clock stay. */
    isPutRight() {
      const was = wall()
      ahead = 0
      state = jumpWatch(state, was, wall())
      return story
    },
  }
  return story
}

describe('N3: delays keep to the time that has passed', () => {
  test.each([3, -3])('a delay of 60 min over a jump of %i h ends neither early nor late', (n) => {
    const watch = aWatchOver({ household: warm }).holds(9, 20).isSet(hours(n)).holds(9, 39)
    watch
      .hears(9)
      .waits(minute - 1)
      .ticks()
    expect(watch.alarms).toEqual([])
    expect(watch.waits(1).ticks().alarms).toEqual(['raised high at 60'])
    // A new reading is never taken for a late one.
    expect(watch.effects.every((effect) => effect.kind !== 'store' || !effect.late)).toBe(true)
  })

  test.each([3, -3])(
    'silence over a jump of %i h is noticed after its ten minutes and its half hour, not sooner or later',
    (n) => {
      const watch = aWatchOver()
        .holds(5, 3)
        .waits(5 * minute)
        .ticks()
        .isSet(hours(n))
        .ticks()
      watch.waits(4 * minute - 1).ticks()
      expect(watch.alarms).toEqual([])
      // Last heard at minute 2.
      expect(watch.waits(1).ticks().alarms).toEqual(['raised silent probe at 12'])
      expect(watch.waits(20 * minute - 1).ticks().alarms).toHaveLength(1)
      expect(watch.waits(1).ticks().alarms).toEqual(['raised silent probe at 12', 'raised unwatched at 32'])
    },
  )

  test.each([3, -3])('tending and shelving last as long as was said over a jump of %i h', (n) => {
    const tended = aWatchOver().hears(5).tends(minutes(45)).holds(12, 20).isSet(hours(n))
    expect(tended.holds(12, 24).alarms).toEqual([])
    expect(tended.holds(12, 1).alarms).toEqual(['raised highCritical at 45'])

    const shelved = aWatchOver().holds(0.5, 5).shelves('limit:box:temperature:lowCritical', hours(1))
    shelved.isSet(hours(n)).holds(0.5, 59)
    expect(shelved.alarms).toEqual(['raised lowCritical at 1'])
    expect(shelved.holds(0.5, 1).alarms.at(-1)).toBe('raised lowCritical at 65')
  })

  describe('the check of a sensor that lies elsewhere', () => {
    /** The probe lies in ice from the first minute on. */
    const checked = (lasts: number): Household => ({
      ...tortoiseBox,
      sensors: tortoiseBox.sensors.map((sensor) => ({
        ...sensor,
        check: { since: instant(dusk), until: later(instant(dusk), lasts), by: 'Ada' },
      })),
    })

    test.each([3, -3])('lasts as long as was said over a jump of %i h, not longer and not shorter', (n) => {
      const watch = aWatchOver({ household: checked(minutes(40)) })
        .holds(0.1, 20)
        .isSet(hours(n))
      expect(watch.state.layout.sensors[0]?.check).toEqual({
        since: dusk + hours(n),
        until: dusk + hours(n) + minutes(40),
        by: 'Ada',
      })
      expect(watch.state.layout.sensors).toBe(watch.state.layout.household.sensors)
      const ofLimits = () => watch.alarms.filter((alarm) => alarm.includes('lowCritical'))
      watch.holds(0.1, 20)
      expect(ofLimits()).toEqual([])
      watch.holds(0.1, 2)
      expect(ofLimits()).toEqual(['raised lowCritical at 41'])
    })

    test('that has ended begins no second time when the clock goes back over it', () => {
      const watch = aWatchOver({ household: checked(minutes(10)) })
        .holds(5, 20)
        .isSet(-minutes(15))
      expect(watch.holds(0.1, 2).alarms).toEqual(['raised lowCritical at 21'])
      const ended = watch.effects.filter(
        (effect) => effect.kind === 'journal' && effect.entry.text?.includes('has ended'),
      )
      expect(ended).toHaveLength(1)
    })

    test('that is over by both clocks stays where its readings are', () => {
      const watch = aWatchOver({ household: checked(minutes(10)) }).holds(5, 20)
      const before = watch.state.layout
      for (const by of [hours(3), -minutes(10)]) {
        const after = jumpWatch(watch.state, watch.now, later(watch.now, by)).layout
        expect(after).toBe(before)
      }
      const back = jumpWatch(watch.state, watch.now, later(watch.now, -minutes(10) - 1)).layout
      expect(back.sensors[0]?.check?.until).toBe(dusk - 1)
    })
  })

  test('a clock in 1970 at the start, put right after the hour’s delay has begun, ends it by elapsed time', () => {
    // The newest stored instant is where time went on from: two days behind.
    const watch = aWatchOver({ household: warm, off: -days(2) })
      .holds(9, 30)
      .isPutRight()
      .holds(9, 30)
    expect(watch.alarms).toEqual(['raised high at 60'])
  })

  test('there and back again leaves the watch as it was', () => {
    const watch = aWatchOver().holds(0.5, 15).tends(minutes(20)).waits(seconds(20))
    const at = watch.now
    for (const by of [hours(3), -hours(3), seconds(3), -seconds(3)]) {
      const there = jumpWatch(watch.state, at, later(at, by))
      const back = jumpWatch(there, later(at, by), at)
      expect(kept(back)).toEqual(kept(watch.state))
      expect(kept(there)).not.toEqual(kept(watch.state))
    }
  })
})

/** The watch but for the rules, which follow from the date. */
const kept = (state: WatchState) => ({
  ...state,
  places: state.places.map(({ rules: _, ...place }) => place),
})

describe('N3: whose clock stamped a reading', () => {
  const seriesOf = (state: WatchState) => state.sensors[0]?.series.temperature
  const stateWith = (at: number, heardAt?: number): WatchState => {
    const { state } = aWatchOver().hears(5)
    const [probe] = state.sensors
    const temperature = probe?.series.temperature
    if (probe === undefined || temperature === undefined) throw new Error('nothing was heard')
    const { value, quality } = temperature.last
    const came = heardAt === undefined ? {} : { heardAt: instant(heardAt) }
    const last = { value, quality, at: instant(at), ...came }
    const series = { temperature: { ...temperature, last, good: { at: instant(at), value: 5 } } }
    return { ...state, sensors: [{ ...probe, heardAt: instant(at), series }] }
  }
  const jumped = (last: number, by: number, heardAt?: number) => {
    const after = jumpWatch(stateWith(last, heardAt), instant(dusk), instant(dusk + by))
    return {
      by: (seriesOf(after)?.last.at ?? 0) - last,
      heardBy: (after.sensors[0]?.heardAt ?? 0) - last,
      goodBy: (seriesOf(after)?.good?.at ?? 0) - last,
    }
  }
  const stays = { by: 0, heardBy: 0, goodBy: 0 }
  const goes = (by: number) => ({ by, heardBy: by, goodBy: by })

  test('a stamp nearer to the clock as it was goes with it, one nearer to the clock as it is stays; the middle goes', () => {
    const back = -minutes(2)
    expect(jumped(dusk - minutes(1), back)).toEqual(goes(back))
    expect(jumped(dusk - minutes(1) - 1, back)).toEqual(stays)
    const ahead = hours(3)
    expect(jumped(dusk + hours(1.5), ahead)).toEqual(goes(ahead))
    expect(jumped(dusk + hours(1.5) + 1, ahead)).toEqual(stays)
  })

  test('after a jump back no stamp lies more than 60 s ahead', () => {
    const back = -hours(3)
    expect(jumped(dusk + back + seconds(60), back)).toEqual(stays)
    expect(jumped(dusk + back + seconds(60) + 1, back)).toEqual(goes(back))
  })

  test('where the watch noted when it came, a long silence deceives nobody', () => {
    const quietFor = minutes(9)
    // Stamped by our clock, quiet for as long as the clock is set back.
    expect(jumped(dusk - quietFor, -quietFor, dusk - quietFor)).toEqual(goes(-quietFor))
    // Stamped nine minutes before it came: by a right clock, while ours was ahead.
    expect(jumped(dusk - quietFor, -quietFor, dusk)).toEqual(stays)
  })

  test('a clock of a sensor’s own that is wrong by something else stays as well', () => {
    expect(jumped(dusk - hours(3), hours(1), dusk)).toEqual(stays)
    expect(jumped(dusk - seconds(60), hours(1), dusk)).toEqual(goes(hours(1)))
    expect(jumped(dusk - seconds(60) - 1, hours(1), dusk)).toEqual(stays)
  })

  test('battery and disagreement go where the readings go that they are judged by', () => {
    const since = instant(dusk - hours(3))
    const limit = { name: 'delaying', since, counted: 0, value: 1 } as const
    const movedBy = (last: number) => {
      const state = stateWith(last)
      const [probe] = state.sensors
      const temperature = seriesOf(state)
      if (probe === undefined || temperature === undefined) throw new Error('nothing was heard')
      const series = { temperature, battery: temperature }
      const after = jumpWatch(
        {
          ...state,
          sensors: [{ ...probe, series, battery: limit }],
          places: state.places.map((place) => ({ ...place, apart: { air: limit } })),
        },
        instant(dusk),
        instant(dusk - hours(3)),
      )
      const box = after.places.find(({ id }) => id === 'box')
      return [after.sensors[0]?.battery, box?.apart?.air].map((one) =>
        one === undefined || one.name === 'inside' ? null : one.since - since,
      )
    }
    expect(movedBy(dusk - minutes(1))).toEqual([-hours(3), -hours(3)])
    expect(movedBy(dusk - hours(3))).toEqual([0, 0])
  })

  test('a sensor’s own right time, kept while our clock was minutes ahead, neither ends nor lengthens a delay', () => {
    const watch = aWatchOver({ household: warm, off: minutes(8), own: true })
    watch.hears(9)
    for (let m = 0; m < 30; m++) watch.waits(minute).hears(9).ticks()
    watch.isPutRight().ticks()
    for (let m = 30; m < 60; m++) watch.waits(minute).hears(9).ticks()
    expect(watch.alarms).toEqual(['raised high at 60'])
  })
})

describe('N3: bands follow the date, not the time that passed', () => {
  const planned = aHousehold({
    ...tortoiseBox,
    animals: [
      {
        ...tortoiseBox.animals[0],
        plan: [
          { phase: 'feedUp', from: dusk - days(30) },
          { phase: 'hold', from: dusk + minutes(20) },
        ],
      },
    ],
  })
  const boxOf = (state: WatchState) => state.places.find((place) => place.id === 'box')
  const bandsOf = (at: number) =>
    JSON.stringify(boxOf(startWatch(planned, profileOf, instant(at)))?.rules.bands)
  const bandsIn = (state: WatchState) => JSON.stringify(boxOf(state)?.rules.bands)

  test('set back before the date of hold, the band of hold is no longer in force, and its alarms end', () => {
    const watch = aWatchOver({ household: planned }).holds(8, 60)
    expect(bandsOf(dusk)).not.toBe(bandsOf(dusk + hours(1)))
    expect(watch.alarms.at(-1)).toBe('raised high at 50')
    expect(bandsIn(watch.state)).toBe(bandsOf(dusk + hours(1)))
    watch.isSet(-hours(2)).waits(500).ticks()
    expect(bandsIn(watch.state)).toBe(bandsOf(dusk))
    expect(watch.state.alarms.get('limit:box:temperature:high' as AlarmId)?.state.name).toBe(
      'returnedUnacknowledged',
    )
  })

  test('set ahead past the date of hold, its delay begins then, not at a date that nobody lived through', () => {
    const watch = aWatchOver({ household: planned }).holds(8, 10).isSet(hours(5)).ticks()
    expect(bandsIn(watch.state)).toBe(bandsOf(dusk + hours(1)))
    expect(watch.holds(8, 29).alarms).toEqual([])
    expect(watch.holds(8, 1).alarms).toEqual(['raised high at 40'])
  })
})

describe('N3: in the night in which the zone’s clocks change', () => {
  // IANA tzdata.
  test.each([
    ['Europe/Vienna', '2026-03-28', '2026-03-29T01:00Z', 11],
    ['Europe/Vienna', '2026-10-24', '2026-10-25T01:00Z', 13],
    ['Pacific/Auckland', '2026-04-04', '2026-04-04T14:00Z', 13],
    ['Pacific/Auckland', '2026-09-26', '2026-09-26T14:00Z', 11],
  ])('in %s on %s an hour’s delay over the change lasts an hour', (timeZone, date, changes, length) => {
    const night = nightNamed(date, timeZone, { from: '20:00', to: '08:00' })
    expect(night.to - night.from).toBe(hours(length))
    const start = Date.parse(changes) - minutes(30)
    const watch = aWatchOver({ household: { ...warm, timeZone }, start }).holds(9, 59)
    watch
      .hears(9)
      .waits(minute - 1)
      .ticks()
    expect(watch.alarms).toEqual([])
    expect(watch.waits(1).ticks().alarms).toEqual(['raised high at 60'])
  })
})

const happening = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      kind: fc.constant('hears' as const),
      value: fc.constantFrom(-1, 0.9, 1.6, 2.5, 3, 3.2, 5, 6.8, 7.2, 9.7, 10.5, 85),
    }),
  },
  { weight: 4, arbitrary: fc.record({ kind: fc.constant('ticks' as const) }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constantFrom('tends' as const, 'shelves' as const) }) },
)
const story = fc.array(
  fc.tuple(fc.constantFrom(200, 1000, 20_000, minute, 3 * minute, 8 * minute, 31 * minute), happening),
  { minLength: 10, maxLength: 60 },
)
type Story = (typeof story)['generate'] extends (...args: never[]) => { value: infer S } ? S : never

/** Plays a story; `between` comes before its n-th happening. */
function play(watch: ReturnType<typeof aWatchOver>, told: Story, n: number, between: () => void) {
  told.forEach(([wait, one], i) => {
    watch.waits(wait)
    if (i === n) between()
    if (one.kind === 'hears') watch.hears(one.value)
    else if (one.kind === 'ticks') watch.ticks()
    else if (one.kind === 'tends') watch.tends(minutes(20))
    else watch.shelves('limit:box:temperature:lowCritical', minutes(30))
  })
  watch.ticks()
}

const anyJump = fc.oneof(
  fc.integer({ min: -hours(12), max: hours(12) }),
  fc.integer({ min: -minutes(20), max: minutes(20) }),
)

describe('N3: any story is told the same by elapsed time', () => {
  test('whenever and however far the clock is set, alarms are raised and return at the same elapsed moments', () => {
    let raised = 0
    fc.assert(
      fc.property(story, fc.nat({ max: 40 }), anyJump, (told, n, by) => {
        const [still, set] = [aWatchOver(), aWatchOver()]
        play(still, told, n, () => {})
        play(set, told, n, () => set.isSet(by))
        expect(set.alarms).toEqual(still.alarms)
        const isSet = n < told.length
        if (!isSet || by === 0) return
        // And so is everything that is remembered, moved as one.
        const expected = jumpWatch(still.state, still.now, later(still.now, by))
        expect(kept(set.state)).toEqual(kept(expected))
        raised += set.alarms.length
      }),
      { numRuns: 500 },
    )
    expect(raised).toBeGreaterThan(500)
  })

  test('the same without a note of when readings came, where the sensor spoke within half of the jump', () => {
    fc.assert(
      fc.property(story, fc.nat({ max: 40 }), anyJump, (told, n, by) => {
        const [still, set] = [aWatchOver(), aWatchOver()]
        let isClear = true
        play(still, told, n, () => {
          const heard = still.state.sensors[0]?.heardAt ?? still.now
          isClear = by >= 0 || still.now - heard <= -by / 2
        })
        fc.pre(isClear)
        play(set, told, n, () => set.isSet(by))
        expect(set.alarms).toEqual(still.alarms)
      }),
      { numRuns: 500 },
    )
  })

  test('a sensor with a right clock of its own: once ours is put right, all is as if it had never been wrong', () => {
    let raised = 0
    fc.assert(
      fc.property(story, anyJump, fc.boolean(), (told, off, isQuiet) => {
        const right = aWatchOver({ own: true })
        const wrong = aWatchOver({ own: true, off })
        for (const watch of [right, wrong]) {
          for (let m = 0; m < 15; m++)
            watch
              .hears(5 + (m % 3) / 16)
              .waits(minute)
              .ticks()
          if (isQuiet) watch.waits(2 * minute)
        }
        wrong.isPutRight()
        for (const watch of [right, wrong]) watch.holds(5, 1)
        // The alarms about a clock that was wrong are over; from here on there is no difference.
        const before = [right.alarms.length, wrong.alarms.length]
        for (const watch of [right, wrong]) play(watch, told, -1, () => {})
        expect(wrong.alarms.slice(before[1])).toEqual(right.alarms.slice(before[0]))
        raised += right.alarms.length
      }),
      { numRuns: 300 },
    )
    expect(raised).toBeGreaterThan(300)
  })
})

describe('N3: what people were told keeps its age', () => {
  const [box] = [aWatchOver().holds(-1, 2)]
  const alarm = box?.state.alarms.get('limit:box:temperature:lowCritical' as AlarmId)
  if (alarm === undefined) throw new Error('no alarm to tell')
  const contacts = ['ada', 'ben'].map((id) => ({ id, name: id, channels: [], quiet: null })) as never
  const telling = {
    repeatEvery: minutes(2),
    escalateAfter: minutes(10),
    againAfter: minutes(30),
  } as never
  const rules = { contacts, outOfReach: new Set<never>(), telling }
  const start = instant(dusk)
  const passes = (state: TellingState, at: number) =>
    stepTelling(state, { kind: 'timePassed', at: instant(at), morning: start }, rules)

  test.each([3, -3])(
    'over a jump of %i h an alarm rings and escalates when its waits are over, not sooner or later',
    (n) => {
      const by = hours(n)
      const [told] = stepTelling(nothingTold, { kind: 'raised', alarm, at: start }, rules)
      const now = dusk + minute
      const jumped = jumpTelling(told, instant(now), instant(now + by))
      expect(passes(jumped, dusk + by + minutes(2) - 1)[1]).toEqual([])
      expect(passes(jumped, dusk + by + minutes(2))[1]).toMatchObject([{ what: 'again', contact: 'ada' }])
      const before = passes(jumped, dusk + by + minutes(10) - 1)[1].map(({ contact }) => contact)
      const due = passes(jumped, dusk + by + minutes(10))[1].map(({ contact }) => contact)
      expect([before, [...due].sort()]).toEqual([['ada'], ['ada', 'ben']])
    },
  )

  test('every instant of it is moved by the same, and back again', () => {
    fc.assert(
      fc.property(fc.integer({ min: -hours(12), max: hours(12) }), (by) => {
        const told: TellingState = {
          told: {
            [alarm.id]: { alarm, since: start, contacts: [], lastAt: start, repeats: 1, isAnswered: false },
          },
          low: [{ alarm, at: start }],
          raises: [{ alarm: alarm.id, at: start }],
          flood: { since: start, lastAt: start, contacts: [] },
          chattering: { [alarm.id]: start },
        }
        const moved = jumpTelling(told, start, later(start, by))
        const instants = (state: TellingState) =>
          JSON.stringify(state)
            .match(/(?<![.\d])\d{13}(?!\d)/g)
            ?.map(Number)
        expect(instants(told)?.length).toBeGreaterThan(8)
        expect(instants(moved)).toEqual(instants(told)?.map((one) => one + by))
        expect(jumpTelling(moved, later(start, by), start)).toEqual(told)
      }),
    )
  })
})

describe('N3: everything else that is remembered', () => {
  test('instants of stages, batteries, disagreements, clock faults and alarms of every state are moved by the same', () => {
    const at = instant(dusk)
    const { state } = aWatchOver().holds(-1, 3)
    const [probe] = state.sensors
    const known = state.alarms.get('limit:box:temperature:lowCritical' as AlarmId)
    if (probe === undefined || known === undefined) throw new Error('no alarm to move')
    const by = { by: 'Ada', out: true, since: at } as const
    const states = [
      { name: 'acknowledged', since: at, by: 'Ada', acknowledgedAt: at },
      { name: 'returnedUnacknowledged', since: at, returnedAt: at },
      { name: 'shelved', until: at, reason: 'x', ...by },
      { name: 'suppressed', until: at, ...by },
      { name: 'outOfService', at, reason: 'x', ...by },
      { name: 'suppressed', until: at, by: 'Ada', out: false, since: null },
    ] as const
    const limit = { name: 'delaying', since: at, counted: 0, value: 1 } as const
    const full: WatchState = {
      ...state,
      sensors: [{ ...probe, clockAhead: { since: at, byMs: 5 }, battery: limit }],
      places: state.places.map((place) => ({ ...place, unwatchedSince: at, apart: { air: limit } })),
      alarms: new Map(
        states.map((one, i) => [`a${i}` as AlarmId, { ...known, id: `a${i}` as AlarmId, state: one }]),
      ),
      tendings: [{ place: 'box' as PlaceId, until: at, by: 'Ada' }],
      stages: {
        broker: { isWell: false, reportedAt: at, isOut: true, since: at, isRaised: true, text: 'Away.' },
      },
    }
    const instants = (watch: WatchState): number[] => {
      const { layout: _, alarms, ...rest } = kept(watch)
      return (JSON.stringify([rest, [...alarms.values()]]).match(/(?<![.\d])\d{13}(?!\d)/g) ?? []).map(Number)
    }
    const now: Instant = later(at, 3 * minute)
    for (const by of [hours(7), -hours(7), seconds(3)]) {
      const moved = jumpWatch(full, now, later(now, by))
      expect(instants(full).length).toBeGreaterThan(25)
      expect(instants(moved)).toEqual(instants(full).map((one) => one + by))
    }
  })

  test('what was never heard stays never heard', () => {
    const { state } = aWatchOver()
    const [probe] = jumpWatch(state, instant(dusk), instant(dusk + hours(1))).sensors
    expect(probe).toMatchObject({ heardAt: null, series: {}, since: dusk + hours(1) })
    const bad = aWatchOver().hears(85).isSet(hours(1)).state.sensors[0]?.series.temperature
    expect(bad).toMatchObject({ good: null, history: { good: null, goodAt: 0, at: 0 } })
  })
})

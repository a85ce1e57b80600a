import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Calibration } from '../../schemas/calibration.ts'
import { celsius, days, instant, later } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { guardAt, guardsOf } from '../../shared/judging/guard.ts'
import { nearFreezing } from '../../shared/judging/guard-figures.ts'
import { chancePast, isInDoubt } from '../../shared/judging/in-doubt.ts'
import { isMetHere, isRaisedHere } from '../../shared/judging/limits-here.ts'
import { fromSnapshot, toSnapshot } from '../../shared/judging/snapshot.ts'
import { stepWatch } from '../../shared/judging/watch.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { doubtWords } from '../../shared/telling/doubt.ts'
import { alarmHeadline } from '../../shared/telling/alarm-words.ts'
import { aHousehold, aWatch, dusk, tortoiseBox } from '../support/story.ts'

// GUM 4.3.7: ±0.5 K on the data sheet is 0.5/√3, half of a sixteenth either way is (1/32)/√3; twice their root sum of squares
const uncheckedProbe = 2 * Math.hypot(0.5 / Math.sqrt(3), 1 / 32 / Math.sqrt(3))

const cold = 'limit:box:temperature:lowCritical'
const checked = (from: number, uncertainty: number): Calibration => ({
  quantity: 'temperature',
  from: instant(from),
  method: 'icePoint',
  gain: 1,
  offset: 0,
  uncertainty,
  references: [{ true: 0, raw: 0, uncertainty }],
  by: 'Ada',
})
const probe = (more: object) => Sensor.parse({ ...tortoiseBox.sensors[0], ...more })
const boxWith = (sensor: object, place: object = {}) => ({
  ...tortoiseBox,
  places: tortoiseBox.places.map((one) => (one.id === 'box' ? { ...one, ...place } : one)),
  sensors: [probe(sensor)],
})

const isInDoubtLine = (line: JournalEntry): boolean =>
  isInDoubt({ ...line, value: line.value ?? null, threshold: line.threshold ?? null })

describe('L9: how far a sensor may be off', () => {
  test('never checked, its maker’s ± and its resolution count, as the GUM adds them', () => {
    const guards = guardsOf(probe({}))
    expect(guards).toHaveLength(1)
    expect(guardAt(guards, instant(dusk))).toBeCloseTo(uncheckedProbe, 9)
    expect(uncheckedProbe).toBeCloseTo(0.578, 3)
  })

  test('the keeper’s own figures stand in for the data sheet, and the spot is added where it is given', () => {
    const guards = guardsOf(probe({ accuracy: 0.1, placement: 0.3 }))
    const u = Math.hypot(0.1 / Math.sqrt(3), 1 / 32 / Math.sqrt(3), 0.3 / Math.sqrt(3))
    expect(guardAt(guards, instant(dusk))).toBeCloseTo(2 * u, 9)
  })

  test('a check in ice makes it surer from its own instant on, a little less with each year, and never worse than unchecked by the maker’s ±', () => {
    const guards = guardsOf(probe({ calibrations: [checked(dusk, 0.07)] }))
    const at = (ms: number) => guardAt(guards, later(instant(dusk), ms))
    expect(at(-1)).toBeCloseTo(uncheckedProbe, 9)
    const inYear = (years: number) =>
      2 * Math.hypot(0.07, Math.min(0.1 * years, 0.5) / Math.sqrt(3), 1 / 32 / Math.sqrt(3))
    expect(at(0)).toBeCloseTo(inYear(1), 9)
    expect(at(days(365) - 1)).toBeCloseTo(inYear(1), 9)
    expect(at(days(365))).toBeCloseTo(inYear(2), 9)
    expect(at(days(365 * 20))).toBeCloseTo(inYear(5), 9)
  })

  test('of several checks, in any order, the newest before the reading counts', () => {
    const calibrations = [checked(dusk + days(30), 0.02), checked(dusk, 0.2)]
    const guards = guardsOf(probe({ calibrations }))
    const first = guardAt(guards, later(instant(dusk), days(30) - 1))
    const second = guardAt(guards, later(instant(dusk), days(30)))
    expect(first).toBeGreaterThan(0.4)
    expect(second).toBeLessThan(0.15)
    expect(guards.map(({ from }) => from)).toEqual([...guards.map(({ from }) => from)].sort((a, b) => a - b))
  })
})

describe('L9: the near-freezing limit is met by that much earlier', () => {
  test('a probe that shows 1.5 °C may lie at 0.9 °C: after ten minutes of that it rings, and says that it is not sure', () => {
    const watch = aWatch().hears(5).unseenUntil(1).holds(1.5, 10)
    expect(watch.alarms).toEqual([])
    watch.reaches(11)
    expect(watch.alarms).toEqual(['raised lowCritical at 11'])
    const alarm = watch.state.alarms.get(cold as never)
    expect(alarm).toMatchObject({ priority: 'high', value: 1.5, threshold: 1 })
    expect(alarm?.guarded).toBeCloseTo(1 + uncheckedProbe, 9)
    if (alarm === undefined) throw new Error('no alarm')
    const names = {
      place: () => 'Low shelf',
      sensor: () => 'Probe',
      contact: () => 'Ada',
      animal: () => 'Juno',
    }
    expect(alarmHeadline(alarm, names)).toBe('Low shelf may be dangerously cold at 1.5 °C (limit 1.0 °C)')
    // Normal law: (1.0 − 1.5) / 0.289 = −1.73 → 4.2 of 100
    expect(doubtWords(alarm)).toBe(
      'It rings from 1.6 °C on, for this sensor may be off: in about 4 of 100 such cases the truth is past the limit.',
    )
    expect(watch.journal.findLast(({ kind }) => kind === 'raised')?.guarded).toBe(alarm.guarded)
  })

  test('exactly at the guarded limit it is out, and a hundredth above it is not', () => {
    const at = (value: number) => aWatch().hears(5).unseenUntil(1).holds(value, 12).alarms
    expect(at(1 + uncheckedProbe)).toEqual(['raised lowCritical at 11'])
    expect(at(1 + uncheckedProbe + 0.01)).toEqual([])
  })

  test('A1: whoever answered a doubt is rung afresh, once, when the value is past the limit itself', () => {
    const watch = aWatch().hears(5).unseenUntil(1).holds(1.5, 12)
    watch.does(cold, { kind: 'acknowledge', at: watch.now, by: 'Ada' }).unseenUntil(13).holds(0.9, 20)
    expect(watch.alarms).toEqual([
      'raised lowCritical at 11',
      'returned lowCritical at 14',
      'raised lowCritical at 14',
    ])
    const alarm = watch.state.alarms.get(cold as never)
    expect(alarm).toMatchObject({ occurrence: 2, value: 0.9, state: { name: 'unacknowledged' } })
    const told = watch.effects.flatMap((effect) => (effect.kind === 'tell' ? [effect.why] : []))
    expect(told.at(-1)).toBe('raised')
    expect(alarm).not.toHaveProperty('guarded')
  })

  test('A4: air that swings into the guard once a run rings once, and returns three hours after the last run', () => {
    const watch = aWatch().hears(5).unseenUntil(1)
    for (let minute = 1; minute < 600; minute++) watch.reaches(minute).hears(minute % 90 < 30 ? 1.5 : 4)
    for (let minute = 600; minute < 900; minute++) watch.reaches(minute).hears(4)
    expect(watch.alarms).toEqual(['raised lowCritical at 11', 'returned lowCritical at 750'])
    const told = watch.effects.flatMap((effect) => (effect.kind === 'tell' ? [effect.why] : []))
    expect(told).toEqual(['raised', 'returned'])
  })

  test('A1: answered in doubt and clear again, it rings at each time that the value is past the limit itself', () => {
    const watch = aWatch().hears(5).unseenUntil(1).holds(1.5, 12)
    watch.does(cold, { kind: 'acknowledge', at: watch.now, by: 'Ada' })
    watch.holds(4, 30).holds(0.9, 40).restarts().holds(4, 60).holds(0.9, 70)
    const raised = watch.alarms.filter((line) => line.startsWith('raised lowCritical'))
    expect(raised).toEqual([
      'raised lowCritical at 11',
      'raised lowCritical at 32',
      'raised lowCritical at 62',
    ])
  })

  test('L10: a doubt that is clear and only waits to return leaves the half hour until nobody watches as it is', () => {
    const watch = aWatch().hears(5).unseenUntil(1).holds(1.5, 12).holds(4, 30)
    watch.reaches(59)
    expect(watch.alarm('unwatched:box')).toBe('normal')
    watch.reaches(61)
    expect(watch.alarm('unwatched:box')).toBe('unacknowledged')
  })

  test('L12: a doubt that is clear and only waits to return mutes no warning; in doubt, or past the limit, it does', () => {
    const watch = aWatch().hears(5).unseenUntil(1).holds(1.5, 12)
    const stands = () => {
      const p = watch.state.layout.placeIndex.get('box' as PlaceId) ?? -1
      return [isRaisedHere, isMetHere].map((ask) => ask({ state: watch.state }, p, 'temperature', 0))
    }
    expect(stands()).toEqual([true, true])
    expect((watch.holds(4, 20), stands())).toEqual([true, false])
    expect((watch.holds(1.5, 21), stands())).toEqual([true, true])
    expect((watch.holds(0.9, 23).reaches(24).hears(4), stands())).toEqual([true, true])
  })

  test.each([
    ['in doubt, its delay running', { name: 'delaying', counted: 0, value: 1.5, past: null }, 11],
    [
      'past the limit for half a minute',
      { name: 'delaying', counted: 0, value: 0.9, past: dusk + 150_000 },
      3.5,
    ],
  ])('L7: the state that an older program kept is taken up: %s', (_, limit, rings) => {
    const { state } = aWatch().hears(5).unseenUntil(1).hears(1.5).reaches(3)
    const kept = JSON.parse(toSnapshot(state)) as {
      sensors: { series: { temperature: { limits: object[] } } }[]
    }
    const [sensor] = kept.sensors
    if (sensor === undefined) throw new Error('no sensor')
    sensor.series.temperature.limits[0] = { ...limit, since: dusk + 60_000 }
    let [next, raised]: [WatchState, number[]] = [
      fromSnapshot(JSON.stringify(kept), tortoiseBox, profileOf),
      [],
    ]
    for (let half = 7; half <= 24; half++) {
      const [after, effects] = stepWatch(next, { kind: 'timePassed', at: instant(dusk + half * 30_000) })
      next = after
      for (const effect of effects)
        if (effect.kind === 'journal' && effect.entry.limit === 'lowCritical')
          raised = [...raised, (effect.entry.at - dusk) / 60_000]
    }
    expect(raised[0]).toBe(rings)
  })

  test('past the limit itself nothing is in doubt, and nothing is said of it', () => {
    const watch = aWatch().hears(5).unseenUntil(1).hears(1).reaches(2)
    const alarm = watch.state.alarms.get(cold as never)
    expect(alarm && isInDoubt(alarm)).toBe(false)
    expect(alarm && chancePast(alarm)).toBeNull()
    expect(alarm && doubtWords(alarm)).toBe('')
  })

  test('an alarm kept before the sensor’s own figure was reckons with the width of the guard', () => {
    const older = { value: 1.5, threshold: 1, guarded: 1 + uncheckedProbe }
    expect(chancePast(older)).toBeCloseTo(0.042, 3)
    expect(chancePast({ ...older, expanded: uncheckedProbe })).toBeCloseTo(0.042, 3)
  })

  test('a place may take its limits as they stand', () => {
    const watch = aWatch(boxWith({}, { guardBand: 'off' }))
      .hears(5)
      .unseenUntil(1)
      .hears(1.01)
      .reaches(9)
    expect(watch.alarms).toEqual([])
    expect(watch.hears(1).reaches(10).alarms).toEqual(['raised lowCritical at 10'])
    expect(watch.state.alarms.get(cold as never)).not.toHaveProperty('guarded')
  })

  test('checking the sensor in ice ends an alarm that only its doubt had raised', () => {
    const watch = aWatch().hears(5).unseenUntil(1).holds(1.5, 12)
    watch.becomes(boxWith({ calibrations: [checked(watch.now, 0.05)] }))
    watch.holds(1.5, 20)
    expect(watch.alarms.slice(0, 2)).toEqual(['raised lowCritical at 11', 'returned lowCritical at 13'])
  })

  test('a limit of the keeper’s own is taken as given, and does not weaken the animals’', () => {
    const own = (value: number) => [{ quantity: 'temperature', limit: 'lowCritical', value }]
    const tight = aWatch(boxWith({}, { ownLimits: own(2.5) }))
      .hears(5)
      .unseenUntil(1)
      .hears(2.51)
      .reaches(5)
    expect(tight.alarms).toEqual([])
    const between = aWatch(boxWith({}, { ownLimits: own(1.2) }))
      .hears(5)
      .unseenUntil(1)
      .holds(1.5, 12)
    expect(between.alarms).toEqual(['raised lowCritical at 11'])
    expect(between.state.alarms.get(cold as never)?.guarded).toBeCloseTo(1 + uncheckedProbe, 9)
    expect(between.state.alarms.get(cold as never)?.threshold).toBe(1.2)
    // Normal law: (1.2 − 1.5) / 0.289 = −1.04 → 15 of 100, however little of the guard lies beyond the keeper's own limit
    const alarm = between.state.alarms.get(cold as never)
    expect(alarm?.expanded).toBeCloseTo(uncheckedProbe, 9)
    expect(alarm && chancePast(alarm)).toBeCloseTo(0.15, 2)
    const entry = between.journal.findLast(({ kind }) => kind === 'raised')
    expect(entry).toMatchObject({ guarded: alarm?.guarded, expanded: alarm?.expanded })
    expect(between.place('box')?.bands.temperature?.lowCritical?.expanded).toBeCloseTo(uncheckedProbe, 9)
  })

  test('limits that are not about frost stay where they are', () => {
    expect(nearFreezing).toBe(celsius(4))
    const python = aHousehold({
      places: [{ id: 'viv', name: 'Python enclosure', kind: 'enclosure' }],
      sensors: [
        { id: 'probe', name: 'Probe', place: 'viv', topic: 'x', type: 'ds18b20', expectedEvery: 60_000 },
      ],
      animals: [{ id: 'nox', name: 'Nox', species: 'python-regius', place: 'viv', mode: 'staysAwake' }],
    })
    const watch = aWatch(python).hears(27)
    expect(watch.place('viv')?.bands.temperature?.lowCritical).not.toHaveProperty('guarded')
  })

  test('the place shows where it rings, by the sensor that judges it', () => {
    const watch = aWatch().hears(5)
    expect(watch.place('box')?.bands.temperature?.lowCritical).toMatchObject({ value: 1 })
    expect(watch.place('box')?.bands.temperature?.lowCritical?.guarded).toBeCloseTo(1 + uncheckedProbe, 9)
    watch.unseenUntil(1).hears(1.5)
    expect(watch.place('box')?.remarks.join()).toContain(
      '1.5 °C, nearer than its sensor may be off to its limit of 1.0 °C',
    )
  })

  test('L7: a restart between the reading and the delay’s end changes nothing', () => {
    const watch = aWatch()
      .hears(5)
      .unseenUntil(1)
      .holds(1.5, 8)
      .reaches(8.5)
      .hears(0.9)
      .restarts()
      .reaches(9.5)
    expect(watch.alarms).toEqual(['raised lowCritical at 9.5'])
  })

  test('past the limit itself for its own minute it rings, however short the doubt before it was', () => {
    const watch = aWatch().hears(5).unseenUntil(1).holds(1.5, 4).reaches(4.5).hears(0.9).reaches(5.4)
    expect(watch.alarms).toEqual([])
    expect(watch.reaches(5.5).alarms).toEqual(['raised lowCritical at 5.5'])
  })

  test('L3: jitter round the limit itself does not hide that it was past it', () => {
    const watch = aWatch().hears(5).unseenUntil(1).hears(0.95).reaches(1.5).hears(1.2).reaches(2)
    expect(watch.alarms).toEqual(['raised lowCritical at 2'])
    const back = aWatch().hears(5).unseenUntil(1).hears(0.95).reaches(1.5).hears(1.31).reaches(2.6)
    expect(back.alarms).toEqual([])
  })

  test('a dip of nine minutes into the doubt is the cold end of a compressor’s run, and rings nobody', () => {
    const watch = aWatch().hears(5)
    for (let minute = 1; minute < 240; minute++) watch.reaches(minute).hears(minute % 30 < 9 ? 1.5 : 4)
    expect(watch.alarms).toEqual([])
  })

  test('A1: a second probe past the limit itself is the same danger, and rings nobody anew', () => {
    const two = [{}, { id: 'second', name: 'Second probe', topic: 'brumal/in/second' }].map(probe)
    const watch = aWatch({ ...tortoiseBox, sensors: two })
      .hears(5)
      .hears(5, 'second')
    watch.reaches(1).hears(0.9).hears(4, 'second').reaches(2).hears(0.9).hears(0.9, 'second').reaches(4)
    expect(watch.alarms).toEqual(['raised lowCritical at 2'])
  })

  test('A1: whatever a night does to two probes, each ring without the guard has its ring with it, no later', () => {
    const two = [{}, { id: 'second', name: 'Second probe', topic: 'brumal/in/second' }].map(probe)
    const hears = fc.record({
      wait: fc.constantFrom(0.5, 1, 2, 9, 25),
      value: fc.constantFrom(0.5, 0.9, 1, 1.2, 1.31, 1.5, 1.58, 1.9, 4),
      sensor: fc.constantFrom('probe', 'second'),
      restarts: fc.boolean(),
    })
    fc.assert(
      fc.property(fc.array(hears, { minLength: 5, maxLength: 60 }), (night) => {
        const lines = (place: object) => {
          const watch = aWatch({ ...boxWith({}, place), sensors: two })
            .hears(5)
            .hears(5, 'second')
          let minute = 0
          for (const { wait, value, sensor, restarts } of night) {
            watch.reaches((minute += wait)).hears(value, sensor)
            if (restarts) watch.restarts()
          }
          watch.reaches(minute + 1)
          return watch.journal.filter(
            ({ kind, limit }) => (kind === 'raised' || kind === 'returned') && limit === 'lowCritical',
          )
        }
        const guarded = lines({}).filter(({ kind }) => kind === 'raised')
        const plain = lines({ guardBand: 'off' })
        plain.forEach(({ kind, at }, i) => {
          if (kind !== 'raised') return
          const from = plain[i - 1]?.at ?? 0
          expect(guarded.some((line) => line.at >= from && line.at <= at && !isInDoubtLine(line))).toBe(true)
        })
      }),
      { numRuns: 100 },
    )
  })
})

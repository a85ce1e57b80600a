import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Stage } from '../../schemas/stage.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import { fromSnapshot, toSnapshot } from '../../shared/judging/snapshot.ts'
import { stepWatch } from '../../shared/judging/watch.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { answer } from '../../shared/telling/answer.ts'
import { caution, firstThing } from '../../shared/telling/first-thing.ts'
import { alarmHeadline } from '../../shared/telling/alarm-words.ts'
import { AlarmKind } from '../../schemas/alarm.ts'
import { aHousehold, aWatch, dusk, tortoiseBox } from '../support/story.ts'

const says = (watch: ReturnType<typeof aWatch>, stage: Stage, isWell: boolean, text = 'It said so.') =>
  watch.is({ kind: 'stage', stage, isWell, at: watch.now, text })

/** 5 °C with a probe's own unrest, every minute to `minute`. */
function quiet(watch: ReturnType<typeof aWatch>, minute: number, sensor = 'probe') {
  for (let m = Math.ceil((watch.now - dusk) / 60_000); m <= minute; m++)
    watch.reaches(m).hears(5 + (m % 3) / 16, sensor)
  return watch
}

describe('N1: the broker is lost', () => {
  test('one alarm after five minutes stands for every silent sensor, and returns a minute after it is back', () => {
    const watch = quiet(aWatch(), 5)
    says(watch, 'broker', false, 'The broker closed the connection.')
    for (let m = 6; m <= 365; m++) watch.reaches(m)
    expect(watch.alarms).toEqual(['raised brokerLost at 10'])
    expect(watch.state.alarms.get('brokerLost:house' as never)).toMatchObject({
      priority: 'high',
      text: 'The broker closed the connection.',
    })
    says(watch, 'broker', true, 'Connected.')
    quiet(watch, 380)
    expect(watch.alarms).toEqual(['raised brokerLost at 10', 'returned brokerLost at 366'])
  })

  test('4 min 59 s is a restart and nobody is rung; five minutes are told', () => {
    const restart = quiet(aWatch(), 5)
    says(restart, 'broker', false)
    says(restart.reaches(9.983), 'broker', true)
    expect(quiet(restart, 30).alarms).toEqual([])
    const lost = quiet(aWatch(), 5)
    says(lost, 'broker', false)
    expect(lost.reaches(10).alarms).toEqual(['raised brokerLost at 10'])
  })

  test('L4: a value past its limit when the broker goes is told all the same', () => {
    const watch = quiet(aWatch(), 5).reaches(6).hears(2.9)
    says(watch, 'broker', false)
    for (let m = 7; m <= 30; m++) watch.reaches(m)
    expect(watch.alarms).toEqual(['raised brokerLost at 11', 'raised low at 16'])
  })

  test('a sensor that stays silent after the broker is back is told ten minutes later', () => {
    const watch = quiet(aWatch(), 5)
    says(watch, 'broker', false)
    says(watch.reaches(60), 'broker', true)
    for (let m = 61; m <= 80; m++) watch.reaches(m)
    expect(watch.alarms).toEqual([
      'raised brokerLost at 10',
      'returned brokerLost at 61',
      'raised silent probe at 70',
      'raised unwatched at 70',
    ])
  })

  test('a broker that comes and goes cannot hide a silent sensor for ever', () => {
    const watch = quiet(aWatch(), 5)
    for (let m = 6; m < 120; m += 4) {
      says(watch.reaches(m), 'broker', false)
      says(watch.reaches(m + 2), 'broker', true)
      watch.reaches(m + 3.5)
    }
    expect(watch.alarms.some((line) => line.startsWith('raised unwatched'))).toBe(true)
    expect(watch.alarms.some((line) => line.startsWith('raised brokerLost'))).toBe(false)
  })

  test('one that is well for less than a minute between is lost all the while', () => {
    const watch = quiet(aWatch(), 5)
    for (let m = 5; m < 12; m++) {
      says(watch.reaches(m), 'broker', false)
      says(watch.reaches(m + 0.5), 'broker', true)
    }
    expect(watch.alarms).toEqual(['raised brokerLost at 10'])
  })

  test('where people took that alarm out of service, the sensors ring for themselves', () => {
    const watch = quiet(aWatch(), 5)
    says(watch, 'broker', false)
    watch.reaches(10).does('brokerLost:house', {
      kind: 'takeOutOfService',
      at: watch.now,
      by: 'Ada',
      reason: 'new router',
    })
    for (let m = 11; m <= 60; m++) watch.reaches(m)
    expect(watch.alarms.filter((line) => line.startsWith('raised')).length).toBe(3)
  })

  test('without animals in any place it is medium', () => {
    const empty = aWatch(aHousehold({ ...tortoiseBox, animals: [] }))
    says(empty, 'broker', false)
    empty.reaches(5)
    expect(empty.state.alarms.get('brokerLost:house' as never)?.priority).toBe('medium')
  })

  test('L7: the delay goes on over a restart', () => {
    const watch = quiet(aWatch(), 5)
    says(watch, 'broker', false)
    watch.reaches(8)
    const woken = fromSnapshot(toSnapshot(watch.state), tortoiseBox, profileOf)
    const [, effects] = stepWatch(woken, { kind: 'timePassed', at: (dusk + 600_000) as Instant })
    expect(effects.some((effect) => effect.kind === 'tell')).toBe(true)
  })
})

describe('N1: the other stages', () => {
  test.each<[Stage, string, number]>([
    ['store', 'storeFailing', 0.5],
    ['disk', 'diskNearlyFull', 1],
    ['clock', 'clockImplausible', 5],
    ['backup', 'backupFailing', 0],
    ['session', 'sessionLost', 0],
    ['loop', 'stalled', 0],
  ])('%s raises %s after its delay and not before', (stage, kind, after) => {
    const watch = quiet(aWatch(), 1)
    says(watch, stage, false)
    if (after > 0) expect(watch.reaches(1 + after - 0.001).alarms).toEqual([])
    expect(watch.reaches(1 + after).alarms).toEqual([`raised ${kind} at ${1 + after}`])
  })

  test('what is over as soon as it is said stands for ten minutes, so that it is seen', () => {
    const watch = quiet(aWatch(), 1)
    says(watch, 'loop', false, 'Judging stood still for 12 s.')
    says(watch, 'loop', true, 'Judging goes on.')
    expect(quiet(watch, 12).alarms).toEqual(['raised stalled at 1', 'returned stalled at 11'])
  })

  test('a stage that was never unwell has nothing to say', () => {
    const watch = aWatch()
    says(watch, 'backup', true)
    expect(watch.state.stages).toEqual({})
  })

  test('the animals are safe though the disk is nearly full: Tonight says both', () => {
    const watch = quiet(aWatch(), 1)
    says(watch, 'disk', false, 'Only 150 MB are free.')
    quiet(watch, 5)
    const alarms = [...watch.state.alarms.values()]
    expect(alarms).toHaveLength(1)
    const names = { place: String, sensor: String, contact: String }
    expect(answer(watch.places(), alarms, names)).toMatchObject({ standing: 'safe' })
  })

  test('but never while no reading comes in', () => {
    const watch = quiet(aWatch(), 1)
    says(watch, 'broker', false)
    watch.reaches(7)
    const names = { place: String, sensor: String, contact: String }
    expect(answer(watch.places(), [...watch.state.alarms.values()], names)).toEqual({
      standing: 'out',
      sentence: 'No: No reading comes in from any sensor: the broker is lost.',
    })
  })

  test('no order of reports leaves an alarm normal while its stage has been unwell for its delay', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.integer({ min: 1, max: 600 }), fc.boolean())), (reports) => {
        const watch = aWatch(aHousehold({}))
        let at = 0
        let unwellSince: number | null = null
        for (const [wait, isWell] of reports) {
          at += wait / 60
          says(watch.reaches(at), 'broker', isWell)
          if (isWell) unwellSince = null
          else unwellSince ??= at
        }
        watch.reaches(at + 1)
        const state = watch.state.alarms.get('brokerLost:house' as never)?.state.name ?? 'normal'
        if (unwellSince !== null && at + 1 >= unwellSince + 5) expect(state).toBe('unacknowledged')
        if (unwellSince === null) expect(['normal', 'returnedUnacknowledged']).toContain(state)
      }),
    )
  })
})

describe('N1: a battery', () => {
  const low = (watch: ReturnType<typeof aWatch>, minute: number, value: number) =>
    quiet(watch, minute).hears(value, 'probe', 'battery')

  test('at 15 % for an hour is told as low; at 16 % it is not', () => {
    expect(low(low(aWatch(), 0, 16), 90, 16).alarms).toEqual([])
    const watch = low(low(aWatch(), 0, 15), 90, 15)
    expect(watch.alarms).toEqual(['raised batteryLow probe at 60'])
    expect(watch.state.alarms.get('batteryLow:probe' as never)).toMatchObject({ priority: 'low', value: 15 })
  })

  test('a new one ends it; one that a warm hour lifted a little does not', () => {
    const watch = low(low(low(aWatch(), 0, 12), 90, 12), 120, 25)
    expect(watch.alarms).toHaveLength(1)
    expect(low(watch, 180, 100).alarms.at(-1)).toBe('returned batteryLow probe at 180')
  })

  test('in volts it is judged only where the sensor has a figure of its own', () => {
    const household = (lowVoltage?: number): Household =>
      aHousehold({
        ...tortoiseBox,
        sensors: [{ ...tortoiseBox.sensors[0], ...(lowVoltage === undefined ? {} : { lowVoltage }) }],
      })
    const tell = (watch: ReturnType<typeof aWatch>) =>
      quiet(quiet(watch, 0).hears(2.4, 'probe', 'voltage'), 90).hears(2.4, 'probe', 'voltage').alarms
    expect(tell(aWatch(household()))).toEqual([])
    expect(tell(aWatch(household(2.4)))).toEqual(['raised batteryLow probe at 60'])
  })

  test('the box with it is still safe', () => {
    const watch = low(low(aWatch(), 0, 5), 90, 5)
    expect(watch.place('box')?.standing).toBe('safe')
  })
})

describe('N1: thermometers in one place', () => {
  const two = aHousehold({
    ...tortoiseBox,
    sensors: [
      tortoiseBox.sensors[0] as object,
      { ...tortoiseBox.sensors[0], id: 'second', name: 'Second probe', topic: 'brumal/in/second' },
    ],
  })
  /** Both every minute to `minute`, `apart` kelvin between them. */
  function both(watch: ReturnType<typeof aWatch>, minute: number, apart: number) {
    for (let m = Math.ceil((watch.now - dusk) / 60_000); m <= minute; m++) {
      watch
        .reaches(m)
        .hears(4, 'probe')
        .hears(4 + apart, 'second')
    }
    return watch
  }

  test('two probes of ±0.5 K in a box may lie 2 K apart for ever, and 2.1 K for less than an hour', () => {
    expect(both(aWatch(two), 180, 2).alarms).toEqual([])
    expect(both(both(aWatch(two), 58, 2.1), 180, 1).alarms).toEqual([])
  })

  test('2.1 K for an hour is told as medium, and names both values', () => {
    const watch = both(aWatch(two), 70, 2.1)
    expect(watch.alarms).toEqual(['raised disagreeing at 60'])
    expect(watch.state.alarms.get('disagreeing:box' as never)).toMatchObject({ priority: 'medium' })
    expect(watch.state.alarms.get('disagreeing:box' as never)?.text).toMatch(
      /^One shows 4\.\d °C and another 6\.\d °C\.$/,
    )
    expect(both(watch, 100, 1).alarms.at(-1)).toBe('returned disagreeing at 81')
  })

  test('silence of one does not end it; taking one out of the house does', () => {
    const watch = both(aWatch(two), 70, 2.1)
    quiet(watch, 100)
    expect(watch.alarms.filter((line) => line.includes('disagreeing'))).toHaveLength(1)
    watch.becomes(tortoiseBox)
    expect(watch.alarms.at(-1)).toBe('returned disagreeing at 100')
  })

  test('air and substrate are not compared, nor the two ends of a warm enclosure', () => {
    const [first, second] = two.sensors
    const spots = aHousehold({ ...two, sensors: [first as object, { ...second, spot: 'substrate' }] })
    expect(both(aWatch(spots), 180, 2.5).alarms).toEqual([])
    const places = two.places.map((place) => (place.id === 'box' ? { ...place, kind: 'enclosure' } : place))
    expect(both(aWatch(aHousehold({ ...two, places })), 180, 2.5).alarms).toEqual([])
  })
})

test('A6: every kind of alarm has a headline, and a first thing to do that promises nothing', () => {
  const names = { place: () => 'Low shelf', sensor: () => 'Box probe', contact: () => 'Ada' }
  for (const kind of AlarmKind.options) {
    const alarm = {
      id: `${kind}:x` as never,
      kind,
      place: 'box' as never,
      sensor: 'probe' as never,
      contact: 'ada' as never,
      quantity: null,
      limit: null,
      priority: 'low',
      occurrence: 1,
      value: null,
      threshold: null,
      state: { name: 'unacknowledged', since: dusk as Instant },
    } as const
    expect(alarmHeadline(alarm, names)).toMatch(/^[A-Z].*[^.]$/)
    expect(firstThing(alarm, 'box')).toMatch(/^[A-Z].*[.?]$/)
  }
  expect(caution).toContain('vet')
})

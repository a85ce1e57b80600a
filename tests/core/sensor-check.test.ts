import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Household } from '../../schemas/household.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { longestCheck, SensorCheck } from '../../schemas/sensor-check.ts'
import { judgeOf } from '../../shared/judging/silence.ts'
import { aHousehold, aWatch, dusk, tortoiseBox } from '../support/story.ts'

const minute = 60_000

/** The same house, its probe under check from one minute since dusk to another. */
const checking = (since: number, until: number, home: Household = tortoiseBox, id = 'probe'): Household =>
  aHousehold({
    ...home,
    sensors: home.sensors.map((sensor) =>
      sensor.id === id
        ? { ...sensor, check: { since: dusk + since * minute, until: dusk + until * minute, by: 'Ada' } }
        : sensor,
    ),
  })

/** A quiet box up to `since`, whose probe is then taken away until `until`. */
function takenAway(since: number, until: number, home: Household = tortoiseBox) {
  const watch = aWatch(home)
  for (let m = 0; m < since; m++) watch.reaches(m).hears(5 + (m % 3) / 16)
  return watch.reaches(since).becomes(checking(since, until, home))
}

const qualities = (watch: ReturnType<typeof aWatch>): readonly string[] =>
  watch.effects.flatMap((effect) =>
    effect.kind === 'store' ? [`${(effect.reading.at - dusk) / minute} ${effect.quality}`] : [],
  )

describe('a sensor that is being checked does not speak for its place', () => {
  test('L2: from its beginning, included, to its end, excluded, readings are kept and not believed', () => {
    const watch = takenAway(10, 40)
    watch.hears(0.1).reaches(39.999).hears(0.1).reaches(40).hears(5)
    expect(qualities(watch).slice(-4)).toEqual(['9 good', '10 checking', '39.999 checking', '40 good'])
  })

  test('L5: a late reading out of the check is kept as one of the check, one from before it is not', () => {
    const watch = takenAway(10, 40)
    watch.reaches(20).hears(0.2)
    watch.hears(0.3, 'probe', 'temperature', dusk + 15 * minute)
    watch.hears(5, 'probe', 'temperature', dusk + 9.5 * minute)
    expect(qualities(watch).slice(-2)).toEqual(['15 checking', '9.5 good'])
  })

  test('L1: what is dangerously cold in the ice raises nothing, and at once does where it is still so after the end', () => {
    const watch = takenAway(10, 20).holds(-0.5, 19)
    expect(watch.alarms).toEqual([])
    for (let m = 20; m <= 25; m++) watch.reaches(m).hears(-0.5)
    expect(watch.alarms.some((line) => line.startsWith('raised lowCritical'))).toBe(true)
  })

  test('L10: its place is watched by nobody 30 min after the last believed value, and again from the first after the end', () => {
    const watch = takenAway(10, 60).holds(0, 38)
    expect(watch.reaches(38.999).hears(0).alarms).toEqual([])
    expect(watch.reaches(39).hears(0).alarms).toEqual(['raised unwatched at 39'])
    watch.holds(0, 59).reaches(60).hears(5).reaches(60.1)
    expect(watch.alarms).toEqual(['raised unwatched at 39', 'returned unwatched at 60.1'])
  })

  test('L10: an hour too short to miss it is none: ended before 30 min nothing is told', () => {
    const watch = takenAway(10, 35).holds(0, 34)
    for (let m = 35; m <= 90; m++) watch.reaches(m).hears(5 + (m % 3) / 16)
    expect(watch.alarms).toEqual([])
  })

  test('L4: a limit whose delay runs when the sensor is taken away is told at once, as by silence', () => {
    const watch = aWatch()
    for (let m = 0; m < 10; m++) watch.reaches(m).hears(5 + (m % 3) / 16)
    watch.reaches(10).hears(1.9).reaches(10.5).becomes(checking(10.5, 40))
    watch.reaches(10.6)
    expect(watch.alarms[0]).toMatch(/^raised low(Critical)? at 10\.5$/)
    // … and at once there is nobody who watches, for the last value was past a limit
    expect(watch.alarms).toContain('raised unwatched at 10.6')
  })

  test('L4: an alarm that stands when the check begins is neither ended by the bath nor by the check', () => {
    const watch = aWatch().holds(1, 40)
    const raised = watch.alarms.length
    expect(watch.alarms[0]).toMatch(/^raised low/)
    watch.becomes(checking(40, 60)).holds(5, 59)
    expect(watch.alarms.filter((line) => line.startsWith('returned'))).toEqual([])
    expect(watch.alarms.length - raised).toBe(1) // that nobody watches
    for (let m = 60; m <= 90; m++) watch.reaches(m).hears(5 + (m % 3) / 16)
    expect(watch.alarms.filter((line) => line.startsWith('returned low')).length).toBeGreaterThan(0)
  })

  test('N1: silence under check is told as ever', () => {
    const watch = takenAway(10, 200).holds(0, 15)
    for (let m = 16; m <= 30; m++) watch.reaches(m)
    expect(watch.alarms.some((line) => line.startsWith('raised silent probe'))).toBe(true)
  })

  test('N1: a sensor that stands still in the ice is neither stuck nor faulty, and its run begins anew after it', () => {
    const watch = takenAway(10, 250).holds(0, 249)
    expect(watch.alarms).toEqual(['raised unwatched at 39'])
    for (let m = 250; m <= 270; m++) watch.reaches(m).hears(5)
    expect(watch.alarms.filter((line) => /stuck|faulty/.test(line))).toEqual([])
  })

  test('N1: it is compared with no other thermometer of its place', () => {
    const two = aHousehold({
      ...tortoiseBox,
      sensors: [
        ...tortoiseBox.sensors,
        { ...tortoiseBox.sensors[0], id: 'other', name: 'Other probe', topic: 'brumal/in/other' },
      ],
    })
    const watch = aWatch(two)
    const both = (m: number, one: number, other: number) =>
      watch
        .reaches(m)
        .hears(one + (m % 3) / 16)
        .hears(other + (m % 2) / 16, 'other')
    for (let m = 0; m < 10; m++) both(m, 5, 5)
    watch.reaches(10).becomes(checking(10, 240, two))
    for (let m = 10; m < 240; m++) both(m, 0, 5)
    // The other one watches the box: nothing at all is told
    expect(watch.alarms).toEqual([])
    expect(watch.place('box')?.standing).toBe('safe')
  })

  test('L10: the box is judged by its fridge’s sensor from the beginning on, and says why', () => {
    const withFridge = aHousehold({
      ...tortoiseBox,
      sensors: [
        ...tortoiseBox.sensors,
        {
          ...tortoiseBox.sensors[0],
          id: 'shelf',
          name: 'Shelf probe',
          place: 'fridge',
          topic: 'brumal/in/shelf',
        },
      ],
    })
    const watch = aWatch(withFridge)
    for (let m = 0; m < 10; m++)
      watch
        .reaches(m)
        .hears(5 + (m % 3) / 16)
        .hears(5 + (m % 2) / 16, 'shelf')
    watch
      .reaches(10)
      .becomes(checking(10, 100, withFridge))
      .reaches(10.1)
    expect(watch.place('box')?.judgedBy).toBe('fridge')
    expect(watch.place('box')?.remarks).toContain(
      'Box probe is being checked, for 1 h 30 min more at most: what it reads says nothing about this place.',
    )
    for (let m = 11; m < 99; m++)
      watch
        .reaches(m)
        .hears(0)
        .hears(5 + (m % 2) / 16, 'shelf')
    expect(watch.alarms).toEqual([])
    watch.reaches(100).hears(5).reaches(100.1)
    expect(watch.place('box')?.judgedBy).toBe('box')
    expect(watch.place('box')?.remarks.some((remark) => remark.includes('being checked'))).toBe(false)
  })

  test('N1: its battery is its own, wherever it lies', () => {
    const watch = takenAway(10, 200)
    for (let m = 11; m < 190; m++) watch.reaches(m).hears(0).hears(2, 'probe', 'battery')
    expect(watch.alarms.some((line) => line.startsWith('raised batteryLow'))).toBe(true)
  })

  test('L7: a restart in the middle of a check changes nothing', () => {
    const watch = takenAway(10, 60).holds(0, 30)
    watch.restarts().listensAgain().holds(0, 37)
    expect(watch.alarms).toEqual([])
    watch.holds(0, 45)
    expect(watch.alarms).toEqual(['raised unwatched at 39'])
    expect(judgeOf(watch.state, 1)).toBeNull()
  })

  test('A1: the journal says once that a check ended by itself, and not where somebody ended it', () => {
    const endings = (watch: ReturnType<typeof aWatch>) =>
      watch.journal.filter((line) => line.text?.includes('ended by itself')).map((line) => line.at)
    const watch = takenAway(10, 20)
    expect(endings(watch.reaches(19.999))).toEqual([])
    watch.reaches(20).restarts().reaches(20.5)
    expect(endings(watch.reaches(30))).toEqual([dusk + 20 * minute])
    const byHand = takenAway(10, 60).reaches(15).becomes(checking(10, 15))
    expect(endings(byHand.reaches(16).reaches(61))).toEqual([])
  })

  test('whatever is read under check, what is told is the same (L10)', () => {
    const told = (values: readonly number[]) => {
      const watch = takenAway(10, 10 + values.length)
      values.forEach((value, i) => watch.reaches(10 + i).hears(value))
      for (let m = 10 + values.length; m < 20 + values.length; m++) watch.reaches(m).hears(5 + (m % 3) / 16)
      return watch.alarms
    }
    const value = fc.oneof(fc.double({ min: -60, max: 130, noNaN: true }), fc.constantFrom(0, 85, -127))
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 60 }), (values) => {
        expect(told(values)).toEqual(told(values.map(() => 5)))
      }),
      { numRuns: 40 },
    )
  })
})

describe('a check', () => {
  test('X3: lasts more than nothing and at most four hours', () => {
    const lasting = (ms: number) =>
      SensorCheck.safeParse({ since: dusk, until: dusk + ms, by: 'Ada' }).success
    expect([0, 1, longestCheck, longestCheck + 1].map(lasting)).toEqual([false, true, true, false])
  })

  test('L7: is part of the sensor, so that it survives a restart', () => {
    const [sensor] = checking(1, 5).sensors
    expect(Sensor.parse(JSON.parse(JSON.stringify(sensor)))).toEqual(sensor)
  })
})

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { isOut } from '../../shared/judging/limit.ts'
import { toSnapshot } from '../../shared/judging/snapshot.ts'
import { aHousehold, aWatch, dusk, tortoiseBox } from '../support/story.ts'

const cold = 'limit:box:temperature:lowCritical'

describe('a tortoise box by its species’ band', () => {
  test('−1 °C raises high priority after its on-delay, and not before', () => {
    const watch = aWatch().hears(5).unseenUntil(1).hears(-1).reaches(1.99)
    expect(watch.alarms).toEqual([])
    watch.reaches(2)
    expect(watch.alarms).toEqual(['raised lowCritical at 2'])
    expect(watch.state.alarms.get(cold as never)).toMatchObject({ priority: 'high', value: -1, threshold: 1 })
  })

  test('a whole night at 5 °C, give or take a sixteenth, raises nothing', () => {
    const watch = aWatch()
    for (let m = 0; m <= 720; m++) watch.reaches(m).hears(5 + (m % 3) / 16)
    expect(watch.alarms).toEqual([])
  })

  test('a probe that shows the very same value all night is stuck, and no longer watches', () => {
    const watch = aWatch().holds(5, 755)
    // last believed at minute 719
    expect(watch.alarms).toEqual(['raised stuck probe at 720', 'raised unwatched at 749'])
    expect(watch.place('box')?.standing).toBe('out')
  })

  test('the day begins with "Juno is safe", and not while the value is past its limit', () => {
    const watch = aWatch().hears(5)
    expect(watch.place('box')?.standing).toBe('safe')
    watch.unseenUntil(1).hears(2.9)
    expect(watch.place('box')).toMatchObject({ standing: 'leaving' })
    expect(watch.place('box')?.remarks.join()).toContain('past its limit')
  })

  test('too warm for half an hour is told as medium; ten degrees as high', () => {
    const watch = aWatch().holds(7.2, 40)
    expect(watch.alarms).toEqual(['raised high at 30'])
    watch.holds(10.5, 80)
    expect(watch.alarms).toEqual(['raised high at 30', 'raised highCritical at 71'])
  })

  test('while the critical limit stands the lesser one is quiet; it speaks when the critical one has come back', () => {
    const watch = aWatch().holds(0.5, 40)
    expect(watch.alarms).toEqual(['raised lowCritical at 1'])
    watch.holds(2, 50)
    expect(watch.alarms).toEqual([
      'raised lowCritical at 1',
      'returned lowCritical at 42',
      'raised low at 42',
    ])
    expect(watch.holds(5, 60).alarms.at(-1)).toBe('returned low at 52')
  })

  test('straight from frost into the band, the lesser limit is not announced on its way back', () => {
    const watch = aWatch().holds(0.5, 40).holds(5, 90)
    expect(watch.alarms).toEqual(['raised lowCritical at 1', 'returned lowCritical at 42'])
  })

  test('A1: back past the lesser limit while it is clearing, it speaks up after all', () => {
    const watch = aWatch().holds(0.5, 40).reaches(41).hears(2.5).reaches(41.5).hears(5).reaches(42)
    expect(watch.alarms).toEqual(['raised lowCritical at 1', 'returned lowCritical at 42'])
    expect(watch.reaches(42.2).hears(2.5).alarms.at(-1)).toBe('raised low at 42.2')
    expect(watch.holds(5, 70).alarms.at(-1)).toMatch(/^returned low at /)
  })

  test('humidity has limits of its own where the species has', () => {
    const python = aHousehold({
      places: [{ id: 'viv', name: 'Python enclosure', kind: 'enclosure' }],
      sensors: [{ id: 'probe', name: 'Probe', place: 'viv', topic: 'x', expectedEvery: 60_000 }],
      animals: [{ id: 'nox', name: 'Nox', species: 'python-regius', place: 'viv', mode: 'staysAwake' }],
    })
    const watch = aWatch(python)
    const unrest = (m: number) => (m % 7) / 10
    for (let m = 0; m <= 10 * 60; m += 2)
      watch
        .reaches(m)
        .hears(28 + unrest(m))
        .hears(35 + unrest(m), 'probe', 'humidity')
    expect(watch.alarms).toEqual(['raised low at 360'])
    expect(watch.journal.at(-1)).toMatchObject({ kind: 'raised', quantity: 'humidity', limit: 'low' })
  })
})

test('a basking spot may be hotter than the air of its enclosure may', () => {
  const python = (spot: string) =>
    aHousehold({
      places: [{ id: 'viv', name: 'Python enclosure', kind: 'enclosure' }],
      sensors: [{ id: 'probe', name: 'Probe', place: 'viv', spot, topic: 'x', expectedEvery: 60_000 }],
      animals: [{ id: 'nox', name: 'Nox', species: 'python-regius', place: 'viv', mode: 'staysAwake' }],
    })
  expect(aWatch(python('air')).holds(34.5, 120).alarms).toEqual(['raised high at 60'])
  expect(aWatch(python('basking')).holds(34.5, 120).alarms).toEqual([])
})

describe('bad readings (a bad reading never raises or clears a limit alarm by itself)', () => {
  test('85.0 from a DS18B20 is stored as bad and raises nothing', () => {
    const watch = aWatch().holds(5, 3).reaches(4).hears(85)
    expect(watch.effects.at(-1)).toMatchObject({ kind: 'store', quality: 'powerOn' })
    expect(watch.holds(5, 60).alarms).toEqual([])
  })

  test('a broken wire neither ends a cold alarm nor counts as watching', () => {
    const watch = aWatch().holds(0.5, 5)
    expect(watch.alarm(cold)).toBe('unacknowledged')
    watch.holds(-127, 30)
    expect(watch.alarm(cold)).toBe('unacknowledged')
    expect([...watch.alarms].sort()).toEqual([
      'raised faulty probe at 15',
      'raised lowCritical at 1',
      'raised unwatched at 15',
    ])
    expect(watch.place('box')?.standing).toBe('out')
  })
})

describe('time (L2, L5, L6)', () => {
  test('L5: a late reading is stored and moves nothing', () => {
    const watch = aWatch().holds(5, 10)
    const before = toSnapshot(watch.state)
    watch.hears(-1, 'probe', 'temperature', dusk + 2.5 * 60_000)
    expect(watch.effects.at(-1)).toMatchObject({ kind: 'store', late: true, quality: 'good' })
    expect(toSnapshot(watch.state)).toBe(before)
  })

  test('L5: the same reading twice is stored once', () => {
    const watch = aWatch().hears(5).hears(5)
    expect(watch.effects.filter((effect) => effect.kind === 'store')).toHaveLength(1)
  })

  test('L5: a reading stamped 60 s ahead is taken, one stamped 60.001 s ahead is set aside and said once', () => {
    const watch = aWatch().hears(5, 'probe', 'temperature', dusk + 60_000)
    expect(watch.effects.at(-1)).toMatchObject({ kind: 'store' })
    const ahead = aWatch()
      .hears(5, 'probe', 'temperature', dusk + 60_001)
      .hears(5, 'probe', 'temperature', dusk + 60_002)
    expect(ahead.effects.map((effect) => effect.kind).sort()).toEqual(['journal', 'setAside', 'setAside'])
    expect(ahead.place('box')?.remarks.join()).toContain('clock')
  })

  test('L5: a reading from two hours ahead cannot satisfy a delay early', () => {
    const watch = aWatch()
      .hears(-1)
      .hears(-1, 'probe', 'temperature', dusk + 120 * 60_000)
      .unseenUntil(0.5)
      .reaches(0.5)
    expect(watch.alarms).toEqual([])
  })
})

describe('silence (L4, L10, N1)', () => {
  test('a silent probe raises its alarm and, being the only one, that nobody watches', () => {
    const watch = aWatch().holds(5, 3).reaches(12.9)
    expect(watch.alarms).toEqual([])
    watch.reaches(13)
    expect(watch.alarms).toEqual(['raised silent probe at 13'])
    expect(watch.place('box')).toMatchObject({ judgedBy: null, standing: 'out' })
    watch.reaches(32.9)
    expect(watch.alarms).toHaveLength(1)
    watch.reaches(33)
    expect(watch.alarms.slice(1)).toEqual(['raised unwatched at 33'])
    watch.reaches(40).hears(5)
    watch.reaches(40.5)
    expect(watch.alarms.slice(2).sort()).toEqual([
      'returned silent probe at 40',
      'returned unwatched at 40.5',
    ])
  })

  test('L10: a gap in a battery radio of less than half an hour rings no high alarm', () => {
    const watch = aWatch().holds(5, 3).reaches(20).hears(5).reaches(60).hears(5)
    expect(watch.alarms.filter((line) => line.includes('unwatched'))).toEqual(['raised unwatched at 50'])
    const back = aWatch().holds(5, 3).reaches(32.9).hears(5).reaches(33.5)
    expect(back.alarms.filter((line) => line.includes('unwatched'))).toEqual([])
  })

  test('L10: past a limit, nobody watches as soon as the value is stale', () => {
    const watch = aWatch().holds(5, 3).reaches(4).hears(2.5).reaches(14)
    expect(watch.alarms).toContain('raised unwatched at 14')
  })

  test('L4: out and silent before the delay has run: both are raised at once', () => {
    const watch = aWatch().holds(5, 3).reaches(4).hears(2.5).reaches(14)
    expect(watch.alarms).toContain('raised low at 14')
    expect(watch.alarms).toContain('raised silent probe at 14')
  })

  test('L10: a box without a working probe is judged by its fridge’s, and says so', () => {
    const two = aHousehold({
      ...tortoiseBox,
      sensors: [
        ...tortoiseBox.sensors,
        {
          id: 'air',
          name: 'Fridge air',
          place: 'fridge',
          topic: 'y',
          type: 'ds18b20',
          expectedEvery: 60_000,
        },
      ],
    })
    const watch = aWatch(two).hears(5)
    watch.holds(5, 20, 'air')
    expect(watch.alarms).toEqual(['raised silent probe at 10'])
    expect(watch.place('box')).toMatchObject({ judgedBy: 'fridge' })
    expect(watch.place('box')?.remarks.join()).toContain('Cellar fridge')
    watch.holds(0.5, 30, 'air')
    expect(watch.alarm('limit:fridge:temperature:lowCritical')).toBe('unacknowledged')
    expect(watch.place('box')?.standing).toBe('out')
  })

  test('a place that is being set up is given ten minutes before it counts as unwatched', () => {
    const none = aHousehold({ ...tortoiseBox, sensors: [] })
    const watch = aWatch(none).reaches(0).reaches(9.9)
    expect(watch.alarms).toEqual([])
    expect(watch.reaches(10).alarms).toEqual(['raised unwatched at 10'])
  })
})

describe('tending (A3) and hiding (A2)', () => {
  const warm = 'limit:box:temperature:highCritical'

  test('A3: while the box is tended the high side is quiet, and what is still out at the end is raised', () => {
    const watch = aWatch().hears(5).tends('fridge', 45)
    watch.holds(12, 44)
    expect(watch.alarms).toEqual([])
    watch.reaches(45)
    expect(watch.alarms).toEqual(['raised highCritical at 45'])
    expect(watch.alarm(warm)).toBe('unacknowledged')
  })

  test('A2: the cold side is never hidden by tending', () => {
    const watch = aWatch().hears(5).tends('box', 30).unseenUntil(1).holds(0.5, 5)
    expect(watch.alarms).toEqual(['raised lowCritical at 2'])
  })

  test('tending ended early raises at once what is still out', () => {
    const watch = aWatch().hears(5).tends('box', 30)
    watch.holds(12, 34).tends('box', 0)
    expect(watch.alarm(warm)).toBe('unacknowledged')
  })

  test('A2: a shelved alarm that is still out when its time ends is told afresh', () => {
    const watch = aWatch().holds(0.5, 5)
    const [at, until] = [watch.now, (watch.now + 60 * 60_000) as Instant]
    watch.does(cold, { kind: 'shelve', at, until, by: 'Ada', reason: 'probe in my hand' }).holds(0.5, 64)
    expect(watch.alarm(cold)).toBe('shelved')
    watch.reaches(65)
    expect(watch.alarms).toEqual(['raised lowCritical at 1', 'raised lowCritical at 65'])
  })
})

describe('restart (L7)', () => {
  test('a delay that was running goes on where it was', () => {
    const watch = aWatch().holds(5, 3).reaches(4).hears(2.5).unseenUntil(10).restarts().listensAgain()
    watch.hears(2.5)
    expect(watch.alarms).toEqual([])
    expect(watch.holds(2.5, 34).alarms).toEqual(['raised low at 34'])
  })

  test('the daemon’s own absence is nobody’s silence: sensors get their whole time again', () => {
    const watch = aWatch().holds(5, 3).unseenUntil(180).restarts().listensAgain().reaches(189.9)
    expect(watch.alarms).toEqual([])
    expect(watch.reaches(190).alarms).toEqual(['raised silent probe at 190', 'raised unwatched at 190'])
  })

  test('what was out when the watch broke off is raised before anything else', () => {
    const watch = aWatch().holds(5, 3).reaches(4).hears(2.5).unseenUntil(180).restarts().listensAgain()
    expect(watch.alarms).toEqual(['raised low at 14'])
  })

  test('A1: no order of values leaves a raised limit past its value without its alarm, or its critical one’s', () => {
    const happening = fc.record({
      wait: fc.constantFrom(0.2, 0.5, 1, 3, 20, 40),
      value: fc.constantFrom(-1, 0.9, 1, 1.6, 2.5, 3, 3.2, 5, 6.8, 7.2, 9.7, 10.5),
    })
    fc.assert(
      fc.property(fc.array(happening, { maxLength: 60 }), (happenings) => {
        const watch = aWatch()
        let minute = 0
        for (const { wait, value } of happenings) {
          minute += wait
          watch.reaches(minute).hears(value)
          const { limits = [], good } = watch.state.sensors[0]?.series.temperature ?? {}
          const rules = watch.state.places[1]?.rules.limits.temperature ?? []
          const isOutNow = (n: number) => {
            const [limit, state] = [rules[n], limits[n]]
            return Boolean(limit && state?.name === 'out' && good && isOut(limit, good.value))
          }
          const names = ['lowCritical', 'low', 'high', 'highCritical']
          const standing = (n: number) => watch.alarm(`limit:box:temperature:${names[n]}`) !== 'normal'
          for (const [n, beyond] of [
            [0, 0],
            [1, 0],
            [2, 3],
            [3, 3],
          ] as const)
            if (isOutNow(n)) expect([names[n], standing(n) || standing(beyond)]).toEqual([names[n], true])
        }
      }),
    )
  })

  const lagging = {
    ...tortoiseBox,
    places: tortoiseBox.places.map((place) => ({ ...place, animalLag: minutes(20) })),
  }
  test.each([
    ['the air alone', tortoiseBox],
    ['air and animal, which follows it (L11)', lagging],
  ])('any story is told the same whether or not the watch restarts in between: %s', (_, household) => {
    const happening = fc.record({
      wait: fc.integer({ min: 0, max: 20 }),
      value: fc.double({ min: -2, max: 12, noNaN: true }),
      restart: fc.boolean(),
    })
    fc.assert(
      fc.property(fc.array(happening, { maxLength: 40 }), (happenings) => {
        const [one, other] = [aWatch(household), aWatch(household)]
        let minute = 0
        for (const { wait, value, restart } of happenings) {
          minute += wait
          for (const watch of [one, other]) watch.reaches(minute).hears(value)
          if (restart) other.restarts()
        }
        expect(other.journal).toEqual(one.journal)
        expect(toSnapshot(other.state)).toBe(toSnapshot(one.state))
      }),
    )
  })
})

describe('a household that changes', () => {
  test('an alarm ends when the animal that needed the limit moves out, and says why', () => {
    const watch = aWatch().holds(0.5, 5)
    watch.becomes({ ...tortoiseBox, animals: [] })
    expect(watch.journal.at(-1)).toMatchObject({ kind: 'returned', text: 'The limit no longer applies.' })
  })

  test('a probe moved to another box starts with clean limits there', () => {
    const two = aHousehold({
      ...tortoiseBox,
      places: [...tortoiseBox.places, { id: 'box2', name: 'Second box', kind: 'box' }],
    })
    const watch = aWatch(two).holds(0.5, 5)
    watch.becomes({ ...two, sensors: two.sensors.map((sensor) => ({ ...sensor, place: 'box2' as never })) })
    expect(watch.state.sensors[0]?.series.temperature?.limits.every((limit) => limit.name === 'inside')).toBe(
      true,
    )
  })

  test('a plan that reaches hold judges the held value by the new band from that instant', () => {
    const planned = aHousehold({
      ...tortoiseBox,
      animals: [{ ...tortoiseBox.animals[0], plan: [{ phase: 'hold', from: dusk + 20 * 60_000 }] }],
    })
    const watch = aWatch(planned).holds(8, 49)
    expect(watch.alarms).toEqual([])
    expect(watch.holds(8, 60).alarms).toEqual(['raised high at 50'])
  })
})

test('readings from a sensor that nobody claimed change nothing', () => {
  const watch = aWatch()
  const before = toSnapshot(watch.state)
  watch.hears(-5, 'stranger')
  expect([toSnapshot(watch.state), watch.effects]).toEqual([before, []])
})

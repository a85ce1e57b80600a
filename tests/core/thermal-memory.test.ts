import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'
import { toSnapshot } from '../../shared/judging/snapshot.ts'
import { packThermal, unpackThermal } from '../../shared/judging/thermal-pack.ts'
import {
  aFridgeWatch,
  fridgeHouse,
  inOrder,
  peoplesDoors,
  saidBy,
  type Said,
} from '../support/fridge-story.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy, type Truth } from '../support/practice-curve.ts'

const probe = { place: 1, every: minutes(1), noise: 0.05, step: 1 / 16, lost: 0.02 }
const airOf = (truth: readonly Truth[]) => saidBy('air', shownBy(truth, probe, 5))
const soilOf = (truth: readonly Truth[]) =>
  saidBy('soil', shownBy(truth, { place: 2, every: minutes(2), noise: 0.03, step: 1 / 16 }, 5))
const doors = peoplesDoors(6)

/** A day and a half with all that goes wrong: a power cut, a door ajar, a thermostat stuck on. */
const bad = practiceCurve(cellarFridge(), days(1.5), 3, (elapsed) => ({
  open: doors(elapsed) || (elapsed > hours(24) && elapsed < hours(25)),
  powered: elapsed < hours(14) || elapsed > hours(18),
  ...(elapsed > hours(31) ? { stuck: true } : {}),
}))
const contact: readonly Said[] = [0, 9.2, 9.21, 24, 25].map((hour, i) => ({
  at: later(curveStart, hours(hour) + 1),
  sensor: 'door',
  quantity: 'door',
  value: i % 2 === 0 ? 0 : 1,
}))
const allThatHappens = inOrder(airOf(bad), soilOf(bad), contact)
const wholeHouse = fridgeHouse({ soil: true, contact: true })

describe('L7: what a curve remembers survives a restart', () => {
  const unbroken = aFridgeWatch(wholeHouse).hears(allThatHappens)

  test('the story has all of it: not cooling, ajar, cooling without a stop, and a limit ahead', () => {
    const kinds = new Set(unbroken.alarms.map(({ alarmKind }) => alarmKind))
    for (const kind of ['notCooling', 'doorAjar', 'alwaysCooling', 'limitAhead'])
      expect(kinds).toContain(kind)
  })

  test('restarted at any readings it tells the same, and remembers the same', () => {
    const breaks = fc.uniqueArray(fc.nat({ max: allThatHappens.length - 1 }), { minLength: 1, maxLength: 5 })
    fc.assert(
      fc.property(breaks, (at) => {
        const broken = aFridgeWatch(wholeHouse)
        let from = 0
        for (const n of [...at].sort((one, other) => one - other)) {
          broken.hears(allThatHappens.slice(from, n)).restarts()
          from = n
        }
        broken.hears(allThatHappens.slice(from))
        expect(broken.journal).toEqual(unbroken.journal)
        expect(toSnapshot(broken.state)).toBe(toSnapshot(unbroken.state))
      }),
      { numRuns: 10 },
    )
  })

  test('packed and brought back it is the same at every tenth reading', () => {
    const watch = aFridgeWatch(wholeHouse)
    for (let n = 0; n < allThatHappens.length; n += 10) {
      watch.hears(allThatHappens.slice(n, n + 10))
      for (const sensor of ['air', 'soil']) {
        const thermal = watch.thermal(sensor)
        if (thermal === undefined) continue
        const text = JSON.stringify(packThermal(thermal))
        expect(unpackThermal(JSON.parse(text) as never)).toEqual(thermal)
      }
    }
  })
})

test('N3: the clock is set in the middle of it, and everything is told at the same age', () => {
  const air = airOf(bad)
  const plain = aFridgeWatch().hears(air)
  for (const [hour, by] of [
    [15.1, hours(5)],
    [24.3, -hours(3)],
  ] as const) {
    const was = later(curveStart, hours(hour) + seconds(2))
    const jumped = aFridgeWatch().hears(air.filter(({ at }) => at < was))
    const before = jumped.alarms.length
    jumped.is({ kind: 'clockJumped', was, at: later(was, by), text: 'It was set.' })
    jumped.hears(air.filter(({ at }) => at > was).map((said) => ({ ...said, at: later(said.at, by) })))
    const what = ({ kind, alarmKind, limit }: JournalEntry) => `${kind} ${alarmKind} ${limit}`
    expect(jumped.alarms.map((entry, i) => [entry.at - (i < before ? 0 : by), what(entry)])).toEqual(
      plain.alarms.map((entry) => [entry.at, what(entry)]),
    )
  }
})

describe('what is not learnt from', () => {
  const air = airOf(bad).slice(0, 700)
  const learnt = () => aFridgeWatch(fridgeHouse({ fridge: { animalLag: hours(5) } })).hears(air)
  const last = air.at(-1)?.at ?? curveStart
  const says = (value: number, at: Instant): Said => ({ at, sensor: 'air', quantity: 'temperature', value })

  test('L5: a late or repeated reading changes nothing', () => {
    const watch = learnt()
    const before = watch.thermal()
    watch.hears([says(20, last), says(20, later(last, -minutes(3)))])
    expect(watch.thermal()).toBe(before)
    expect(watch.hears([says(5, later(last, minutes(1)))]).thermal()).not.toBe(before)
  })

  test.each([
    ['the value before a first conversion', 85],
    ['a broken wire', -127],
    ['a jump that no second reading confirms', 25],
  ])('%s (%d °C)', (_, value) => {
    const watch = learnt()
    const before = watch.thermal()
    expect(watch.hears([says(value, later(last, minutes(1)))]).thermal()).toBe(before)
  })

  test('a place of another kind, a basking spot and humidity', () => {
    const house = fridgeHouse()
    const warm = { ...house, places: house.places.map((place) => ({ ...place, kind: 'enclosure' as const })) }
    expect(aFridgeWatch(warm).hears(air).thermal()).toBeUndefined()
    const spot = { ...house, sensors: house.sensors.map((one) => ({ ...one, spot: 'basking' as const })) }
    expect(aFridgeWatch(spot).hears(air).thermal()).toBeUndefined()
    const damp = air.map((said) => ({ ...said, quantity: 'humidity' as const, value: 60 + said.value }))
    expect(aFridgeWatch(house).hears(damp).thermal('air', 'humidity')).toBeUndefined()
  })

  test('the air of a box in a fridge whose own air is read: one door is one line', () => {
    const house = fridgeHouse()
    const boxToo = {
      ...house,
      sensors: [...house.sensors, { ...house.sensors[0], id: 'inner', place: 'box' }],
    }
    const watch = aFridgeWatch(boxToo as never)
    watch.hears(
      inOrder(
        air,
        air.map((said) => ({ ...said, sensor: 'inner' })),
      ),
    )
    expect(watch.thermal('inner')).toBeUndefined()
    expect(watch.thermal('air')?.cycle).not.toBeNull()
    // Without the fridge's own, the box's is read.
    expect(
      aFridgeWatch({ ...boxToo, sensors: boxToo.sensors.slice(1) } as never)
        .hears(air.map((said) => ({ ...said, sensor: 'inner' })))
        .thermal('inner')?.cycle,
    ).not.toBeNull()
  })
})

test('the day of the room is not learnt as the fridge’s own: after a week without power it still does not cool', () => {
  const truth = practiceCurve(cellarFridge({}, { mean: 12, swing: 5 }), days(9), 3, (elapsed) => ({
    powered: elapsed < days(2),
  }))
  const watch = aFridgeWatch(fridgeHouse({ animals: false })).hears(
    airOf(truth).filter(({ at }) => at < curveStart + days(2.5)),
  )
  const usual = watch.thermal()?.cycle?.learning.usual
  watch.hears(airOf(truth).filter(({ at }) => at >= curveStart + days(2.5)))
  expect(watch.told.filter((one) => one.endsWith('notCooling'))).toEqual(['raised notCooling'])
  expect(watch.thermal()?.cycle?.learning.usual).toEqual(usual)
})

describe('a sensor that moves, and a place that changes', () => {
  const cut = airOf(bad).filter(({ at }) => at < curveStart + hours(16))
  const now = later(cut.at(-1)?.at ?? curveStart, 1000)
  const told = () => aFridgeWatch().hears(cut)

  test('moved to another place it begins anew, and what it said of the old one ends', () => {
    const watch = told()
    expect(watch.told.filter((one) => !one.includes('limit'))).toEqual(['raised notCooling'])
    const house = fridgeHouse()
    const moved = { ...house, sensors: house.sensors.map((one) => ({ ...one, place: 'box' as PlaceId })) }
    watch.becomes(moved, now)
    expect(watch.thermal()).toBeUndefined()
    expect(watch.first('notCooling', 'returned')?.text).toBe('No curve here says so any more.')
  })

  test('a time constant entered later begins the animal’s side anew and keeps the cycle', () => {
    const watch = told()
    const cycle = watch.thermal()?.cycle
    watch.becomes(fridgeHouse({ fridge: { animalLag: hours(5) } }), now)
    expect(watch.thermal()?.cycle).toEqual(cycle)
    const [next] = airOf(bad).filter(({ at }) => at > now)
    expect(watch.hears(next === undefined ? [] : [next]).thermal()?.early).toMatchObject({ tau: hours(5) })
    watch.becomes(fridgeHouse({ fridge: { animalLag: hours(2) } }), later(now, minutes(2)))
    expect(watch.thermal()?.early).toBeNull()
    expect(
      watch.alarms.some(({ kind, alarmKind }) => kind === 'returned' && alarmKind === 'notCooling'),
    ).toBe(false)
  })
})

describe('a gap', () => {
  test('of a day raises nothing that the curve did not show', () => {
    const truth = practiceCurve(cellarFridge(), days(4), 3)
    const gap = (at: Instant) => at > curveStart + days(2) && at < curveStart + days(3)
    const watch = aFridgeWatch().hears(airOf(truth).filter(({ at }) => !gap(at)))
    expect(watch.told).toEqual(['raised silent', 'returned silent'])
    expect(watch.thermal()?.cycle?.learning.usual).not.toBeNull()
  })

  test('L2, L4: a delay runs out between readings, and in the silence after them', () => {
    const cut = airOf(bad).filter(({ at }) => at < curveStart + hours(16))
    const due = aFridgeWatch().hears(cut).first('notCooling')?.at ?? curveStart
    const heard = cut.filter(({ at }) => at <= due - minutes(4))
    const silent = aFridgeWatch().hears(heard)
    expect(silent.first('notCooling')).toBeUndefined()
    silent.is({ kind: 'timePassed', at: later(due, minutes(30)) })
    expect(silent.first('notCooling')?.at).toBe(due)
  })

  test('L4: silence ends nothing: not cooling stands through an hour without a reading', () => {
    const cut = airOf(bad).filter(({ at }) => at < curveStart + hours(17.5))
    const gap = (at: Instant) => at > curveStart + hours(15.7) && at < curveStart + hours(16.7)
    const watch = aFridgeWatch().hears(cut.filter(({ at }) => !gap(at)))
    expect(watch.told.filter((one) => one.endsWith('notCooling'))).toEqual(['raised notCooling'])
  })
})

test('X3: whatever is read, it never throws, keeps what text can keep, and stays under 2 kB a sensor', () => {
  const value = fc.oneof(
    fc.double({ min: -60, max: 130, noNaN: true }),
    fc.double({ min: -5, max: 20, noNaN: true }),
    fc.constantFrom(0, -0, 85, -127, 1e-300, 4, 5),
  )
  const wait = fc.constantFrom(
    1,
    200,
    seconds(20),
    minutes(1),
    minutes(5),
    minutes(14),
    minutes(16),
    hours(7),
    days(3),
  )
  const sensor = fc.constantFrom('air', 'air', 'air', 'soil', 'door')
  const happening = fc.record({ value, wait, sensor, repeat: fc.integer({ min: 1, max: 12 }) })
  let most = 0
  fc.assert(
    fc.property(fc.array(happening, { maxLength: 60 }), (told) => {
      const watch = aFridgeWatch(fridgeHouse({ soil: true, contact: true, fridge: { animalLag: hours(1) } }))
      let at: number = curveStart
      for (const { value: base, wait: ms, sensor: who, repeat } of told)
        for (let i = 0; i < repeat; i++) {
          at += ms
          const isDoor = who === 'door'
          const shown = isDoor ? (base > 5 ? 1 : 0) : base + (i % 2) * 3
          watch.hears([
            { at: instant(at), sensor: who, quantity: isDoor ? 'door' : 'temperature', value: shown },
          ])
        }
      const text = toSnapshot(watch.state)
      const back = aFridgeWatch(watch.state.layout.household)
      expect(toSnapshot(watch.restarts().state)).toBe(text)
      expect(back.journal).toEqual([])
      for (const name of ['air', 'soil']) {
        const thermal = watch.thermal(name)
        if (thermal !== undefined) most = Math.max(most, JSON.stringify(packThermal(thermal)).length)
      }
    }),
    { numRuns: 150 },
  )
  expect(most).toBeLessThan(2000)
})

test('X3: after ten days a curve is no bigger than after five', () => {
  const truth = practiceCurve(cellarFridge({}, { mean: 18, swing: 2 }), days(10), 7, (elapsed) => ({
    open: doors(elapsed),
  }))
  const watch = aFridgeWatch(fridgeHouse({ fridge: { animalLag: hours(5) } }))
  const size = () => JSON.stringify(packThermal(watch.thermal() ?? (null as never))).length
  const air = airOf(truth)
  watch.hears(air.filter(({ at }) => at < curveStart + days(8)))
  const before = size()
  watch.hears(air.filter(({ at }) => at >= curveStart + days(8)))
  expect(size()).toBeLessThan(before + 100)
  expect(size()).toBeLessThan(2000)
})

import { describe, expect, test } from 'vitest'
import { hours, instant, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { conductanceFrom, holdOver, meltingHeat, waterHeat } from '../../shared/thermal/hold-over.ts'
import { lagShares, startLag, stepLag } from '../../shared/thermal/lag.ts'
import { forecastOf, timeConstants, timesTo, type Outlook } from '../../shared/thermal/forecast.ts'
import { fitOneNode } from '../../shared/thermal/fit-nodes.ts'
import { newtonCooling } from '../support/newton-cooling.ts'

// Textbook problem data are from memory; the figures marked "recomputed" were worked out from the formula named.

const known = (celsius: number) => ({ celsius, uncertainty: 0 })
const lump = (tau: number, from: number, towards: number): Outlook => ({
  model: { nodes: 1, tau: millis(Math.round(tau)), share: 0 },
  air: known(from),
  load: known(from),
  towards: known(towards),
  isRoomMeasured: true,
})
const hoursTo = (outlook: Outlook, celsius: number, of: 'air' | 'load' = 'load'): number => {
  const side = celsius > outlook[of].celsius ? 'high' : 'low'
  const [time] = timesTo(outlook, [{ of, celsius, side }])
  return (time?.likely ?? Number.NaN) / hours(1)
}

describe('lumped capacitance (L11)', () => {
  test('Incropera, Fundamentals of Heat and Mass Transfer, Ex. 5.1: a thermocouple bead of τ 1 s reads 199 °C in gas at 200 °C after 5.2 s', () => {
    const [density, heat, convection, diameter] = [8500, 400, 400, 7.06e-4]
    const tau = (density * diameter * heat) / (6 * convection)
    expect(tau).toBeCloseTo(1.0002, 4)
    const takes = hoursTo(lump(tau * 1000, 25, 200), 199) * 3600
    expect(takes).toBeCloseTo(5.2, 1)
    expect(takes).toBeCloseTo(5.165, 2)
  })

  test('Çengel, Heat Transfer, Ex. 4-1: a bead of 1 mm has done 99 % of its way after 10 s', () => {
    const b = (6 * 210) / (8500 * 320 * 0.001)
    expect(b).toBeCloseTo(0.4632, 4)
    // Biot number, of k 35 W/(m·K): a lump, for it is far below 0.1.
    expect((210 * (0.001 / 6)) / 35).toBeCloseTo(0.001, 6)
    const tau = 1000 / b
    expect(hoursTo(lump(tau, 0, 100), 99) * 3600).toBeCloseTo(9.94, 2)
    const { kept } = lagShares(seconds(10), tau, 'held')
    expect(1 - kept).toBeGreaterThan(0.99)
  })

  test('Çengel, Heat Transfer, Ex. 4-2: a body of 37 °C in a room at 20 °C is at 25 °C after 12.2 h', () => {
    const [radius, length] = [0.15, 1.7]
    const characteristic = (radius ** 2 * length) / (2 * radius * length + 2 * radius ** 2)
    const b = 8 / (996 * 4178 * characteristic)
    expect(characteristic).toBeCloseTo(0.0689, 4)
    expect(b).toBeCloseTo(2.79e-5, 7)
    // Biot number 0.89, of k 0.617 W/(m·K): no lump, as the book says itself; a rough figure.
    expect((8 * characteristic) / 0.617).toBeCloseTo(0.89, 2)
    const takes = hoursTo(lump(1000 / b, 37, 20), 25)
    expect(takes).toBeCloseTo(12.2, 1)
    expect(Math.abs(takes * 3600 - 43_860)).toBeLessThan(20)
  })

  test.each(newtonCooling)(
    'a box of τ $tau h left at 5 °C in air of $room °C is at $to °C after $takes h',
    ({ tau, room, to, takes }) => {
      expect(hoursTo(lump(hours(tau), 5, room), to)).toBeCloseTo(takes, 4)
      const made = { conductance: 1, capacity: tau * 3600, from: 5, to, room, litres: 0, freezes: false }
      expect((holdOver(made) ?? Number.NaN) / hours(1)).toBeCloseTo(takes, 4)
      const air = { at: instant(0), celsius: room }
      const lag = stepLag(startLag(air, 5), { ...air, at: instant(Math.round(hours(takes))) }, hours(tau))
      expect(Math.abs(lag.celsius - to)).toBeLessThan(0.001) // the published hours have four digits
    },
  )

  test('5.0 and an hour later 6.2 °C in a room at 20 °C are a τ of 11.9931 h (recomputed); with the room taken for 18 °C it comes out a seventh too short', () => {
    const tau = 1 / Math.log((20 - 5) / (20 - 6.2))
    expect(tau).toBeCloseTo(11.9931, 4)
    const readings = (room: number) =>
      Array.from({ length: 61 }, (_, i) => ({
        at: instant(minutes(i)),
        celsius: 20 - 15 * Math.exp(-i / 60 / tau),
        room,
      }))
    expect((fitOneNode(readings(20), 0)?.tau ?? 0) / hours(1)).toBeCloseTo(11.9931, 3)
    // By the two ends alone 10.3253 h; the 61 readings, which do not lie on the wrong curve, agree to 0.01 h.
    expect(1 / Math.log((18 - 5) / (18 - 6.2))).toBeCloseTo(10.3253, 4)
    expect((fitOneNode(readings(18), 0)?.tau ?? 0) / hours(1)).toBeCloseTo(10.33, 1)
  })
})

// Two lumps in series: C_air 2000 J/K, C_load 41 860 J/K (10 kg of water), UA 1 W/K, K 2 W/K, both at
// 5 °C when the power fails in a room at 20 °C. Exact eigen-solution, recomputed.
describe('two nodes (L11)', () => {
  const fridge: Outlook = {
    model: {
      nodes: 2,
      constants: { outside: seconds(2000), inside: seconds(1000), load: seconds(20_930) },
      covariance: [
        [0, 0, 0],
        [0, 0, 0],
        [0, 0, 0],
      ],
    },
    air: known(5),
    load: known(5),
    towards: known(20),
    isRoomMeasured: true,
  }

  test('the time constants are 652.7 s and 64 137 s', () => {
    const [slow = 0, fast = 0] = timeConstants(fridge.model)
    expect(fast / 1000).toBeCloseTo(652.7, 1)
    expect(slow / 1000).toBeCloseTo(64_137, 0)
  })

  test.each([
    { after: 10, air: 7.9755, load: 5.0484 },
    { after: 60, air: 10.329, load: 5.6736 },
    { after: 180, air: 11.3732, load: 7.1943 },
    { after: 360, air: 12.7101, load: 9.1789 },
    { after: 720, air: 14.7945, load: 12.273 },
    { after: 1440, air: 17.3458, load: 16.06 },
  ])('after $after min the air is at $air and the load at $load °C', ({ after, air, load }) => {
    expect(forecastOf(fridge, 'air')(minutes(after)).celsius).toBeCloseTo(air, 4)
    expect(forecastOf(fridge, 'load')(minutes(after)).celsius).toBeCloseTo(load, 4)
  })

  test('8 °C is met by the air after 0.169 h, by the load only after 4.158 h', () => {
    expect(hoursTo(fridge, 8, 'air')).toBeCloseTo(0.169, 3)
    expect(hoursTo(fridge, 8, 'load')).toBeCloseTo(4.158, 3)
  })
})

describe('hold-over', () => {
  const water = { conductance: 1, capacity: 0, from: 5, to: 8, room: 20, litres: 10, freezes: false }

  test('10 litres of water at 1 W/K in a room at 20 °C last from 5 to 8 °C for 2.595 h (recomputed)', () => {
    expect((holdOver(water) ?? 0) / hours(1)).toBeCloseTo(2.595, 3)
    expect((10 * waterHeat * 3) / 1000).toBeCloseTo(125.58, 2) // kJ
    expect((10 * waterHeat * 3) / 3600).toBeCloseTo(34.9, 1) // Wh
  })

  test('the mean load of that way, 13.5 W, would say 2.584 h: near, and always too short', () => {
    const byMean = (10 * 4186 * 3) / (1 * (20 - (5 + 8) / 2)) / 3600
    expect(byMean).toBeCloseTo(2.584, 3)
    expect((holdOver(water) ?? 0) / hours(1)).toBeGreaterThan(byMean)
  })

  test.each([
    [0, 4217.6],
    [10, 4192.1],
    [20, 4181.8],
  ])(
    'water of %d °C takes %d J/(kg·K) (CRC handbook, from memory): the one figure used is within 1 %%',
    (_, heat) => {
      expect(Math.abs(waterHeat / heat - 1)).toBeLessThan(0.01)
    },
  )

  test('1 kg of ice takes up 15 W for 6.18 h, 5 kg for 30.9 h (334 kJ/kg rounded; CRC handbook 333.55, from memory)', () => {
    expect(meltingHeat / 15 / 3600).toBeCloseTo(6.18, 2)
    expect(Math.abs(meltingHeat / 15 / 3600 / 6.185 - 1)).toBeLessThan(0.002)
    const ice = { conductance: 1, capacity: 0, from: 0, to: 1e-9, room: 15, freezes: true }
    expect((holdOver({ ...ice, litres: 1 }) ?? 0) / hours(1)).toBeCloseTo(6.177, 3)
    expect((holdOver({ ...ice, litres: 5 }) ?? 0) / hours(1)).toBeCloseTo(30.9, 1)
  })

  test('water that freezes at −5 °C holds 1 litre at 0 °C for 18.5 h and more on the way down', () => {
    const down = { conductance: 1, capacity: 0, from: 5, to: -1, room: -5, litres: 1, freezes: true }
    const sensible = (4186 * Math.log(10 / 5) + 2100 * Math.log(5 / 4)) / 3600
    expect((holdOver(down) ?? 0) / hours(1)).toBeCloseTo(sensible + 333_550 / 5 / 3600, 3)
    expect(holdOver({ ...down, freezes: false })).toBeLessThan(hours(2))
    // As far as 0 °C nothing has frozen yet.
    expect((holdOver({ ...down, to: 0 }) ?? 0) / hours(1)).toBeCloseTo((4186 * Math.log(2)) / 3600, 4)
  })

  test('what is met already takes no time, what lies beyond the room is never met', () => {
    expect(holdOver({ ...water, to: 5 })).toBe(0)
    expect(holdOver({ ...water, to: 20 })).toBeNull()
    expect(holdOver({ ...water, to: 4 })).toBeNull()
    expect(holdOver({ ...water, room: 5, to: 5.1 })).toBeNull()
  })

  test('20 litres more that make τ 23.26 h longer mean 1 W/K through the walls', () => {
    expect(conductanceFrom(hours(5), hours(5 + (20 * 4186) / 3600), 20)).toBeCloseTo(1, 4)
    expect(conductanceFrom(hours(5), hours(5), 20)).toBeNull()
    expect(conductanceFrom(hours(5), hours(6), 0)).toBeNull()
  })
})

import { describe, expect, test } from 'vitest'
import { bodySteps, type Body } from '../trials/body.ts'
import { usualMean, usualWeather } from '../trials/outside.ts'

describe('the body of a place', () => {
  const still = { coolerWatts: 0, heaterWatts: 0, open: 0, fan: 1, wall: 1 }
  // The two nodes of the practice physics: air and 10 kg of water; plate and animal hang on nothing.
  const water: Body = {
    air: 2000,
    plate: 1000,
    box: 41_860,
    animal: 1000,
    airPlate: 0,
    plateOut: 0,
    airOut: 1,
    airBox: 2,
    boxAnimal: 0,
    boxGround: 0,
    openDoor: 12,
  }

  test.each([
    { after: 10, air: 7.9755, product: 5.0484 },
    { after: 60, air: 10.329, product: 5.6736 },
    { after: 720, air: 14.7945, product: 12.273 },
  ])(
    'without power: after $after min the air is at $air and the water at $product °C (exact eigen-solution, calculated)',
    ({ after, air, product }) => {
      const step = bodySteps(water, 60)
      let nodes = [5, 5, 5, 5] as const as ReturnType<typeof step>
      for (let m = 0; m < after; m++) nodes = step(nodes, 20, 0, still)
      expect(nodes[0]).toBeCloseTo(air, 4)
      expect(nodes[2]).toBeCloseTo(product, 4)
    },
  )

  test('a bare animal of τ 1 h is at 8 °C 0.2231 h after it comes from 5 into 20 °C (Newton, calculated)', () => {
    const bare = { ...water, box: 1e12, animal: 3600, boxAnimal: 1, airBox: 0 }
    const step = bodySteps(bare, 3600 * 0.2231)
    expect(step([20, 20, 20, 5], 20, 0, still)[3]).toBeCloseTo(8, 2)
  })

  test('heat put in and taken out is there and gone: 10 W for an hour into a closed body', () => {
    const closed = { ...water, airOut: 0 }
    const step = bodySteps(closed, 60)
    let nodes = [5, 5, 5, 5] as const as ReturnType<typeof step>
    for (let m = 0; m < 60; m++) nodes = step(nodes, 20, 0, { ...still, heaterWatts: 10, coolerWatts: 4 })
    expect((nodes[0] - 5) * 2000 + (nodes[2] - 5) * 41_860).toBeCloseTo(36_000, 3)
    expect((nodes[1] - 5) * 1000).toBeCloseTo(-14_400, 3)
  })

  test('an open door, a dead fan and a thin wall each change what they are about, and only while they last', () => {
    const whole = { ...water, plate: 1e6, airPlate: 6, plateOut: 1 }
    const step = bodySteps(whole, 600)
    const from = [5, -10, 5, 5] as const as ReturnType<typeof step>
    const usual = step(from, 20, 0, still)
    expect(step(from, 20, 0, { ...still, open: 1 })[0]).toBeGreaterThan(usual[0] + 3)
    expect(step(from, 20, 0, { ...still, fan: 0.1 })[0]).toBeGreaterThan(usual[0] + 1)
    expect(step(from, -10, 0, { ...still, wall: 4 })[0]).toBeLessThan(step(from, -10, 0, still)[0])
    expect(step(from, 20, 0, still)).toEqual(usual)
  })
})

describe('the weather (NOAA hourly normals for Seattle, 1981–2010)', () => {
  test('1 January 01:00 is 4.0 °C in the north; in the south half a year later', () => {
    expect(usualWeather(Date.UTC(2026, 0, 1, 1), 'north')).toBeCloseTo(4, 9)
    expect(usualWeather(Date.UTC(2026, 6, 2, 13), 'south')).toBeCloseTo(4, 9)
    expect(usualWeather(Date.UTC(2026, 0, 1, 1), 'south')).toBeGreaterThan(12)
  })

  test('the mean of its winter lies between its coldest and its warmest winter hour', () => {
    expect(usualMean).toBeGreaterThan(3.1)
    expect(usualMean).toBeLessThan(8)
  })
})

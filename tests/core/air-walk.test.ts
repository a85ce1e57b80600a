import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { celsius, instant, later } from '../../schemas/amounts.ts'
import type { Kilopascal } from '../../schemas/units.ts'
import { airPair } from '../../shared/air/air-sensor.ts'
import {
  type AirChannel,
  type AirWalk,
  humidityOfDeficit,
  startAirWalk,
  walkAirReading,
  walkAirTo,
} from '../../shared/air/air-walk.ts'
import { meanDeficit } from '../../shared/air/evaporation.ts'
import { behindOneDoor, doorOf, roomOf } from '../../shared/air/one-door.ts'
import { dewPoint, saturationFao, vapourPressureDeficit } from '../../shared/air/psychrometrics.ts'

const start = instant(Date.UTC(2026, 11, 1))
const minute = 60_000
const holds = 10 * minute

type Said = readonly [channel: AirChannel, minutes: number, value: number]
const walked = (said: readonly Said[], until: number, surfaces = 1): AirWalk =>
  walkAirTo(
    said.reduce(
      (walk, [channel, at, value]) => walkAirReading(walk, channel, later(start, at * minute), value, holds),
      startAirWalk(start, surfaces),
    ),
    later(start, until * minute),
  )

describe('air through a stretch', () => {
  test('L2: temperature and humidity count together until the first of them is stale, and not a moment longer', () => {
    const before = walked(
      [
        ['celsius', 0, 5],
        ['percent', 0, 80],
      ],
      10,
    )
    expect([before.drying.known, before.drying.unknown]).toEqual([10 * minute, 0])
    const after = walked(
      [
        ['celsius', 0, 5],
        ['percent', 0, 80],
        ['celsius', 8, 5],
      ],
      30,
    )
    expect([after.drying.known, after.drying.unknown]).toEqual([10 * minute, 20 * minute])
  })

  test('the deficit is weighed by time: FAO-56 equation 11 over half an hour each', () => {
    const said = [0, 10, 20, 30, 40, 50].flatMap((at): Said[] => [
      ['celsius', at, at < 30 ? 20 : 5],
      ['percent', at, 50],
    ])
    const mean = ((saturationFao(celsius(20)) + saturationFao(celsius(5))) / 2) * 0.5
    // The first temperature of the second half comes before its humidity, which is the same
    expect(meanDeficit(walked(said, 60).drying)).toBeCloseTo(mean, 9)
  })

  test('the coldest of the fresh surfaces is asked: wet at the dew point, dry a degree above what sensors can tell', () => {
    const dew = dewPoint(celsius(5), 80) ?? Number.NaN
    const air: Said[] = [
      ['celsius', 0, 5],
      ['percent', 0, 80],
      [0, 0, dew + 4],
    ]
    expect(walked([...air, [1, 0, dew]], 5, 2).wetting).toEqual({
      wet: 5 * minute,
      near: 0,
      dry: 0,
      unknown: 0,
    })
    expect(walked([...air, [1, 0, dew + 0.3]], 5, 2).wetting.near).toBe(5 * minute)
    expect(walked(air, 5, 2).wetting.dry).toBe(5 * minute)
  })

  test('without a surface whether one is wet is unknown, while the drying is known', () => {
    const { drying, wetting } = walked(
      [
        ['celsius', 0, 5],
        ['percent', 0, 80],
      ],
      10,
    )
    expect([drying.known, wetting.unknown]).toEqual([10 * minute, 10 * minute])
  })

  test('readings that do not ascend are a mistake', () => {
    expect(() =>
      walked(
        [
          ['celsius', 5, 5],
          ['percent', 4, 80],
        ],
        10,
      ),
    ).toThrow(RangeError)
  })

  test('whatever is said, every moment is in exactly one time, and stopping in between changes nothing', () => {
    const saying = fc.tuple(
      fc.constantFrom<AirChannel>('celsius', 'percent', 0, 1),
      fc.integer({ min: 0, max: 120 }),
      fc.double({ min: -5, max: 40, noNaN: true }),
    )
    fc.assert(
      fc.property(fc.array(saying, { maxLength: 30 }), fc.integer({ min: 120, max: 200 }), (said, middle) => {
        const inOrder = said.toSorted((one, other) => one[1] - other[1])
        const whole = walked(inOrder, 200, 2)
        const { wet, near, dry, unknown } = whole.wetting
        expect(wet + near + dry + unknown).toBe(200 * minute)
        expect(whole.drying.known + whole.drying.unknown).toBe(200 * minute)
        const halved = walkAirTo(walked(inOrder, middle, 2), later(start, 200 * minute))
        expect(halved.wetting).toEqual(whole.wetting)
        expect(halved.drying.sum).toBeCloseTo(whole.drying.sum, 3)
      }),
    )
  })
})

describe('a deficit as the air that people know', () => {
  test('is the inverse of FAO-56 equation 11', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (at, rh) => {
          expect(humidityOfDeficit(vapourPressureDeficit(celsius(at), rh), celsius(at))).toBeCloseTo(rh, 6)
        },
      ),
    )
  })

  test('is none where no air of that temperature is so dry', () => {
    const most = saturationFao(celsius(5))
    expect(humidityOfDeficit(most, celsius(5))).toBe(0)
    expect(humidityOfDeficit((most * 1.001) as Kilopascal, celsius(5))).toBeNull()
  })
})

describe('which sensors speak of the air', () => {
  const one = (id: string, spot: 'air' | 'substrate', has: string) => ({
    id,
    spot,
    hasTemperature: has.includes('t'),
    hasHumidity: has.includes('h'),
  })
  const ids = (...all: ReturnType<typeof one>[]) => {
    const pair = airPair(all)
    return pair && [pair.humidity.id, pair.temperature.id]
  }

  test('one that tells both before two, and one in the air before one in the soil', () => {
    expect(ids(one('a', 'air', 't'), one('b', 'substrate', 'th'))).toEqual(['b', 'b'])
    expect(ids(one('a', 'substrate', 'th'), one('b', 'air', 'th'))).toEqual(['b', 'b'])
    expect(ids(one('a', 'substrate', 't'), one('b', 'air', 't'), one('c', 'air', 'h'))).toEqual(['c', 'b'])
  })

  test('none where one of the two is missing', () => {
    expect(ids(one('a', 'air', 't'))).toBeNull()
    expect(ids(one('a', 'air', 'h'))).toBeNull()
  })
})

describe('who shares one air', () => {
  const place = (id: string, kind: 'room' | 'fridge' | 'box' | 'frame', parent: string | null) => ({
    id,
    kind,
    parent,
  })
  const places = [
    place('larder', 'room', null),
    place('fridge', 'fridge', 'larder'),
    place('top', 'box', 'fridge'),
    place('frame', 'frame', 'larder'),
  ]

  test('a box is behind the door of its fridge, and stands in its fridge’s room; a frame stands behind none', () => {
    expect([doorOf('top', places)?.id, roomOf('top', places)?.id]).toEqual(['fridge', 'larder'])
    expect([doorOf('frame', places), roomOf('frame', places)?.id]).toEqual([null, 'larder'])
    expect(roomOf('larder', places)).toBeNull()
    expect(behindOneDoor('larder', places)).toEqual(new Set(['larder', 'frame']))
  })

  test('a ring of parents ends', () => {
    const ring = [place('a', 'box', 'b'), place('b', 'box', 'a')]
    expect([doorOf('a', ring), roomOf('a', ring)]).toEqual([null, null])
  })
})

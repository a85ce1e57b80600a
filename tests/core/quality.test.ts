import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Quantity } from '../../schemas/quantity.ts'
import { Quality } from '../../schemas/reading.ts'
import { SensorType } from '../../schemas/sensor.ts'
import { hours, instant, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { elements } from '../../shared/sensing/elements.ts'
import {
  confirmWithin,
  isSaturatedForLong,
  judgeAlone,
  judgeQuality,
  noHistory,
  type QualityState,
  saturatedAfter,
  spikeStep,
  spikeWindow,
  stuckReadings,
} from '../../shared/sensing/quality.ts'

const start = instant(Date.UTC(2026, 11, 24, 20))
const after = (ms: number): Instant => instant(start + ms)

interface Judged {
  readonly verdicts: Quality[]
  readonly state: QualityState
}

/** Judges values at the sensor's own pace, or at the instants given. */
function judge(
  values: readonly number[],
  {
    type = 'ds18b20',
    quantity = 'temperature',
    every = seconds(60),
    expectedEvery = seconds(60),
    from = noHistory,
    at = (i: number) => after(i * every),
  }: {
    type?: SensorType
    quantity?: Quantity
    every?: Millis
    expectedEvery?: Millis
    from?: QualityState
    at?: (i: number) => Instant
  } = {},
): Judged {
  let state = from
  const verdicts = values.map((value, i) => {
    const [next, verdict] = judgeQuality(state, { quantity, value, at: at(i) }, { type, expectedEvery })
    state = next
    return verdict
  })
  return { verdicts, state }
}

const verdicts = (values: readonly number[], how: Parameters<typeof judge>[1] = {}) =>
  judge(values, how).verdicts

describe('a first reading is judged by range and fault values only', () => {
  const ends: readonly [SensorType, number, number, string][] = [
    ['ds18b20', -55, 125, 'Maxim DS18B20 data sheet, value from memory'],
    ['dht22', -40, 80, 'Aosong AM2302 data sheet, value from memory'],
    ['sht3x', -40, 125, 'Sensirion SHT3x data sheet, value from memory'],
    ['bme280', -40, 85, 'Bosch BME280 data sheet, value from memory'],
    ['pt1000', -200, 850, 'IEC 60751, value from memory'],
    ['other', -55, 125, 'as DS18B20'],
    ['contact', -55, 125, 'as DS18B20'],
  ]
  it.each(ends)('%s measures from %d to %d °C, ends included (%s)', (type, lowest, highest) => {
    expect(verdicts([lowest], { type })).toEqual(['good'])
    expect(verdicts([lowest - 0.01], { type })).toEqual(['outOfRange'])
    expect(verdicts([highest], { type })).toEqual(['good'])
    expect(verdicts([highest + 0.01], { type })).toEqual(['outOfRange'])
  })

  it('every element has a range that holds an animal room, −20 to 50 °C', () => {
    for (const type of SensorType.options) {
      expect(verdicts([-20], { type }), type).toEqual(['good'])
      expect(verdicts([50], { type }), type).toEqual(['good'])
      expect(elements[type].lowest).toBeLessThan(elements[type].highest)
    }
  })

  it('a believable value is good, zero and negative too', () => {
    for (const value of [5, 0, -0, -1.5, 31]) {
      for (const type of SensorType.options) expect(verdicts([value], { type })).toEqual(['good'])
    }
  })

  it('what is no number is out of range', () => {
    for (const value of [Number.NaN, Infinity, -Infinity]) {
      for (const quantity of ['temperature', 'humidity', 'battery', 'voltage', 'door', 'power'] as const) {
        expect(verdicts([value], { quantity })).toEqual(['outOfRange'])
      }
    }
  })
})

describe('fault values', () => {
  it('85.0 °C from a probe that starts anew is never believed, however often it comes', () => {
    for (const type of ['ds18b20', 'other', 'contact'] as const) {
      expect(verdicts([85], { type })).toEqual(['powerOn'])
      expect(verdicts([5, 85, 85, 85, 5.1], { type })).toEqual([
        'good',
        'powerOn',
        'powerOn',
        'powerOn',
        'good',
      ])
      expect(verdicts([(185 - 32) / 1.8], { type })).toEqual(['powerOn'])
    }
  })

  it('85.0 °C is believed of a probe that was within 2 K of it', () => {
    expect(verdicts([83, 85, 86])).toEqual(['good', 'good', 'good'])
    expect(verdicts([82.9, 85])).toEqual(['good', 'powerOn'])
    expect(verdicts([87, 85])).toEqual(['good', 'good'])
    expect(verdicts([87.1, 85])).toEqual(['good', 'powerOn'])
  })

  it('85.0 °C beside it, or of an element that does not start so, is a value like others', () => {
    expect(verdicts([84.9375])).toEqual(['good'])
    expect(verdicts([85.0625])).toEqual(['good'])
    expect(verdicts([85.004])).toEqual(['powerOn'])
    for (const type of ['sht3x', 'ntc', 'pt1000', 'bme280'] as const)
      expect(verdicts([85], { type })).toEqual(['good'])
  })

  it('−127 °C is a wire that broke', () => {
    for (const type of ['ds18b20', 'other', 'contact'] as const) {
      expect(verdicts([5, -127, -127, 5], { type })).toEqual(['good', 'busOpen', 'busOpen', 'good'])
    }
    expect(verdicts([-126])).toEqual(['outOfRange'])
    expect(verdicts([-127], { type: 'pt1000' })).toEqual(['good'])
  })

  it('all-zero and all-one codes of an SHT3x are saturated: −45 and 130 °C, 0 %RH', () => {
    expect(verdicts([5, -45, 130, 5], { type: 'sht3x' })).toEqual(['good', 'saturated', 'saturated', 'good'])
    expect(verdicts([-44.9, 129.9], { type: 'sht3x' })).toEqual(['outOfRange', 'outOfRange'])
    expect(verdicts([0, 50], { type: 'sht3x', quantity: 'humidity' })).toEqual(['saturated', 'good'])
  })

  it('the ends of a thermistor’s scale are an open or shorted circuit', () => {
    expect(verdicts([5, -40, 125, 5], { type: 'ntc' })).toEqual([
      'good',
      'openCircuit',
      'openCircuit',
      'good',
    ])
    expect(verdicts([-39.9], { type: 'ntc' })).toEqual(['good'])
    expect(verdicts([124.9], { type: 'ntc' })).toEqual(['good'])
    expect(verdicts([-40.1], { type: 'ntc' })).toEqual(['outOfRange'])
    expect(verdicts([125.1], { type: 'ntc' })).toEqual(['outOfRange'])
  })

  it('−242 °C of a Pt1000 is a circuit of no resistance', () => {
    for (const value of [-242, -242.02, -241.9])
      expect(verdicts([value], { type: 'pt1000' })).toEqual(['openCircuit'])
    expect(verdicts([-240], { type: 'pt1000' })).toEqual(['outOfRange'])
  })

  it('0 °C with 0 %RH of a DHT22 is a line held low; 0 °C may be real, 0 %RH never is', () => {
    expect(verdicts([0], { type: 'dht22', quantity: 'humidity' })).toEqual(['busLow'])
    expect(verdicts([0.1], { type: 'dht22', quantity: 'humidity' })).toEqual(['good'])
    expect(verdicts([5, 0, 5], { type: 'dht22' })).toEqual(['good', 'busLow', 'good'])
  })
})

describe('exactly 0.0 °C near freezing is never thrown away', () => {
  it('a box that passes through zero is believed at every reading', () => {
    const falling = [2, 1.5, 1, 0.5, 0, -0.5, 0, 0.5, 0, 0]
    expect(verdicts(falling)).toEqual(falling.map(() => 'good'))
    expect(verdicts([2, 0])).toEqual(['good', 'good'])
    expect(verdicts([-2, 0])).toEqual(['good', 'good'])
  })

  it('a jump of more than 2 K on to it waits for one reading', () => {
    expect(verdicts([2.1, 0])).toEqual(['good', 'busLow'])
    expect(verdicts([-2.1, 0])).toEqual(['good', 'busLow'])
    expect(verdicts([5, 0, 0])).toEqual(['good', 'busLow', 'good'])
    expect(verdicts([5, 0, -1])).toEqual(['good', 'busLow', 'good'])
    expect(verdicts([5, 0, 4.9, 5])).toEqual(['good', 'busLow', 'good', 'good'])
  })

  it('elements whose zero code is no zero degrees are not doubted', () => {
    for (const type of ['sht3x', 'ntc', 'pt1000', 'bme280'] as const) {
      expect(verdicts([5, 0], { type })).toEqual(['good', 'good'])
    }
  })
})

describe('a jump', () => {
  it('of 10 K is believed, of more waits for the next reading', () => {
    expect(verdicts([5, 5 + spikeStep])).toEqual(['good', 'good'])
    expect(verdicts([5, 5 + spikeStep + 0.0625])).toEqual(['good', 'spike'])
    expect(verdicts([5, 5 - spikeStep])).toEqual(['good', 'good'])
    expect(verdicts([5, 5 - spikeStep - 0.0625])).toEqual(['good', 'spike'])
  })

  it('is confirmed by a second value within 5 K, on either side', () => {
    expect(verdicts([5, 30, 30])).toEqual(['good', 'spike', 'good'])
    expect(verdicts([5, 30, 30 - confirmWithin, 25])).toEqual(['good', 'spike', 'good', 'good'])
    expect(verdicts([5, 30, 30 - confirmWithin - 0.0625])).toEqual(['good', 'spike', 'spike'])
    expect(verdicts([5, 30, 30 + confirmWithin])).toEqual(['good', 'spike', 'good'])
  })

  it('that goes back stays a spike, and the old level is good again', () => {
    expect(verdicts([5, 30, 5.1, 5])).toEqual(['good', 'spike', 'good', 'good'])
    expect(verdicts([5, -30, 5.1, 30, 5])).toEqual(['good', 'spike', 'good', 'spike', 'good'])
  })

  it('up and then down again is not confirmed by its own opposite', () => {
    expect(verdicts([5, 30, -20, 30, 5])).toEqual(['good', 'spike', 'spike', 'good', 'good'].with(3, 'spike'))
  })

  it('of a door open into air of −20 °C is judged one reading late, though every step is large', () => {
    // Newton: from 20 °C, time constant 3 min, one reading a minute.
    const falling = [0, 1, 2, 3, 4, 5].map((minute) => -20 + 40 * Math.exp(-minute / 3))
    expect(Math.abs((falling[2] ?? 0) - (falling[1] ?? 0))).toBeGreaterThan(confirmWithin)
    expect(verdicts(falling)).toEqual(['good', 'spike', 'good', 'good', 'good', 'good'])
  })

  it('that keeps growing is not what cools or warms', () => {
    expect(verdicts([5, 16, 28, 60])).toEqual(['good', 'spike', 'spike', 'spike'])
  })

  it('is doubted up to three intervals after the last believed reading, not later', () => {
    const at = (gap: number) => (i: number) => after(i * gap)
    expect(verdicts([5, 30], { at: at(minutes(3)) })).toEqual(['good', 'spike'])
    expect(verdicts([5, 30], { at: at(minutes(3) + 1) })).toEqual(['good', 'good'])
  })

  it('of a sender slower than set up is measured by its own pace', () => {
    expect(verdicts([5, 5, 60, 5], { every: minutes(5) })).toEqual(['good', 'good', 'spike', 'good'])
  })

  it('is believed at once after half an hour, whatever the pace: waiting would cost more', () => {
    const how = { expectedEvery: hours(1) }
    expect(verdicts([5, 30], { ...how, every: spikeWindow })).toEqual(['good', 'spike'])
    expect(verdicts([5, 30], { ...how, every: millis(spikeWindow + 1) })).toEqual(['good', 'good'])
  })

  it('is confirmed across a power-on value in between', () => {
    expect(verdicts([5, 30, 85, 30])).toEqual(['good', 'spike', 'powerOn', 'good'])
  })

  it('of humidity is everyday: a door opens, the mister runs', () => {
    expect(verdicts([40, 95, 40], { quantity: 'humidity' })).toEqual(['good', 'good', 'good'])
  })
})

describe('a value that has stopped moving', () => {
  const flat = (count: number) => Array.from({ length: count }, () => 5.0625)

  it.each([
    ['sht3x', 6],
    ['bme280', 6],
    ['ntc', 6],
    ['pt1000', 6],
    ['ds18b20', 12],
    ['dht22', 24],
    ['other', 24],
    ['contact', 24],
  ] as const)('%s is stuck after %d h of the same value, not a minute earlier', (type, lasts) => {
    const { verdicts: all } = judge(flat(lasts * 60 + 2), { type })
    expect(all.indexOf('stuck')).toBe(lasts * 60)
    expect(all.slice(lasts * 60)).toEqual(['stuck', 'stuck'])
  })

  it('of a slow sender is not stuck before its 60th reading', () => {
    const { verdicts: all } = judge(flat(stuckReadings + 1), { type: 'sht3x', every: minutes(30) })
    expect(all.indexOf('stuck')).toBe(stuckReadings - 1)
  })

  it('is good again with the smallest move, and counts anew', () => {
    const { state } = judge(flat(800), { type: 'sht3x' })
    const [moved, verdict] = judgeQuality(
      state,
      { quantity: 'temperature', value: 5.07, at: after(hours(14)) },
      { type: 'sht3x', expectedEvery: seconds(60) },
    )
    expect(verdict).toBe('good')
    expect(moved.runCount).toBe(1)
  })

  it('with the least jitter never is', () => {
    const noisy = Array.from({ length: 1500 }, (_, i) => 5 + (i % 2) * 0.01)
    expect(new Set(verdicts(noisy, { type: 'sht3x' }))).toEqual(new Set(['good']))
  })

  it('of humidity is not doubted; saturation beyond 12 h is a remark', () => {
    const wet = { quantity: 'humidity', type: 'sht3x' } as const
    const span = saturatedAfter / minutes(1)
    const upTo = judge(
      Array.from({ length: span + 1 }, () => 100),
      wet,
    )
    expect(new Set(upTo.verdicts)).toEqual(new Set(['good']))
    expect(isSaturatedForLong(upTo.state)).toBe(false)
    expect(
      isSaturatedForLong(
        judge(
          Array.from({ length: span + 2 }, (_, i) => 100 + (i % 2)),
          wet,
        ).state,
      ),
    ).toBe(true)
    expect(
      isSaturatedForLong(
        judge(
          Array.from({ length: span + 2 }, () => 99.9),
          wet,
        ).state,
      ),
    ).toBe(false)
    expect(isSaturatedForLong(noHistory)).toBe(false)
  })
})

describe('other quantities are judged by their range', () => {
  it.each([
    ['humidity', [0.1, 50, 100, 105], [-0.1, 105.1]],
    ['battery', [0, 55, 100], [-1, 101]],
    ['voltage', [0, 3, 230], [-0.1, 1001]],
    ['door', [0, 1], [0.5, 2, -1]],
    ['power', [0, 1], [0.5, 2, -1]],
  ] as const)('%s', (quantity, good, bad) => {
    for (const value of good) expect(verdicts([value], { quantity }), String(value)).toEqual(['good'])
    for (const value of bad) expect(verdicts([value], { quantity }), String(value)).toEqual(['outOfRange'])
  })
})

describe('late and repeated readings (L5)', () => {
  it('are judged alone and change nothing', () => {
    const { state } = judge([5, 5.1, 5.2])
    for (const ms of [0, 60_000, 120_000]) {
      for (const [value, verdict] of [
        [40, 'good'],
        [0, 'good'],
        [85, 'powerOn'],
        [200, 'outOfRange'],
      ] as const) {
        const reading = { quantity: 'temperature', value, at: after(ms) } as const
        const [next, said] = judgeQuality(state, reading, { type: 'ds18b20', expectedEvery: seconds(60) })
        expect(next).toBe(state)
        expect(said).toBe(verdict)
        expect(judgeAlone(reading, 'ds18b20')).toBe(verdict)
      }
    }
  })

  it('of other quantities too', () => {
    expect(judgeAlone({ quantity: 'humidity', value: 0 }, 'dht22')).toBe('busLow')
    expect(judgeAlone({ quantity: 'door', value: 1 }, 'contact')).toBe('good')
    const { state } = judge([50, 60], { quantity: 'humidity' })
    const late = judgeQuality(
      state,
      { quantity: 'humidity', value: 70, at: start },
      { type: 'sht3x', expectedEvery: seconds(60) },
    )
    expect(late).toEqual([state, 'good'])
  })
})

const anyType = fc.constantFrom(...SensorType.options)
const anyQuantity = fc.constantFrom<Quantity>(
  'temperature',
  'humidity',
  'battery',
  'voltage',
  'door',
  'power',
)
const anyLevel = fc.double({ min: -10, max: 35, noNaN: true })
const anyPace = fc.integer({ min: 5_000, max: 1_800_000 }).map(millis)
/** Wander of a place at rest, in kelvin, small against every threshold. */
const anyWander = fc.array(fc.double({ min: -0.9, max: 0.9, noNaN: true }), { minLength: 2, maxLength: 40 })

describe('whatever comes', () => {
  it('a single wild value in a steady series is never good, and no other is lost', () => {
    fc.assert(
      fc.property(
        anyType,
        anyLevel,
        anyPace,
        anyWander,
        anyWander,
        fc.double({ min: -300, max: 300, noNaN: true }),
        (type, level, every, before, afterwards, wild) => {
          const values = [...before.map((w) => level + w), wild, ...afterwards.map((w) => level + w)]
          fc.pre(Math.abs(wild - (level + (before.at(-1) ?? 0))) > spikeStep)
          const all = verdicts(values, { type, every, expectedEvery: every })
          expect(all[before.length]).not.toBe('good')
          expect(all.filter((_, i) => i !== before.length)).toEqual(
            [...before, ...afterwards].map(() => 'good'),
          )
        },
      ),
      { numRuns: 1000 },
    )
  })

  it('two consecutive close values after a jump are accepted at the second', () => {
    fc.assert(
      fc.property(
        anyType,
        anyPace,
        fc.array(fc.double({ min: -39, max: 79, noNaN: true }), { minLength: 1, maxLength: 20 }),
        fc.double({ min: -34, max: 74, noNaN: true }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        (type, every, history, level, step) => {
          fc.pre(Math.abs(level + step - level) <= confirmWithin)
          const all = verdicts([...history, level, level + step], { type, every, expectedEvery: every })
          expect(all.at(-1)).toBe('good')
        },
      ),
      { numRuns: 1000 },
    )
  })

  it('a body that follows Newton’s law is judged one reading late at most', () => {
    fc.assert(
      fc.property(
        anyType,
        fc.double({ min: -25, max: 50, noNaN: true }),
        fc.double({ min: -25, max: 50, noNaN: true }),
        fc.double({ min: 0.05, max: 100, noNaN: true }),
        (type, from, to, timeConstant) => {
          const body = Array.from({ length: 12 }, (_, i) => to + (from - to) * Math.exp(-i / timeConstant))
          const bad = verdicts(body, { type }).flatMap((verdict, i) => (verdict === 'good' ? [] : [i]))
          for (const i of bad) expect(bad).not.toContain(i + 1)
        },
      ),
      { numRuns: 1000 },
    )
  })

  it('there is a verdict, the same each time, from a state that survives JSON', () => {
    const anyReading = fc.record({
      value: fc.oneof(
        fc.double(),
        fc.double({ min: -60, max: 140, noNaN: true }),
        fc.constantFrom(0, -0, 85, -127, -45, 130, -40, 125, -242, 100, 5, 5, 5),
      ),
      at: fc.integer({ min: 0, max: 400_000 }).map(after),
    })
    fc.assert(
      fc.property(
        anyType,
        anyQuantity,
        anyPace,
        fc.array(anyReading, { maxLength: 60 }),
        (type, quantity, pace, list) => {
          let state = noHistory
          let stored = noHistory
          for (const { value, at } of list) {
            const sensor = { type, expectedEvery: pace }
            const before = JSON.stringify(state)
            const [next, verdict] = judgeQuality(state, { quantity, value, at }, sensor)
            const [restored, again] = judgeQuality(stored, { quantity, value, at }, sensor)
            expect(Quality.options).toContain(verdict)
            expect(again).toBe(verdict)
            expect(JSON.stringify(state)).toBe(before)
            expect(next.good === null || Number.isFinite(next.good)).toBe(true)
            expect(Object.keys(next)).toEqual(Object.keys(noHistory))
            state = next
            stored = JSON.parse(JSON.stringify(restored)) as QualityState
          }
          expect(JSON.stringify(stored)).toBe(JSON.stringify(state))
        },
      ),
      { numRuns: 500 },
    )
  })
})

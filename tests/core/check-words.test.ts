import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../schemas/units.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { longestCheck, SensorCheck } from '../../schemas/sensor-check.ts'
import { correctionOf } from '../../shared/sensing/found-correction.ts'
import { referenceOf, shownBy, steadyHumidity } from '../../shared/sensing/comparison.ts'
import { startIcePoint, stepIcePoint } from '../../shared/sensing/ice-point.ts'
import { replayIcePoint } from '../../shared/sensing/ice-point-replay.ts'
import { afterCheck, checkHolds, saysNothing } from '../../shared/sensing/under-check.ts'
import { noHistory } from '../../shared/sensing/quality.ts'
import { coverageFactor } from '../../shared/sensing/coverage.ts'
import { budgetOf } from '../../shared/sensing/uncertainty.ts'
import { quantitiesOf, stepsBefore, waysFor } from '../../web/calibrate/ways.ts'
import {
  awayWords,
  budgetWords,
  correctionWords,
  foundWords,
  settlingWords,
} from '../../web/words/check-words.ts'
import { createTell } from '../../web/words/tell.ts'
import { aHousehold } from '../support/story.ts'

const tell = createTell('en-GB')
const start = Date.parse('2026-10-01T10:00:00Z')
const at = (second: number) => (start + second * 1000) as Instant
/** One each half minute. */
const readings = (...raws: readonly number[]) => raws.map((raw, i) => ({ at: at(30 * (i + 1)), raw }))
const plain = (text: string) => text.replaceAll('\u202f', ' ')

describe('how readings come to rest, in one sentence', () => {
  const words = (...raws: readonly number[]) => {
    const { name, sentence } = settlingWords(readings(...raws), 'ds18b20', tell)
    return [name, plain(sentence)]
  }
  const step = 1 / 16

  test('none, falling, rising, too few, moving, creeping, steady', () => {
    expect(words()).toEqual(['none', 'Waiting for the first reading.'])
    expect(words(2, 1.6)).toEqual(['falling', 'Still falling: 0.40 K in the last two minutes.'])
    expect(words(0.2, 0.3, 0.5)).toEqual(['rising', 'Rising: 0.30 K in the last two minutes.'])
    expect(words(0, step, 0)).toEqual(['few', '3 of 5 readings so far, within 0.06 K.'])
    expect(words(1, 0.8, 0.7, 0, 0, 0, 0, 0)).toEqual([
      'moving',
      'Not steady yet: it moved by 1.00 K in the last 4 min.',
    ])
    expect(words(step, step, step, 0, 0)).toEqual([
      'creeping',
      'Nearly steady: it still creeps, by 0.06 K in the last 2 min.',
    ])
    expect(words(0, step, 0, step, 0)).toEqual(['steady', 'Steady: 5 readings within 0.06 K.'])
  })

  test('one step of the element is rest, and a little more is not', () => {
    expect(words(0, step)[0]).toBe('few')
    expect(words(0, step + 0.001)[0]).toBe('rising')
  })

  test('says steady exactly where the check itself has settled', () => {
    const raw = fc.integer({ min: -2, max: 3 }).map((steps) => steps * step)
    fc.assert(
      fc.property(fc.array(raw, { minLength: 1, maxLength: 20 }), (raws) => {
        const begun = startIcePoint(
          { type: 'ds18b20', expectedEvery: 30_000 as never },
          'kitchen',
          'waterproofProbe',
          at(0),
        )
        let state = stepIcePoint(begun, { kind: 'immersed', at: at(0) })
        const heard: { at: Instant; raw: number }[] = []
        for (const reading of readings(...raws)) {
          state = stepIcePoint(state, { kind: 'reading', ...reading })
          heard.push(reading)
          if (state.name === 'settled') return settlingWords(heard, 'ds18b20', tell).name === 'steady'
        }
        return true
      }),
    )
  })
})

describe('a check that is worked out anew from its beginning', () => {
  const sensor = { type: 'ds18b20', expectedEvery: 30_000 } as const
  const notes = { bath: 'kitchen', protection: 'waterproofProbe', since: at(0), immersedAt: at(0) } as const
  const steady = readings(0.25, 0.3125, 0.25, 0.3125, 0.25)

  test('stands where the one stands that heard each reading (L7)', () => {
    const replayed = replayIcePoint(sensor as never, notes, steady, at(200))
    expect(replayed.name).toBe('settled')
    const raw = fc.double({ min: -3, max: 3, noNaN: true })
    fc.assert(
      fc.property(fc.array(raw, { maxLength: 30 }), fc.nat(30), (raws, cut) => {
        const all = readings(...raws)
        const now = at(30 * raws.length)
        const whole = replayIcePoint(sensor as never, notes, all, now)
        // What is heard after it has settled moves nothing
        const early = replayIcePoint(sensor as never, notes, all.slice(0, cut), now)
        if (early.name === 'settled') expect(whole).toEqual(early)
      }),
    )
  })

  test('what was read before the probe went in, and at that instant, does not count', () => {
    const late = { ...notes, immersedAt: at(150) }
    expect(replayIcePoint(sensor as never, late, steady, at(200))).toMatchObject({
      name: 'settling',
      readings: [],
    })
    const earlier = { ...notes, immersedAt: at(29) }
    expect(replayIcePoint(sensor as never, earlier, steady, at(200)).name).toBe('settled')
  })

  test('before it is in the bath it waits two hours, and no longer', () => {
    const before = { ...notes, immersedAt: null }
    expect(replayIcePoint(sensor as never, before, [], at(7200)).name).toBe('preparing')
    expect(replayIcePoint(sensor as never, before, [], at(7201)).name).toBe('refused')
  })
})

describe('beside something known', () => {
  test('five readings half a minute apart are needed, and near each other', () => {
    expect(shownBy([], 'temperature', 'sht3x')).toBeNull()
    expect(shownBy(readings(5, 5, 5, 5), 'temperature', 'ds18b20')).toMatchObject({
      readings: 4,
      isSteady: false,
    })
    expect(shownBy(readings(5, 5, 5, 5, 5.125), 'temperature', 'ds18b20')?.isSteady).toBe(true)
    expect(shownBy(readings(5, 5, 5, 5, 5.126), 'temperature', 'ds18b20')?.isSteady).toBe(false)
    const moist = (last: number) => shownBy(readings(80, 80, 80, 80, last), 'humidity', 'sht3x')?.isSteady
    expect([moist(80 + steadyHumidity), moist(80.01 + steadyHumidity)]).toEqual([true, false])
    // Only the newest five count
    expect(shownBy(readings(20, 10, 5, 5, 5, 5, 5), 'temperature', 'ds18b20')?.isSteady).toBe(true)
  })

  test('the parts of its uncertainty add as squares (JCGM 100:2008, 5.1.2 and 4.2.3)', () => {
    const shown = { mean: 5.2, scatter: 0.1, spread: 0.2, readings: 5, isSteady: true }
    const { uncertainty, ...point } = referenceOf(
      shown,
      { value: 5, expanded: 0.2 },
      'temperature',
      'ds18b20',
    )
    expect(point).toEqual({ raw: 5.2, true: 5 })
    expect(uncertainty ** 2).toBeCloseTo(0.1 ** 2 + (1 / 16) ** 2 / 12 + 0.1 ** 2 / 5, 12)
  })
})

describe('what was found', () => {
  const found = (offset: number, quantity: 'temperature' | 'humidity' = 'temperature') =>
    plain(foundWords({ offset, uncertainty: 0.07, where: 'in ice' }, quantity, tell))

  test('is said with its side, its doubt and what follows', () => {
    expect(found(-0.31)).toBe('It reads 0.31 K too warm in ice, ±0.14 K. From now on 0.31 K is taken off.')
    expect(found(0.31)).toBe('It reads 0.31 K too cold in ice, ±0.14 K. From now on 0.31 K is added.')
    expect(found(-2, 'humidity')).toBe(
      'It reads 2.0 %RH too high in ice, ±0.1 %RH. From now on 2.0 %RH is taken off.',
    )
  })

  test('a probe that is right is not said to be 0.00 K too warm', () => {
    expect(found(-0.004)).toBe('It reads right in ice, ±0.14 K. Nothing is taken off or added.')
    expect(found(-0.005)).toMatch(/too warm/)
  })

  test('without points it is what was entered; points are worked out', () => {
    const entered = { method: 'entered', quantity: 'temperature' } as const
    expect(correctionOf({ ...entered, references: [], offset: -0.3, uncertainty: 0.1 })).toEqual({
      ok: true,
      value: { gain: 1, offset: -0.3, uncertainty: 0.1, references: [] },
    })
    expect(correctionOf({ ...entered, references: [] }).ok).toBe(false)
    const one = { raw: 5.3, true: 5, uncertainty: 0.1 }
    expect(correctionOf({ ...entered, references: [one] })).toMatchObject({ value: { gain: 1 } })
    expect(plain(correctionWords({ gain: 1.0234, offset: -0.51, quantity: 'temperature' }, tell))).toBe(
      '× 1.023, then −0.51 K',
    )
  })

  test('each part of the doubt has a line', () => {
    const sensor = Sensor.parse({ id: 'one', name: 'One', place: null, topic: 'a', type: 'ds18b20' })
    const budget = budgetOf(sensor, 'temperature', { at: at(0), raw: 5 })
    expect(budget.lines.map((line) => plain(budgetWords(line, 'temperature', tell)))).toEqual([
      'The element: up to ±0.50 K.',
      'Its steps: up to ±0.03 K.',
    ])
    const even = (halfWidth: number) =>
      plain(
        budgetWords(
          { what: 'drift', distribution: 'rectangular', halfWidth, u: halfWidth / Math.sqrt(3), says: '' },
          'temperature',
          tell,
        ),
      )
    expect(even(0.0049)).toBe('Ageing since: less than ±0.01 K.')
    expect(even(0.0051)).toBe('Ageing since: up to ±0.01 K.')
    expect(budget.expanded).toBe(coverageFactor * budget.u)
  })
})

describe('L10: who watches while it is away', () => {
  const places = [
    { id: 'room', name: 'Cellar', kind: 'room' },
    { id: 'fridge', name: 'Fridge', kind: 'fridge', parent: 'room' },
    { id: 'box', name: 'Box', kind: 'box', parent: 'fridge' },
  ]
  const probe = (id: string, place: string | null, type = 'ds18b20') => ({
    id,
    name: `Probe ${id}`,
    place,
    topic: id,
    type,
  })
  const away = (...others: readonly object[]) => {
    const home = aHousehold({ places, sensors: [probe('one', 'box'), ...others] })
    return awayWords(home, home.sensors[0] as Sensor)
  }

  test('another in the place, else the nearest around it, else nobody; a door contact is none', () => {
    expect(away(probe('two', 'box')).sentence).toBe('While it is away Box is watched by Probe two.')
    expect(away(probe('two', 'fridge'), probe('three', 'room')).sentence).toBe(
      'While it is away Box is judged by the sensor of Fridge.',
    )
    expect(away(probe('two', 'room')).isWatched).toBe(true)
    for (const alone of [away(), away(probe('door', 'box', 'contact'))]) {
      expect(alone.isWatched).toBe(false)
      expect(alone.sentence).toMatch(
        /^While it is away nobody watches Box, and after 30 min that is an alarm/,
      )
    }
  })
})

describe('ways to check', () => {
  test('S6: a bare board is never offered water as it is, and every way into water carries both cautions', () => {
    expect(waysFor({ type: 'sht3x' })).not.toContain('ice')
    expect(waysFor({ type: 'ds18b20' })[0]).toBe('ice')
    expect(waysFor({ type: 'contact' })).toEqual([])
    for (const way of ['ice', 'bag', 'twoPoint'] as const)
      expect(
        stepsBefore(way).some(({ text, isCaution }) => isCaution && text.includes('Mains and water')),
      ).toBe(true)
  })

  test('a quantity that an element does not measure is not offered', () => {
    expect(quantitiesOf('ds18b20')).toEqual(['temperature'])
    expect(quantitiesOf('sht3x')).toEqual(['temperature', 'humidity'])
    expect(quantitiesOf('contact')).toEqual([])
  })
})

describe('whether a check holds', () => {
  const check = SensorCheck.parse({ since: at(10), until: at(20), by: 'Ada' })

  test('from its beginning, included, to its end, excluded', () => {
    expect([9.999, 10, 19.999, 20].map((second) => checkHolds(check, at(second)))).toEqual([
      false,
      true,
      true,
      false,
    ])
    expect(checkHolds(undefined, at(10))).toBe(false)
    expect(longestCheck).toBe(4 * 3_600_000)
  })

  test('what it says of itself still counts', () => {
    const says = (quantity: 'temperature' | 'door' | 'battery' | 'voltage') =>
      saysNothing({ check }, { quantity, at: at(15) })
    expect([says('temperature'), says('door'), says('battery'), says('voltage')]).toEqual([
      true,
      true,
      false,
      false,
    ])
  })

  test('what was believed before is kept, what was doubted or stood still is not', () => {
    const before = {
      ...noHistory,
      good: 5,
      goodAt: at(5),
      suspect: 20,
      run: 5,
      runCount: 59,
      runSince: at(1),
    }
    expect(afterCheck(before)).toMatchObject({
      good: 5,
      goodAt: at(5),
      suspect: null,
      run: null,
      runCount: 0,
    })
    expect(afterCheck(noHistory)).toBe(noHistory)
  })
})

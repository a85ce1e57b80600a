import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { Calibration } from '../../schemas/calibration.ts'
import { SensorType } from '../../schemas/sensor.ts'
import { hours, instant, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import { seededRandom } from '../../daemon/practice/random.ts'
import { calibrated } from '../../shared/sensing/calibration.ts'
import { dataSheets } from '../../shared/sensing/data-sheet.ts'
import {
  calibrationOfIcePoint,
  longestPreparing,
  longestSettling,
  noticeSentence,
  startIcePoint,
  steadyWithin,
  stepIcePoint,
  type BathQuality,
  type IceEvent,
  type IceState,
} from '../../shared/sensing/ice-point.ts'
import {
  comparisonSteps,
  icePointSteps,
  protectionOf,
  sealedBagSteps,
  waterCautions,
  type Protection,
} from '../../shared/sensing/ice-point-steps.ts'

const start = instant(Date.UTC(2026, 0, 10))

interface Probe {
  readonly type: SensorType
  readonly every: Millis
  readonly bath?: BathQuality
  readonly protection?: Protection
}
const fast: Probe = { type: 'ds18b20', every: seconds(10) }

const begun = ({ type, every, bath = 'careful', protection = 'waterproofProbe' }: Probe): IceState =>
  startIcePoint({ type, expectedEvery: every }, bath, protection, start)

/** Put into the bath at once; `shows` by milliseconds since. Every state on the way, the first that ends it last. */
function trace(probe: Probe, shows: (ms: number) => number, lasts: Millis = hours(2)): IceState[] {
  const states = [stepIcePoint(begun(probe), { kind: 'immersed', at: start })]
  for (let ms: number = probe.every; ms <= lasts; ms += probe.every) {
    const before = states.at(-1)
    if (before?.name !== 'settling') break
    states.push(stepIcePoint(before, { kind: 'reading', at: later(start, ms), raw: shows(ms) }))
  }
  return states
}
const endOf = (states: readonly IceState[]): IceState => states.at(-1) ?? begun(fast)
const noticesOf = (states: readonly IceState[]): (string | null)[] =>
  states.flatMap((state) => (state.name === 'settling' ? [state.notice] : []))
const resultOf = (state: IceState) => {
  if (state.name !== 'settled' && state.name !== 'done')
    throw new Error(`no result: ${JSON.stringify(state)}`)
  return state.result
}

/** Newton: from 20 °C towards what it shows in ice. */
const cooling =
  (offset: number, tau: Millis) =>
  (ms: number): number =>
    offset + 20 * Math.exp(-ms / tau)
const shownIn =
  (step: number, curve: (ms: number) => number) =>
  (ms: number): number =>
    Math.round(curve(ms) / step) * step

describe('settling', () => {
  it('takes five readings in two minutes that show one value', () => {
    const states = trace(fast, () => 0.3125)
    const result = resultOf(endOf(states))
    expect(result).toMatchObject({ offset: -0.3125, mean: 0.3125, readings: 5 })
    expect(result.at - start).toBe(minutes(2) + fast.every)
  })

  it('lets them lie one step of the display apart, and not two', () => {
    const toggling = (steps: number) => (ms: number) => ((ms / seconds(30)) % 2 < 1 ? 0 : steps / 16)
    expect(endOf(trace(fast, toggling(1))).name).toBe('settled')
    expect(endOf(trace(fast, toggling(2)))).toMatchObject({ name: 'refused', why: 'timedOut' })
  })

  it('holds a finer element to 0.05 K, not to its own step', () => {
    expect(SensorType.options.map((type) => [type, steadyWithin(type)])).toEqual([
      ['ds18b20', 0.0625],
      ['dht22', 0.1],
      ['sht3x', 0.05],
      ['bme280', 0.05],
      ['ntc', 0.1],
      ['pt1000', 0.05],
      ['contact', 0.1],
      ['other', 0.1],
    ])
  })

  it('asks five readings of a slow sensor, whatever its interval', () => {
    for (const every of [seconds(60), minutes(5), minutes(20)]) {
      const states = trace({ type: 'ds18b20', every }, () => 0.25)
      const result = resultOf(endOf(states))
      expect(result.readings).toBe(5)
      expect(result.at - start).toBe(5 * every)
    }
  })

  it('waits for a probe that cools from the room', () => {
    const states = trace(fast, shownIn(1 / 16, cooling(0.3, seconds(30))))
    const { offset, at } = resultOf(endOf(states))
    expect(offset).toBeCloseTo(-0.3, 1)
    expect(at - start).toBeGreaterThan(minutes(5))
    expect(noticesOf(states).every((notice) => notice === null)).toBe(true)
  })

  it('is not taken in by a probe in a thick sheath that creeps', () => {
    // Derived: what shows one value for 5 min has 0.6 of a step left to go at most, and half a step is hidden.
    for (const tau of [seconds(30), minutes(1), minutes(2), minutes(5)]) {
      const { offset } = resultOf(endOf(trace(fast, shownIn(1 / 16, cooling(0, tau)))))
      expect(Math.abs(offset)).toBeLessThan(1.1 / 16)
    }
    // Slower ones get no figure: from the room to within 0.1 K takes 53 min at τ 10 min.
    expect(endOf(trace(fast, shownIn(1 / 16, cooling(0, minutes(10)))))).toMatchObject({ why: 'timedOut' })
  })

  it('lets late, repeated and impossible readings pass unseen', () => {
    const settling = stepIcePoint(begun(fast), { kind: 'immersed', at: later(start, 1000) })
    const hear = (state: IceState, ms: number, raw: number) =>
      stepIcePoint(state, { kind: 'reading', at: later(start, ms), raw })
    expect(hear(settling, 1000, 0)).toBe(settling)
    const one = hear(settling, 2000, 0)
    expect(one).not.toBe(settling)
    expect(hear(one, 2000, 0)).toBe(one)
    expect(hear(one, 1500, 5)).toBe(one)
    for (const fault of [85, -127, 200]) expect(hear(one, 60_000, fault)).toBe(one)
  })
})

describe('what the result is worth', () => {
  it('knows it by bath, step and scatter: ±0.01 K and 1/16 K give 0.0189, a kitchen’s bath 0.0605 (GUM, recomputed)', () => {
    const u = (bath: BathQuality) => resultOf(endOf(trace({ ...fast, bath }, () => 0.3125))).budget.u
    expect(u('careful')).toBeCloseTo(Math.hypot(0.01 / Math.sqrt(3), 1 / 16 / Math.sqrt(12)), 12)
    expect(u('careful')).toBeCloseTo(0.0189, 4)
    expect(u('kitchen')).toBeCloseTo(0.0605, 4)
  })

  it('GUM 4.2.3: adds the scatter of the mean, s / √n', () => {
    const shows = (ms: number) => 0.3 + ((ms / seconds(30)) % 2 < 1 ? 0.02 : -0.02)
    const { budget, readings } = resultOf(endOf(trace({ type: 'ntc', every: seconds(30) }, shows)))
    expect(readings).toBe(5)
    // +, +, +, −, − of 0.02 or the other way about: s = 0.0219.
    expect(budget.lines.find(({ what }) => what === 'repeatability')?.u).toBeCloseTo(0.0219 / Math.sqrt(5), 4)
  })

  it('takes an offset of 2 K, and refuses more in a sentence', () => {
    const pt: Probe = { type: 'pt1000', every: seconds(30) }
    expect(resultOf(endOf(trace(pt, () => 2))).offset).toBe(-2)
    expect(resultOf(endOf(trace(pt, () => -2))).offset).toBe(2)
    expect(endOf(trace(pt, () => 2.01))).toEqual({
      name: 'refused',
      why: 'offTooFar',
      sentence:
        'The probe shows 2.0 °C where ice stands at 0 °C. Either it is not in the ice, or it is broken: do not correct it.',
    })
    expect(endOf(trace(pt, () => -2.01))).toMatchObject({ why: 'offTooFar' })
    // Left on the table.
    expect(endOf(trace(pt, () => 20))).toMatchObject({ why: 'offTooFar' })
  })

  it('makes a calibration that the schema takes and that puts the ice at 0 °C', () => {
    const result = resultOf(endOf(trace(fast, () => 0.3125)))
    const calibration = Calibration.parse(calibrationOfIcePoint(result, 'Ada'))
    expect(calibration).toMatchObject({
      from: result.at,
      method: 'icePoint',
      by: 'Ada',
      uncertainty: result.budget.u,
    })
    expect(calibrated([calibration], 'temperature', result.at, 0.3125)).toBe(0)
    expect(Object.is(resultOf(endOf(trace(fast, () => 0))).offset, 0)).toBe(true)
  })

  test('property: in a good bath the offset lies within 4 u of the truth, whatever probe, noise and seed', () => {
    const types = fc.constantFrom<SensorType>('ds18b20', 'ntc', 'pt1000', 'other')
    const every = fc.constantFrom(seconds(2), seconds(10), seconds(30), seconds(60), minutes(5))
    fc.assert(
      fc.property(
        types,
        every,
        fc.double({ min: -1.5, max: 1.5, noNaN: true }),
        fc.nat(),
        (type, every, off, seed) => {
          const random = seededRandom(seed)
          const { resolution } = dataSheets.temperature[type]
          const curve = cooling(off, seconds(20))
          const shows = shownIn(resolution, (ms) => curve(ms) + 0.008 * random.normal())
          const { offset, budget } = resultOf(endOf(trace({ type, every }, shows, hours(4))))
          expect(Math.abs(offset + off)).toBeLessThan(4 * budget.u)
        },
      ),
      { numRuns: 200 },
    )
  })
})

describe('what goes wrong in a kitchen', () => {
  it('sees a probe that leaves the bath, and goes on when it is back', () => {
    const out = (ms: number) => ms > minutes(1) && ms <= minutes(2)
    const states = trace(fast, (ms) => (out(ms) ? 4 : 0.25))
    const notices = noticesOf(states)
    expect(notices.slice(0, 7).every((notice) => notice === null)).toBe(true)
    expect(notices.slice(7, 13).every((notice) => notice === 'outOfBath')).toBe(true)
    expect(notices[13]).toBeNull()
    const result = resultOf(endOf(states))
    expect(result.offset).toBe(-0.25)
    // What it showed outside is no part of it: five minutes later.
    expect(result.at - start).toBeGreaterThan(minutes(7))
  })

  it('calls a kelvin above the coldest still the bath, and more than that out of it', () => {
    const notice = (rise: number) =>
      noticesOf(trace(fast, (ms) => (ms < minutes(1) ? 0 : rise), minutes(1))).at(-1)
    expect(notice(1)).toBeNull()
    expect(notice(1.0625)).toBe('outOfBath')
  })

  it('gives no figure while the bath warms, and one when there is ice again', () => {
    // Never at rest at first; then at rest, but 0.5 K above what it had been.
    const shows = (ms: number) => {
      if (ms <= minutes(2)) return (ms / seconds(10)) % 2 === 0 ? 0 : 0.1875
      return ms <= minutes(11) ? 0.5 : 0
    }
    const states = trace(fast, shows)
    const notices = noticesOf(states)
    expect(notices).toContain('warming')
    expect(notices.indexOf('warming') * fast.every).toBeGreaterThan(minutes(2))
    const { offset, at } = resultOf(endOf(states))
    expect(offset).toBe(0)
    expect(at - start).toBeGreaterThan(minutes(11))
  })

  it('is not thrown by one wild value', () => {
    const states = trace(fast, (ms) => (ms === minutes(1) ? -20 : 0.25))
    expect(noticesOf(states).every((notice) => notice === null)).toBe(true)
    expect(resultOf(endOf(states)).offset).toBe(-0.25)
  })

  it('gives up after 45 min without rest, heard or not, and not at 45 min', () => {
    const settling = stepIcePoint(begun(fast), { kind: 'immersed', at: start })
    const at = (ms: number): IceEvent => ({ kind: 'timePassed', at: later(start, ms) })
    expect(stepIcePoint(settling, at(longestSettling))).toBe(settling)
    expect(stepIcePoint(settling, at(longestSettling + 1))).toMatchObject({
      name: 'refused',
      why: 'timedOut',
    })
    const late: IceEvent = { kind: 'reading', at: later(start, longestSettling + 1), raw: 0 }
    expect(stepIcePoint(settling, late)).toMatchObject({ why: 'timedOut' })
  })

  it('gives a sensor that speaks every ten minutes fifteen of its intervals', () => {
    const settling = stepIcePoint(begun({ ...fast, every: minutes(10) }), { kind: 'immersed', at: start })
    const at = (ms: number): IceEvent => ({ kind: 'timePassed', at: later(start, ms) })
    expect(stepIcePoint(settling, at(minutes(150)))).toBe(settling)
    expect(stepIcePoint(settling, at(minutes(150) + 1))).toMatchObject({ why: 'timedOut' })
  })

  it('gives up a bath that is never made', () => {
    const preparing = begun(fast)
    const at = (ms: number): IceEvent => ({ kind: 'timePassed', at: later(start, ms) })
    expect(stepIcePoint(preparing, at(longestPreparing))).toBe(preparing)
    expect(stepIcePoint(preparing, at(longestPreparing + 1))).toMatchObject({ why: 'timedOut' })
  })
})

describe('who moves it', () => {
  it('hears no reading before the probe is in, and takes no figure before there is one', () => {
    const preparing = begun(fast)
    expect(stepIcePoint(preparing, { kind: 'reading', at: start, raw: 0 })).toBe(preparing)
    expect(stepIcePoint(preparing, { kind: 'accept', at: start })).toBe(preparing)
    const settling = stepIcePoint(preparing, { kind: 'immersed', at: start })
    expect(stepIcePoint(settling, { kind: 'accept', at: start })).toBe(settling)
  })

  it('keeps a figure until the keeper takes it, whatever the probe shows then', () => {
    const settled = endOf(trace(fast, () => 0.25))
    expect(stepIcePoint(settled, { kind: 'reading', at: later(start, hours(1)), raw: 20 })).toBe(settled)
    expect(stepIcePoint(settled, { kind: 'timePassed', at: later(start, hours(9)) })).toBe(settled)
    const done = stepIcePoint(settled, { kind: 'accept', at: later(start, hours(9)) })
    expect(done).toMatchObject({ name: 'done', result: { offset: -0.25 } })
    expect(stepIcePoint(done, { kind: 'stop', at: later(start, hours(9)) })).toBe(done)
  })

  it('may be stopped until it is done', () => {
    const stop: IceEvent = { kind: 'stop', at: later(start, 1) }
    const settling = stepIcePoint(begun(fast), { kind: 'immersed', at: start })
    for (const state of [begun(fast), settling, endOf(trace(fast, () => 0))]) {
      expect(stepIcePoint(state, stop)).toMatchObject({ name: 'refused', why: 'stopped' })
    }
  })

  test('property: no order of events throws or brings an end back to life', () => {
    const kinds = fc.constantFrom('immersed', 'reading', 'timePassed', 'accept', 'stop')
    const event = fc.tuple(kinds, fc.nat(hours(1)), fc.double({ min: -300, max: 300, noNaN: true }))
    fc.assert(
      fc.property(fc.array(event, { maxLength: 60 }), (events) => {
        let state = begun(fast)
        for (const [kind, ms, raw] of events) {
          const at = later(start, ms)
          const after = stepIcePoint(state, kind === 'reading' ? { kind, at, raw } : { kind, at })
          if (state.name === 'done' || state.name === 'refused') expect(after).toBe(state)
          if (after.name === 'done') expect(['settled', 'done']).toContain(state.name)
          if (after.name === 'settling') expect(after.readings.length).toBeLessThanOrEqual(21)
          state = after
        }
      }),
    )
  })
})

describe('S6: mains and water do not mix', () => {
  const of = (type: SensorType, protection: Protection) =>
    startIcePoint({ type, expectedEvery: millis(1000) }, 'kitchen', protection, start)

  it('lets only a waterproof probe or a sealed bag into water', () => {
    for (const type of SensorType.options.filter((one) => protectionOf(one) === 'probe')) {
      expect(of(type, 'waterproofProbe').name).toBe('preparing')
      expect(of(type, 'sealedBag').name).toBe('preparing')
      expect(of(type, 'none')).toMatchObject({ name: 'refused', why: 'notWaterproof' })
    }
  })

  it('lets no bare board in but in a bag, whatever the keeper says of it', () => {
    for (const type of ['sht3x', 'bme280', 'dht22'] as const) {
      expect(of(type, 'sealedBag').name).toBe('preparing')
      for (const protection of ['waterproofProbe', 'none'] as const) {
        const refused = of(type, protection)
        expect(refused).toMatchObject({ name: 'refused', why: 'notWaterproof' })
        expect(refused.name === 'refused' ? refused.sentence : '').toMatch(/bag.*compare/i)
      }
    }
    expect(of('contact', 'sealedBag')).toMatchObject({ why: 'noThermometer' })
  })

  it('says so before the first step, and every step in short sentences', () => {
    const cautions = waterCautions.map(({ text }) => text).join(' ')
    expect(cautions).toContain('Only a waterproof probe')
    expect(cautions).toContain('Mains and water do not mix')
    expect(waterCautions.every(({ isCaution }) => isCaution)).toBe(true)
    const texts = [...waterCautions, ...icePointSteps, ...sealedBagSteps, ...comparisonSteps].map(
      ({ text }) => text,
    )
    for (const text of [...texts, ...Object.values(noticeSentence)]) {
      expect(text).toMatch(/^[A-Z].*\.$/)
      expect(text.length).toBeLessThanOrEqual(130)
    }
  })
})

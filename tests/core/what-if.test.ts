import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Spell, TriedLimit, TriedPlace } from '../../schemas/what-if.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Quality, Reading } from '../../schemas/reading.ts'
import { days, hours, instant, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { bandsAt } from '../../shared/judging/band.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import { withTried } from '../../shared/judging/tried-limits.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { testudoHermanni } from '../../shared/species/testudo-hermanni.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import { noteLine, spellsOf, startLog } from '../../shared/what-if/spells.ts'
import {
  endWhatIf,
  hearHappened,
  hearStored,
  startWhatIf,
  type WhatIfWalk,
} from '../../shared/what-if/walk.ts'
import { sixteenth, whatIfHousehold } from '../support/what-if-house.ts'

const start = instant(Date.UTC(2025, 10, 10, 12))
const fridge = 'fridge' as PlaceId
const probe = 'probe' as SensorId
const places = new Set([fridge])
type Stored = Reading & { readonly quality: Quality }

const reading = (at: number, value: number, quality: Quality = 'good'): Stored => ({
  sensor: probe,
  quantity: 'temperature',
  at: instant(at),
  value,
  quality,
})
const temperature = (limit: TriedLimit['limit'], more: Partial<TriedLimit> = {}): TriedLimit => ({
  quantity: 'temperature',
  limit,
  ...more,
})

/** The readings judged again by what is tried in the fridge, to `to`. */
function judgedBy(
  readings: readonly Stored[],
  tried: Partial<TriedPlace>,
  to: Instant,
  household = whatIfHousehold(),
): WhatIfWalk {
  const walk = startWhatIf({
    household,
    profileOf,
    tried: Object.keys(tried).length === 0 ? [] : [{ place: fridge, limits: [], ...tried }],
    places,
    stretch: { from: start, to },
    nights: nightsBetween('2025-11-09', '2025-11-20', 'Europe/Vienna', { from: '20:00', to: '08:00' }),
    begins: start,
    firstHeard: new Map([[probe, start]]),
  })
  for (const one of readings) hearStored(walk, one)
  endWhatIf(walk, to)
  return walk
}
const limitSpells = (walk: WhatIfWalk) => spellsOf(walk.log).filter(({ kind }) => kind === 'limit')

/** A course of temperature with jitter, and with gaps in it: stretches of minutes with their middle, null: nothing. */
const courses = fc
  .array(
    fc.record({
      lasts: fc.integer({ min: 1, max: 200 }),
      middle: fc.option(fc.double({ min: -1, max: 13, noNaN: true }), { freq: 8 }),
      every: fc.constantFrom(30, 60, 61, 300),
    }),
    { minLength: 2, maxLength: 12 },
  )
  .map((stretches) => {
    const readings: Stored[] = []
    let at: number = start + 1000
    for (const { lasts, middle, every } of stretches) {
      const end = at + lasts * 60_000
      for (; at < end; at += every * 1000)
        if (middle !== null) readings.push(reading(at, sixteenth(middle + 0.2 * Math.sin(at / 7919))))
    }
    return { readings, to: instant(at) }
  })

describe('judged again', () => {
  test('with the limits that judged it live, a log tells the very alarms of then, whenever the clock ticked (property)', () => {
    fc.assert(
      fc.property(courses, fc.integer({ min: 10, max: 45 }), ({ readings, to }, tickSeconds) => {
        const log = startLog(places)
        let state = startWatch(whatIfHousehold(), profileOf, start)
        const run = (event: WatchEvent) => {
          const [next, effects] = stepWatch(state, event)
          state = next
          for (const effect of effects) if (effect.kind === 'journal') noteLine(log, effect.entry)
        }
        let ticked: Instant = start
        const passTo = (at: Instant) => {
          for (
            ticked = later(ticked, seconds(tickSeconds));
            ticked < at;
            ticked = later(ticked, seconds(tickSeconds))
          )
            run({ kind: 'timePassed', at: ticked })
          ticked = later(ticked, -seconds(tickSeconds))
        }
        for (const { quality: _, ...one } of readings) {
          passTo(one.at)
          run({ kind: 'reading', reading: one, heardAt: one.at })
        }
        passTo(to)
        run({ kind: 'timePassed', at: to })
        const exact = (spells: readonly Spell[]) =>
          spells.filter(({ kind, sensor }) => kind === 'limit' || (kind === 'silent' && sensor === probe))
        expect(exact(spellsOf(judgedBy(readings, {}, to).log))).toEqual(exact(spellsOf(log)))
      }),
      { numRuns: 8 },
    )
  })

  test('narrower limits never give less time outside, nor wider ones more (property)', () => {
    const shifts = fc.tuple(...[0, 0, 0, 0].map(() => fc.double({ min: 0, max: 1.5, noNaN: true })))
    fc.assert(
      fc.property(courses, shifts, ({ readings, to }, [a = 0, b = 0, c = 0, d = 0]) => {
        const by = (one: number, two: number, three: number, four: number) =>
          judgedBy(
            readings,
            {
              limits: [
                temperature('lowCritical', { value: 1 + one }),
                temperature('low', { value: 2.6 + two }),
                temperature('high', { value: 8 - three }),
                temperature('highCritical', { value: 11 - four }),
              ],
            },
            to,
          ).outside
        const [wide, narrow] = [by(0, 0, 0, 0), by(a, b, c, d)]
        expect(narrow.total).toBeGreaterThanOrEqual(wide.total)
        narrow.byNight.forEach((time, i) => expect(time).toBeGreaterThanOrEqual(wide.byNight[i] ?? 0))
      }),
      { numRuns: 8 },
    )
  })

  const steady = (value: number, forMinutes: number, from: Instant = start) =>
    Array.from({ length: forMinutes }, (_, i) =>
      reading(from + i * 60_000, sixteenth(value + (i % 7) / 16 - 3 / 16)),
    )
  const held = (value: number, forMinutes: number, from: Instant = start) =>
    Array.from({ length: forMinutes }, (_, i) => reading(from + i * 60_000, value - (i % 2) / 16))

  test('L1: a value exactly at the limit is out of it, one sixteenth inside is not', () => {
    const tried = (value: number) => ({
      limits: [temperature('low', { value, for: minutes(0) }), temperature('lowCritical', { value: null })],
    })
    const to = later(start, hours(2))
    // 4.9375 and 5 in turn.
    expect(limitSpells(judgedBy(held(5, 60), tried(4.9375), to))).toMatchObject([
      { limit: 'low', from: start + minutes(1), value: 4.9375, threshold: 4.9375 },
    ])
    expect(limitSpells(judgedBy(held(5, 60), tried(4.875), to))).toEqual([])
    expect(judgedBy(held(5, 60), tried(4.875), to).outside.total).toBe(0)
  })

  test('L2: a tried delay runs out at its own instant, a second more and nothing rings', () => {
    const cold = [
      ...steady(5, 60),
      ...held(2.5, 30, later(start, hours(1))),
      ...steady(5, 60, later(start, minutes(90))),
    ]
    const to = later(start, hours(3))
    const rings = (ms: number) =>
      limitSpells(judgedBy(cold, { limits: [temperature('low', { value: 3, for: millis(ms) })] }, to)).filter(
        ({ limit }) => limit === 'low',
      )
    expect(rings(minutes(10))).toMatchObject([{ from: start + minutes(70) }])
    expect(rings(minutes(29))).toMatchObject([{ from: start + minutes(89) }])
    // At ninety minutes it is back: the reading comes before the timer.
    expect(rings(minutes(30) - 1)).toMatchObject([{ from: start + minutes(90) - 1 }])
    expect(rings(minutes(30))).toEqual([])
  })

  test('what is left out of a wish is as it is today, and follows the plan (L8)', () => {
    const { animals, places: all } = whatIfHousehold()
    const [animal, place] = [animals[0], all.find(({ id }) => id === fridge)]
    if (animal === undefined || place === undefined || testudoHermanni.hold === undefined)
      throw new Error('no fridge')
    // Ten kelvin warmer while it is awake, so that each limit moves.
    const warmer = testudoHermanni.hold.temperature.map((one) => ({ ...one, value: one.value + 10 }))
    const profile = { ...testudoHermanni, active: { ...testudoHermanni.active, temperature: warmer } }
    const plan = [
      { phase: 'coolDown' as const, from: start },
      { phase: 'hold' as const, from: later(start, days(14)) },
    ]
    const at = (ms: number) =>
      bandsAt(place, [{ animal: { ...animal, plan }, profile }], 'strict', later(start, ms))
    const highs = [at(days(1)), at(days(13))].map((now) => {
      const tried = withTried(now, [
        temperature('high', { for: minutes(5) }),
        temperature('low', { value: 3 }),
      ])
      expect(tried.bands.temperature?.high).toEqual({ ...now.bands.temperature?.high, for: minutes(5) })
      expect(tried.bands.temperature?.low).toMatchObject({ value: 3, because: 'tried', source: null })
      expect(tried.bands.temperature?.lowCritical).toEqual(now.bands.temperature?.lowCritical)
      expect(tried.until).toBe(now.until)
      return tried.bands.temperature?.high?.value ?? 0
    })
    expect((highs[0] ?? 0) - (highs[1] ?? 0)).toBeCloseTo((10 * 12) / 14, 9)
    const first = at(0)
    expect(withTried(first, [temperature('high', { value: null })]).bands.temperature?.high).toBeNull()
    // Where there is none today, a delay alone makes none.
    expect(
      withTried(first, [{ quantity: 'voltage', limit: 'low', for: minutes(1) }]).bands.voltage?.low,
    ).toBeNull()
  })

  test('L9: a tried critical limit is guarded as the animals’ own is, unless the guard is off or it is warmer than 4 °C', () => {
    const readings = held(2.5, 120)
    const to = later(start, hours(2))
    const byValue = (value: number, guard?: 'on' | 'off') =>
      spellsOf(
        judgedBy(
          readings,
          {
            limits: [temperature('low', { value: null }), temperature('lowCritical', { value })],
            ...(guard === undefined ? {} : { guard }),
          },
          to,
        ).log,
      ).filter(({ limit }) => limit === 'lowCritical')
    expect(byValue(2.25)).toMatchObject([{ isDoubt: true, threshold: 2.25 }])
    expect(byValue(2.25, 'off')).toEqual([])
    expect(byValue(1)).toEqual([])
    const warm = {
      limits: [temperature('low', { value: null }), temperature('lowCritical', { value: 4.0625 })],
    }
    expect(limitSpells(judgedBy(held(4.25, 120), warm, to))).toEqual([])
  })

  test('L4, L10: a gap of the sensor is a silence of it, and the tried patience says from when on', () => {
    const readings = [...steady(5, 60), ...steady(5, 60, later(start, hours(3)))]
    const to = later(start, hours(4))
    const silences = (tried: Partial<TriedPlace>) =>
      spellsOf(judgedBy(readings, tried, to).log).filter(({ kind }) => kind === 'silent')
    expect(silences({})).toMatchObject([{ from: start + minutes(69), until: start + hours(3) }])
    expect(silences({ silentAfter: minutes(40) })).toMatchObject([{ from: start + minutes(99) }])
    expect(silences({ silentAfter: millis(hours(2) + minutes(1)) })).toEqual([])
  })

  test('L7: while Brumal was stopped nobody was silent; a value outside counts until it is stale, no longer', () => {
    const readings = [...held(1, 60), ...steady(5, 60, later(start, hours(5)))]
    const walk = startWhatIf({
      household: whatIfHousehold(),
      profileOf,
      tried: [],
      places,
      stretch: { from: start, to: later(start, hours(6)) },
      nights: [],
      begins: start,
      firstHeard: new Map([[probe, start]]),
    })
    for (const one of readings.slice(0, 60)) hearStored(walk, one)
    hearHappened(walk, { kind: 'stopped', at: later(start, hours(1)) })
    hearHappened(walk, { kind: 'listening', at: later(start, hours(5)) })
    for (const one of readings.slice(60)) hearStored(walk, one)
    endWhatIf(walk, later(start, hours(6)))
    expect(spellsOf(walk.log).filter(({ kind }) => kind === 'silent')).toEqual([])
    expect(walk.outside.total).toBe(minutes(59) + minutes(10))
  })

  test('what a sensor read while it was checked says nothing of its place', () => {
    const ice = Array.from({ length: 60 }, (_, i) =>
      reading(start + hours(1) + i * 60_000, (i % 2) / 16, 'checking'),
    )
    const readings = [...steady(5, 60), ...ice, ...steady(5, 60, later(start, hours(2)))]
    const walk = judgedBy(readings, {}, later(start, hours(3)))
    expect(limitSpells(walk)).toEqual([])
    expect(spellsOf(walk.log).filter(({ kind }) => kind === 'silent')).toEqual([])
    const unchecked = readings.map((one) => ({ ...one, quality: 'good' as const }))
    expect(limitSpells(judgedBy(unchecked, {}, later(start, hours(3)))).length).toBeGreaterThan(0)
  })
})

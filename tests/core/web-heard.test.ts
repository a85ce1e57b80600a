import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Alarm } from '../../schemas/alarm.ts'
import { type JournalLine, NightCurve, type ValueNow } from '../../schemas/api.ts'
import { instant } from '../../schemas/amounts.ts'
import { joined } from '../../web/alarms/joined.ts'
import { curveAfter, mustAskAbout, tonightAfter, withAlarm } from '../../web/page/heard.ts'
import { inventedTruth } from '../support/web-fixture-curves.ts'
import { inventedHousehold } from '../support/web-fixture-house.ts'
import { sceneAlarms, sceneTonight } from '../support/web-fixture-scene.ts'

const now = instant(Date.parse('2027-01-13T03:07:00+01:00'))
const house = inventedHousehold(now)
const tonight = sceneTonight('alarm', house, sceneAlarms('alarm', now), new Map(), inventedTruth(null), now)
const [first] = tonight.places[0]?.values ?? []
if (first === undefined) throw new Error('the invented household has no value')

const value = (change: Partial<ValueNow>): ValueNow => ({ ...first, ...change })

describe('Tonight after a live event', () => {
  test('a value is shown in every place that is judged by its sensor (L10)', () => {
    const after = tonightAfter(tonight, { kind: 'value', place: null, value: value({ value: 9.5, at: now }) })
    const shown = after.places
      .flatMap((place) => place.values)
      .filter((one) => one.sensor === first.sensor && one.quantity === first.quantity)
    expect(shown.map((one) => one.value)).toEqual([9.5, 9.5])
  })

  test('an older value and one of an unknown sensor change nothing that is shown', () => {
    const older = value({ value: 9.5, at: instant(first.at - 1) })
    expect(tonightAfter(tonight, { kind: 'value', place: null, value: older })).toEqual(tonight)
    const stranger = value({ sensor: 'stranger' as ValueNow['sensor'] })
    expect(tonightAfter(tonight, { kind: 'value', place: null, value: stranger })).toEqual(tonight)
  })

  test('an alarm is replaced in its row, added on top, and gone when normal', () => {
    const [one, two] = tonight.alarms as [Alarm, Alarm]
    const answered: Alarm = {
      ...two,
      state: { name: 'acknowledged', since: now, by: 'Robin', acknowledgedAt: now },
    }
    expect(withAlarm([one, two], answered)).toEqual([one, answered])
    expect(withAlarm([one], two)).toEqual([two, one])
    expect(withAlarm([one, two], { ...one, state: { name: 'normal' } })).toEqual([two])
  })
})

describe('a curve after a live value', () => {
  const curve = NightCurve.parse({
    place: 'larder-fridge',
    quantity: first.quantity,
    night: tonight.night,
    band: { at: [], lowCritical: [], low: [], high: [], highCritical: [] },
    series: [
      {
        sensor: first.sensor,
        sensorName: 'Fridge air',
        spot: 'air',
        quantity: first.quantity,
        resolution: 'readings',
        columns: { at: [now - 60_000], low: [4], mean: [4], high: [4] },
        bad: [],
      },
    ],
    before: [],
  })

  test('it grows by its own sensor only', () => {
    const grown = curveAfter(curve, value({ at: now, value: 4.5 }), false)
    expect(grown.series[0]?.columns).toMatchObject({ at: [now - 60_000, now], mean: [4, 4.5] })
    expect(curveAfter(curve, value({ at: now, quantity: 'humidity' }), true)).toBe(curve)
  })

  test('what is not believed becomes a cross, never part of the line', () => {
    const grown = curveAfter(curve, value({ at: now, value: 85, quality: 'powerOn' }), false)
    expect(grown.series[0]?.columns).toEqual(curve.series[0]?.columns)
    expect(grown.series[0]?.bad).toEqual([{ at: now, value: 85, quality: 'powerOn' }])
  })

  test('the night ends before its last instant: its first counts, its end does not', () => {
    const { from, to } = tonight.night
    expect(curveAfter(curve, value({ at: instant(from - 1) }), true)).toBe(curve)
    expect(curveAfter(curve, value({ at: to }), false)).toBe(curve)
    expect(curveAfter(curve, value({ at: instant(to - 1) }), false).series[0]?.columns.at).toHaveLength(2)
  })

  test('after the morning only a curve that runs on takes it in, and its end moves along', () => {
    const { to } = tonight.night
    const grown = curveAfter(curve, value({ at: instant(to + 60_000) }), true)
    expect(grown.night.to).toBe(to + 60_001)
    expect(grown.series[0]?.columns.at.at(-1)).toBe(to + 60_000)
    const stranger = value({ at: instant(to + 60_000), sensor: 'stranger' as ValueNow['sensor'] })
    expect(curveAfter(curve, stranger, true)).toBe(curve)
  })

  test('whatever comes, time ascends and no column is longer than another', () => {
    const { from, to } = tonight.night
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: from - 1000, max: to + 1000 }), { maxLength: 60 }),
        fc.boolean(),
        (instants, runsOn) => {
          const grown = instants.reduce(
            (before, at) => curveAfter(before, value({ at: instant(at) }), runsOn),
            curve,
          )
          const columns = grown.series[0]?.columns
          expect(columns?.mean).toHaveLength(columns?.at.length ?? -1)
          columns?.at.forEach((at, i) => {
            expect(i === 0 || at > (columns.at[i - 1] ?? 0)).toBe(true)
            expect(at).toBeLessThan(grown.night.to)
          })
        },
      ),
    )
  })
})

test('journal lines that come twice, by asking and by the stream, stand once, newest first', () => {
  const line = (id: number): JournalLine => ({ id, at: now, kind: 'started', by: 'brumal' })
  expect(joined([line(3), line(2)], [line(4), line(3)]).map(({ id }) => id)).toEqual([4, 3, 2])
})

describe('a value that the page must ask about', () => {
  const safe = sceneTonight('safe', house, sceneAlarms('safe', now), new Map(), inventedTruth(null), now)
  const place = safe.places.find((one) => one.standing === 'safe' && one.bands.temperature?.low)
  const known = place?.values.find((one) => one.quantity === 'temperature')
  if (place === undefined || known === undefined) throw new Error('no safe place with a band in the scene')
  const heard = (change: Partial<ValueNow>) =>
    ({ kind: 'value', place: place.id, value: { ...known, ...change } }) as const
  const low = place.bands.temperature?.low?.value ?? Number.NaN

  test('the first value of a sensor that shows none yet', () => {
    const without = { ...safe, places: safe.places.map((one) => ({ ...one, values: [] })) }
    expect(mustAskAbout(without, heard({}))).toBe(true)
    expect(mustAskAbout(safe, heard({}))).toBe(false)
  })

  test('one at or past a limit, or not believed, and none that is inside', () => {
    expect(mustAskAbout(safe, heard({ value: low }))).toBe(true)
    expect(mustAskAbout(safe, heard({ value: low + 0.1 }))).toBe(false)
    expect(mustAskAbout(safe, heard({ quality: 'busOpen' }))).toBe(true)
  })

  test('any in a place that is past a limit or not sure, since it may have come back', () => {
    const leaving = { ...safe, places: safe.places.map((one) => ({ ...one, standing: 'leaving' as const })) }
    expect(mustAskAbout(leaving, heard({ value: low + 1 }))).toBe(true)
  })
})

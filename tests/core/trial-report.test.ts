import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { bufoBufo } from '../../shared/species/bufo-bufo.ts'
import { pythonRegius } from '../../shared/species/python-regius.ts'
import { testudoHermanni } from '../../shared/species/testudo-hermanni.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy } from '../support/practice-curve.ts'
import { adviceOf, moved, reportOf, steady } from '../support/trial-story.ts'

const probe = { place: 1, every: minutes(1), noise: 0.05, step: 0.0625 }
/** The cellar's fridge for a week: two doors, of which one stood open for two minutes, and four hours without mains. */
const cutFrom = days(4)
const truth = practiceCurve(cellarFridge(), days(7), 11, (elapsed) => ({
  powered: elapsed < cutFrom || elapsed >= cutFrom + hours(4),
  open:
    (elapsed >= days(2) && elapsed < days(2) + minutes(1)) ||
    (elapsed >= days(3) && elapsed < days(3) + minutes(2)),
}))
const [air, box, cellar] = [1, 2, 0].map((place) => shownBy(truth, { ...probe, place }, 3))
const inAir = { id: 'air', points: air ?? [] }
const inBox = {
  id: 'soil',
  points: box ?? [],
  place: 'box',
  about: { spot: 'substrate' },
  isAir: false,
}
const room = { id: 'room', points: cellar ?? [] }
const plugOut = [{ from: later(curveStart, cutFrom), until: later(curveStart, cutFrom + hours(4)) }]

describe('L9: a stable fridge over a week', () => {
  const report = reportOf([inAir, inBox], { lasts: days(7), trial: { plugOut, litres: 6 } }, room)
  const [species] = report.species

  test('is fit for a tortoise, with the coldest and the warmest value as reasons', () => {
    expect(species?.reasons).toEqual([
      expect.stringMatching(
        /^The coldest value was \d\.\d °C \(air in fridge\): \d\.\d\u202f°C above the 1\.0 °C/,
      ),
      expect.stringMatching(/^The warmest value was \d\.\d °C/),
    ])
    expect(species?.verdict).toBe('fit')
    expect(report.isLongEnough).toBe(true)
  })

  test('the mean, its scatter and percentiles are those of the readings that count', () => {
    const skipped = (at: number) =>
      at < hours(12) || (at >= cutFrom && at < cutFrom + hours(12)) || isNearDoor(at)
    const counted = (box ?? []).filter(({ at }) => !skipped(at - curveStart)).map(({ celsius }) => celsius)
    const mean = counted.reduce((sum, value) => sum + value, 0) / counted.length
    const figures = report.sensors[1]?.figures
    expect(figures?.mean).toBeCloseTo(mean, 1)
    expect(figures?.min.value).toBe(Math.min(...allCounted(box ?? [])))
    expect(figures?.p5).toBeGreaterThanOrEqual(figures?.min.value ?? 0)
    expect(figures?.p95).toBeLessThanOrEqual(figures?.max.value ?? 0)
    expect(figures?.p5).toBeLessThan(figures?.mean ?? 0)
  })

  test('its cycle is read from the air alone', () => {
    const [ofAir, ofSoil] = report.sensors
    expect(ofSoil?.cycle).toBeNull()
    expect(ofAir?.cycle?.period).toBeGreaterThan(minutes(15))
    expect(ofAir?.cycle?.period).toBeLessThan(minutes(60))
    expect(ofAir?.cycle?.amplitude).toBeGreaterThan(1.5)
    expect(ofAir?.cycle?.duty).toBeGreaterThan(0.15)
  })

  test('both doors are seen, and their warm air is no warmest value', () => {
    expect(report.sensors[0]?.doors.count).toBe(2)
    expect(report.sensors[0]?.doors.highestRise).toBeGreaterThan(2)
    const peak = Math.max(...allCounted(air ?? []))
    expect(report.sensors[0]?.figures?.max.value).toBeLessThan(peak - 1)
  })

  test('the plug’s four hours tell how long the cold lasts, within its own uncertainty', () => {
    expect(report.holdOver).toMatchObject({ sensor: 'soil', isRoomMeasured: true })
    const high = species?.held.find(({ limit }) => limit === 'high')
    const dark = practiceCurve(cellarFridge(), days(3), 11, (elapsed) => ({ powered: elapsed < days(1) }))
    const met = dark.find(({ at, celsius }) => at - curveStart > days(1) && (celsius[2] ?? 0) >= 7)
    const truly = (met?.at ?? 0) - curveStart - days(1)
    expect(high?.least).toBeLessThan(truly)
    expect(high?.most).toBeGreaterThan(truly * 0.8)
    expect(species?.held.map(({ limit }) => limit)).toEqual(['high', 'highCritical'])
  })

  test('the same fridge without its plug ever out is fit too, and trying it is advised', () => {
    const untried = reportOf([{ ...inBox, points: steady(5, days(7)) }], { lasts: days(7) }, room)
    expect(untried.holdOver).toBeNull()
    expect(adviceOf(untried, 'plug')).toEqual([expect.stringMatching(/pull the plug for 4 h\.$/)])
    expect(untried.species[0]?.verdict).toBe('fit')
  })
})

/** Doors and the half hour after them: their warm air may or may not be left out of what lies in soil. */
function isNearDoor(at: number): boolean {
  return [days(2), days(3)].some((door) => at >= door && at < door + minutes(30))
}

function allCounted(points: readonly { at: number; celsius: number }[]): readonly number[] {
  return points
    .filter(({ at }) => {
      const since = at - curveStart
      return since >= hours(12) && (since < cutFrom || since >= cutFrom + hours(12))
    })
    .map(({ celsius }) => celsius)
}

describe('L9: what is not fit, and what to change', () => {
  const week = { lasts: days(7) }

  test('a back shelf that comes near frost is named, and the setting that would do is', () => {
    const back = { id: 'back', points: moved(air ?? [], -2.6) }
    const report = reportOf([inAir, back], { ...week, trial: { plugOut } })
    expect(report.species[0]?.verdict).toBe('notFit')
    expect(report.species[0]?.reasons[0]).toMatch(/^back in fridge came down to \d\.\d °C/)
    expect(report.gradient).toMatchObject({ coldest: 'back', warmest: 'air' })
    expect(report.gradient?.difference).toBeCloseTo(2.6, 1)
    expect(adviceOf(report, 'thermostat')).toEqual([
      expect.stringMatching(
        /^Turn the thermostat warmer by about \d\.\d\u202f°C.*back lies in the coldest spot/,
      ),
    ])
    expect(adviceOf(report, 'spread')).toEqual([
      expect.stringMatching(/^back is colder than air by 2\.6\u202f°C\. Use the middle shelf/),
    ])
  })

  test('a fridge set too warm is to be turned colder by what its mean is off the middle', () => {
    const report = reportOf([{ ...inBox, points: steady(8.5, days(7)) }], week)
    expect(report.species[0]?.verdict).toBe('notFit')
    expect(report.species[0]?.reasons[0]).toBe(
      'On average soil in box was at 8.5 °C; the band ends at 7.0 °C.',
    )
    expect(adviceOf(report, 'thermostat')).toEqual([
      'Turn the thermostat colder by about 3.5\u202f°C, wait a day and look again.',
    ])
  })

  test('one spot too cold and one too warm: no setting suits, first the spots', () => {
    const spots = [
      { id: 'back', points: steady(0.8, days(7)) },
      { id: 'door', points: steady(10.4, days(7)), place: 'box' },
    ]
    const report = reportOf(spots, week)
    expect(adviceOf(report, 'spread')[0]).toMatch(/^No setting suits every spot/)
    expect(adviceOf(report, 'thermostat')).toEqual([])
  })

  test('two sensors in one spot beyond what both may be off are to be checked in ice', () => {
    const both = (by: number) =>
      reportOf(
        [
          { id: 'one', points: steady(5, days(7)) },
          { id: 'other', points: steady(5 + by, days(7)) },
        ],
        week,
      )
    // Each ±0.5 K by its data sheet and 1/16 K of step: √2 · 2 · √(0.5²/3 + 0.0625²/12) = 0.818 K.
    expect(both(0.81).agreement).toEqual([expect.objectContaining({ agree: true })])
    const apart = both(0.83)
    expect(apart.agreement).toEqual([expect.objectContaining({ agree: false, one: 'one', other: 'other' })])
    expect(adviceOf(apart, 'sensors')[0]).toMatch(/^one and other differ by 0\.8\u202f°C.*melting ice/)
    expect(apart.species[0]).toMatchObject({ verdict: 'fitWithRemarks' })
    expect(apart.species[0]?.reasons.at(-1)).toBe('Sensors in one spot do not agree.')
  })

  test('a room below the band is told of: a fridge cannot warm itself', () => {
    const cold = { id: 'room', points: steady(2.5, days(7)) }
    const report = reportOf([{ ...inBox, points: steady(5, days(7)) }], week, cold)
    expect(adviceOf(report, 'room')).toEqual([
      expect.stringMatching(/^The room came down to 2\.5 °C\. A fridge cannot warm itself: below 3\.0 °C/),
    ])
    const mild = reportOf([inAir], week, { id: 'room', points: steady(12, days(7)) })
    expect(adviceOf(mild, 'room')).toEqual([])
  })

  test('a species that must not go down is not fit, whatever the fridge does', () => {
    const report = reportOf([inAir], { ...week, asked: { species: [pythonRegius, testudoHermanni] } })
    expect(report.species[0]).toMatchObject({ verdict: 'notFit' })
    expect(report.species[0]?.reasons).toEqual([expect.stringMatching(/must not go down for winter\.$/)])
    expect(report.species[1]?.limits.map(({ value }) => value)).toEqual([1, 3, 7, 10])
  })
})

describe('the walk through the readings', () => {
  test('a run that is looked at while it goes on says the same as one that ended then', () => {
    const so = reportOf([inAir, inBox], { lasts: days(7), looksAfter: days(3) })
    const until = later(curveStart, days(3))
    const ended = reportOf([inAir, inBox], { lasts: days(7), trial: { until } })
    expect({ ...ended, isRunning: true, advice: [] }).toEqual({ ...so, advice: [] })
  })

  test('late, repeated and foreign readings change nothing (L5)', () => {
    const points = inAir.points.slice(0, 4000)
    const twice = points.flatMap((one, i) => [one, { ...one, celsius: -9 }, points[i - 7] ?? one])
    const before = { at: later(curveStart, -1), celsius: -20 }
    const after = { at: later(curveStart, days(2)), celsius: -20 }
    const all = [before, ...twice, after]
    expect(reportOf([{ ...inAir, points: all }], { lasts: days(2) })).toEqual(
      reportOf([inAir], { lasts: days(2) }),
    )
  }, 20_000)

  test('property: the mean lies between the extremes, the shares between nothing and all, whatever is heard', () => {
    const reading = fc.record({
      gap: fc.integer({ min: 1, max: 3_000_000 }),
      celsius: fc.double({ min: -45, max: 90, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 300 }), (all) => {
        let at = curveStart + hours(11)
        const points = all.map(({ gap, celsius }) => ({ at: (at += gap) as never, celsius }))
        const report = reportOf([{ ...inAir, points }], {
          lasts: days(7),
          asked: { species: [testudoHermanni, bufoBufo] },
        })
        const { figures, known } = report.sensors[0] ?? {}
        expect(known).toBeLessThanOrEqual(report.counted)
        for (const { outShare } of report.species) expect(outShare ?? 0).toBeLessThanOrEqual(1)
        if (figures === null || figures === undefined) return
        expect(figures.mean).toBeGreaterThanOrEqual(figures.min.value - 1e-9)
        expect(figures.mean).toBeLessThanOrEqual(figures.max.value + 1e-9)
        expect(figures.p5).toBeLessThanOrEqual(figures.p95)
      }),
      { numRuns: 60 },
    )
  })
})

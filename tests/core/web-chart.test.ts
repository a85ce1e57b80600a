import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { NightCurve, type Series } from '../../schemas/api.ts'
import { chartData, limitsAt, summaryOf, tableRows, valueRange } from '../../web/chart/chart-data.ts'
import { mayBeFiner, withFiner } from '../../web/chart/finer.ts'
import { hourMarks } from '../../web/chart/hour-marks.ts'
import { heldWithin } from '../../web/chart/wheel.ts'

const from = Date.parse('2027-01-12T20:00:00+01:00')
const hourMs = 3_600_000

function curve(
  lines: readonly (readonly (readonly [at: number, value: number | null])[])[],
  band: Partial<NightCurve['band']> = {},
): NightCurve {
  return NightCurve.parse({
    place: 'box',
    quantity: 'temperature',
    night: { date: '2027-01-12', from, to: from + 12 * hourMs },
    band: { at: [from], lowCritical: [null], low: [null], high: [null], highCritical: [null], ...band },
    series: lines.map((points, i) => {
      const at = points.map(([t]) => t)
      const values = points.map(([, value]) => value)
      return {
        sensor: `probe-${i}`,
        sensorName: `Probe ${i}`,
        spot: 'air',
        quantity: 'temperature',
        resolution: 'readings',
        columns: { at, low: values, mean: values, high: values },
        bad: [],
      }
    }),
    before: [],
  })
}

describe('joining sensors on one time axis', () => {
  test('a gap stays a gap, and a sensor without a row is not one', () => {
    const joined = chartData(
      curve([
        [
          [from, 4],
          [from + 60_000, null],
          [from + 120_000, 5],
        ],
        [[from + 60_000, 7]],
      ]),
    )
    expect(joined.x).toEqual([from / 1000, from / 1000 + 60, from / 1000 + 120])
    expect(joined.lines).toEqual([
      [4, null, 5],
      [undefined, 7, undefined],
    ])
  })

  test('a night without readings still has the two instants that a chart needs', () => {
    expect(chartData(curve([[]])).x).toEqual([from / 1000, from / 1000 + 12 * 3600])
    expect(chartData(curve([[[from + 5000, 4]]])).x).toHaveLength(3)
  })

  test('x ascends without repeats and every value is where its sensor put it', () => {
    const line = fc
      .uniqueArray(fc.integer({ min: 0, max: 12 * 3600 }), { maxLength: 40 })
      .map((seconds) => seconds.sort((a, b) => a - b))
      .chain((seconds) =>
        fc.tuple(
          ...seconds.map((s) =>
            fc
              .option(fc.double({ min: -40, max: 60, noNaN: true }))
              .map((value) => [from + s * 1000, value] as const),
          ),
        ),
      )
    fc.assert(
      fc.property(fc.array(line, { minLength: 1, maxLength: 4 }), (lines) => {
        const { x, lines: joined } = chartData(curve(lines))
        x.forEach((at, i) => expect(i === 0 || at > (x[i - 1] ?? 0)).toBe(true))
        lines.forEach((points, n) => {
          const drawn = new Map(x.map((at, i) => [at * 1000, joined[n]?.[i]]))
          for (const [at, value] of points) expect(drawn.get(at)).toBe(value)
          expect(joined[n]?.filter((value) => value !== undefined)).toHaveLength(points.length)
        })
      }),
    )
  })
})

describe('what a curve shows', () => {
  test('the range holds every value and every limit, and a steady fridge gets at least two degrees', () => {
    const [low, high] = valueRange(
      curve([
        [
          [from, 5],
          [from + 1000, 5.02],
        ],
      ]),
    )
    expect(high - low).toBeGreaterThanOrEqual(2)
    const [lower, higher] = valueRange(curve([[[from, 5]]], { lowCritical: [1], highCritical: [10] }))
    expect(lower).toBeLessThan(1)
    expect(higher).toBeGreaterThan(10)
    expect(valueRange(curve([[]]))).toEqual([0, 2])
  })

  test('a limit holds from its own instant until the next row', () => {
    const moving = curve([[]], {
      at: [from, from + hourMs],
      lowCritical: [1, 1],
      low: [3, 4],
      high: [null, 7],
      highCritical: [10, 10],
    })
    expect(limitsAt(moving, from + hourMs - 1)).toEqual({
      lowCritical: 1,
      low: 3,
      high: null,
      highCritical: 10,
    })
    expect(limitsAt(moving, from + hourMs)).toEqual({ lowCritical: 1, low: 4, high: 7, highCritical: 10 })
  })

  test('the summary leaves gaps out; nothing believed is nothing', () => {
    expect(
      summaryOf(
        curve([
          [
            [from, 4],
            [from + 1, null],
            [from + 2, 6],
          ],
        ]),
      ),
    ).toEqual({ low: 4, mean: 5, high: 6 })
    expect(summaryOf(curve([[[from, null]]]))).toBeNull()
  })

  test('the table has a row for every quarter of an hour up to the last value, and says where nothing was heard', () => {
    const quarter = 15 * 60_000
    const rows = tableRows(
      curve([
        [
          [from, 4],
          [from + quarter - 1, 6],
          [from + 2 * quarter, 5],
        ],
      ]),
      quarter,
    )
    expect(rows).toEqual([
      { at: from, cells: [{ low: 4, mean: 5, high: 6 }] },
      { at: from + quarter, cells: [null] },
      { at: from + 2 * quarter, cells: [{ low: 5, mean: 5, high: 5 }] },
    ])
    expect(tableRows(curve([[]]), quarter)).toEqual([])
  })
})

describe('hour marks', () => {
  const clock = (zone: string) => (at: number) =>
    new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone: zone }).format(at)

  test('stand on full local hours, ends included', () => {
    const marks = hourMarks(from, from + 12 * hourMs, 'Europe/Vienna', 4)
    expect(marks.map(clock('Europe/Vienna'))).toEqual(['20:00', '00:00', '04:00', '08:00'])
  })

  test('follow zones that are half and three quarters of an hour off', () => {
    for (const zone of ['Asia/Kolkata', 'Asia/Kathmandu', 'Australia/Lord_Howe']) {
      const marks = hourMarks(from, from + 12 * hourMs, zone, 3)
      expect(marks.length).toBeGreaterThanOrEqual(4)
      marks.forEach((mark, i) => i > 0 && expect(mark - (marks[i - 1] ?? 0)).toBe(3 * hourMs))
      for (const mark of marks) expect(clock(zone)(mark)).toMatch(/^(?:00|03|06|09|12|15|18|21):00$/)
    }
  })

  test('show an hour twice in the night when clocks go back, and leave one out when they go forward', () => {
    const autumn = Date.parse('2026-10-24T20:00:00+02:00')
    const long = hourMarks(autumn, autumn + 13 * hourMs, 'Europe/Vienna', 1).map(clock('Europe/Vienna'))
    expect(long.filter((text) => text === '02:00')).toHaveLength(2)
    expect(long.at(-1)).toBe('08:00')
    const spring = Date.parse('2027-03-27T20:00:00+01:00')
    const short = hourMarks(spring, spring + 11 * hourMs, 'Europe/Vienna', 1).map(clock('Europe/Vienna'))
    expect(short).not.toContain('02:00')
    expect(short.at(-1)).toBe('08:00')
  })
})

describe('a night looked at more closely', () => {
  const coarse = (at: readonly number[]): NightCurve => {
    const made = curve([at.map((t) => [from + t, 4] as const)])
    return { ...made, series: made.series.map((one) => ({ ...one, resolution: 'columns' as const })) }
  }
  const fine = (at: readonly number[]): Series[] => {
    const [one] = curve([at.map((t) => [from + t, 5] as const)]).series
    return one === undefined ? [] : [one]
  }

  test('only a part of a night drawn in columns can show more', () => {
    const part = { from: from + 1000, to: from + 2000 }
    const { night } = coarse([0])
    expect(mayBeFiner(coarse([0]), part)).toBe(true)
    expect(mayBeFiner(coarse([0]), { from: night.from, to: night.to })).toBe(false)
    expect(mayBeFiner(curve([[[from, 4]]]), part)).toBe(false)
  })

  test('the stretch has the finer rows, its first instant in, its last out; the rest stays', () => {
    const seen = withFiner(coarse([0, 1000, 2000, 3000]), fine([1100, 1500, 1900]), {
      from: from + 1000,
      to: from + 2000,
    })
    const { at, mean } = seen.series[0]?.columns ?? { at: [], mean: [] }
    expect(at.map((t) => t - from)).toEqual([0, 1100, 1500, 1900, 2000, 3000])
    expect(mean).toEqual([4, 5, 5, 5, 4, 4])
  })

  test('whatever the stretch, time only goes forward and nothing outside it is lost', () => {
    const instants = fc
      .uniqueArray(fc.integer({ min: 0, max: 43_200 }), { maxLength: 30 })
      .map((some) => some.sort((one, other) => one - other))
    fc.assert(
      fc.property(instants, instants, fc.nat(43_200), fc.nat(43_200), (rows, closer, one, other) => {
        const [low, high] = [Math.min(one, other), Math.max(one, other)]
        const inside = closer.filter((t) => t >= low && t < high)
        const stretch = { from: from + low, to: from + high }
        const at = withFiner(coarse(rows), fine(inside), stretch).series[0]?.columns.at ?? []
        const kept = rows.filter((t) => t < low || t >= high)
        expect(at.map((t) => t - from)).toEqual([...kept, ...inside].sort((a, b) => a - b))
      }),
    )
  })
})

describe('moving the time axis', () => {
  const whole = { min: 0, max: 100 }
  test('what sticks out is moved back whole; a length beyond the night is the night', () => {
    expect(heldWithin({ min: -5, max: 15 }, whole)).toEqual({ min: 0, max: 20 })
    expect(heldWithin({ min: 90, max: 120 }, whole)).toEqual({ min: 70, max: 100 })
    expect(heldWithin({ min: 40, max: 60 }, whole)).toEqual({ min: 40, max: 60 })
    expect(heldWithin({ min: -50, max: 250 }, whole)).toEqual(whole)
  })
})

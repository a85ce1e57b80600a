import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Alarm } from '../../schemas/alarm.ts'
import { JournalLine, NightCurve } from '../../schemas/api.ts'
import { hours, instant, minutes } from '../../schemas/amounts.ts'
import { laggedAt, startLag } from '../../shared/thermal/lag.ts'
import { animalLine, noAir } from '../../web/chart/animal-side.ts'
import { chartData, tableRows, valueRange } from '../../web/chart/chart-data.ts'
import { coolingRuns } from '../../web/chart/cooling-runs.ts'
import { faultWords } from '../../web/chart/fault-words.ts'
import { curveKinds, type Fault, faultsIn, faultsOn } from '../../web/chart/faults.ts'
import { faultsAt, isCooling } from '../../web/chart/marks.ts'
import { areRunsReadable, footOf } from '../../web/chart/foot.ts'
import { marksAt, stretchWords } from '../../web/chart/mark-words.ts'
import { noMarks } from '../../web/chart/marks.ts'
import { createTell } from '../../web/words/tell.ts'

const from = Date.parse('2027-01-12T20:00:00+01:00')
const at = (m: number): number => from + m * 60_000
const zone = 'Europe/Vienna'
const tell = createTell('en-GB')
const night = { date: '2027-01-12', from: instant(from), to: instant(at(720)) }
const tau = hours(1)

/** Air read each two minutes, from `first` to `last` minutes after dusk. */
const air = (first: number, last: number, celsius: (minute: number) => number | null) => {
  const count = Math.floor((last - first) / 2)
  const minutesIn = Array.from({ length: count }, (_, i) => first + i * 2)
  return { at: minutesIn.map(at), mean: minutesIn.map(celsius) }
}

describe('L11: the animals’ side in the curve', () => {
  test('is not drawn before it rests on measured air: three time constants, and from then on it is', () => {
    const line = animalLine(
      'air',
      noAir,
      air(0, 300, () => 5),
      tau,
    )
    const first = line.celsius.findIndex((value) => value !== null)
    expect(line.at[first]).toBe(at(180))
    expect(line.celsius.slice(first).every((value) => Math.abs((value ?? 0) - 5) < 1e-9)).toBe(true)
  })

  test('is drawn from dusk on where the air before it is known', () => {
    const line = animalLine(
      'air',
      air(-220, 0, () => 5),
      air(0, 60, () => 9),
      tau,
    )
    expect(line.celsius[0]).toBeGreaterThan(5)
    expect(line.celsius[0]).toBeLessThan(5.2)
    // Newton's law for a step of 4 K, 58 min later
    const expected = laggedAt(
      { ...startLag({ at: instant(0), celsius: 9 }, 5), air: 9 },
      instant(minutes(58)),
      tau,
    )
    expect(line.celsius.at(-1)).toBeCloseTo(expected, 1)
  })

  test('breaks where the air does; a short gap keeps it settled, a long one must be lived down', () => {
    const holed = (gap: number) =>
      animalLine(
        'air',
        air(-240, 0, () => 5),
        air(0, 300, (m) => (m >= 60 && m < 60 + gap ? null : 5)),
        tau,
      )
    const short = holed(8)
    expect(short.celsius[30]).toBeNull()
    expect(short.celsius[34]).not.toBeNull()
    const long = holed(60)
    expect(long.celsius[60]).toBeNull()
    expect(long.celsius.at(-1)).not.toBeNull()
  })

  test('never leaves what the air was', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 30, noNaN: true }), { minLength: 2, maxLength: 80 }),
        (values) => {
          const line = animalLine(
            'air',
            air(-240, 0, () => values[0] ?? 0),
            air(0, values.length * 2, (m) => values[m / 2] ?? 0),
            tau,
          )
          for (const value of line.celsius) {
            if (value === null) continue
            expect(value).toBeGreaterThanOrEqual(Math.min(...values) - 1e-9)
            expect(value).toBeLessThanOrEqual(Math.max(...values) + 1e-9)
          }
        },
      ),
    )
  })

  test('is a line of the chart and a column of the table, after the sensors', () => {
    const drawn = air(0, 20, (m) => 4 + m / 10)
    const curve = NightCurve.parse({
      place: 'box',
      quantity: 'temperature',
      night,
      band: { at: [from], lowCritical: [null], low: [null], high: [null], highCritical: [null] },
      series: [
        {
          sensor: 'air',
          sensorName: 'Air',
          spot: 'air',
          quantity: 'temperature',
          resolution: 'readings',
          columns: { at: drawn.at, low: drawn.mean, mean: drawn.mean, high: drawn.mean },
          bad: [],
        },
      ],
      before: [],
    })
    const animals = [
      animalLine(
        'air',
        air(-240, 0, () => 12),
        drawn,
        tau,
      ),
    ]
    const { x, lines } = chartData(curve, animals)
    expect(x).toHaveLength(10)
    expect(lines).toHaveLength(2)
    expect(lines[1]?.every((value) => typeof value === 'number' && value > 9)).toBe(true)
    expect(valueRange(curve, animals)[1]).toBeGreaterThan(11)
    expect(valueRange(curve)[1]).toBeLessThan(7)
    const [row] = tableRows(curve, minutes(15), animals)
    expect(row?.cells).toHaveLength(2)
    expect(row?.cells[1]?.mean).toBeGreaterThan(10)
  })
})

describe('runs of the compressor', () => {
  /** A saw: ten minutes down, thirty up. */
  const saw = (m: number): number => (((m % 40) + 40) % 40 < 10 ? 6 - (m % 40) / 5 : 4 + ((m % 40) - 10) / 15)
  const runs = coolingRuns(air(0, 400, saw))

  test('are found from crest to trough, one for each', () => {
    expect(runs.length).toBeGreaterThanOrEqual(9)
    for (const { from: begin, to } of runs.slice(1)) {
      expect(Math.abs(((begin - from) / 60_000) % 40)).toBeLessThanOrEqual(4)
      expect((to - begin) / 60_000).toBeGreaterThan(6)
      expect((to - begin) / 60_000).toBeLessThan(14)
    }
    expect(isCooling(runs, at(206))).toBe(true)
    expect(isCooling(runs, at(225))).toBe(false)
  })

  test('air that hangs still has none', () => {
    expect(coolingRuns(air(0, 400, () => 5))).toEqual([])
    expect(coolingRuns(noAir)).toEqual([])
  })

  test('are drawn only where they can be told apart: six px from one to the next', () => {
    const perMs = 6 / minutes(40)
    expect(areRunsReadable(runs.slice(1), perMs * 1.01)).toBe(true)
    expect(areRunsReadable(runs.slice(1), perMs * 0.9)).toBe(false)
    expect(areRunsReadable([], 1)).toBe(false)
  })
})

const line = (id: number, minute: number, kind: string, more: object = {}): JournalLine =>
  JournalLine.parse({
    id,
    at: at(minute),
    kind,
    by: 'brumal',
    alarm: 'notCooling:fridge',
    alarmKind: 'notCooling',
    priority: 'medium',
    place: 'fridge',
    ...more,
  })
const cold = {
  alarm: 'limit:box:temperature:lowCritical',
  alarmKind: 'limit',
  place: 'box',
  quantity: 'temperature',
  limit: 'lowCritical',
  priority: 'high',
}
const here = new Set(['box', 'fridge'])
const standing = (state: Alarm['state']): Alarm =>
  Alarm.parse({
    id: 'notCooling:fridge',
    kind: 'notCooling',
    place: 'fridge',
    sensor: null,
    contact: null,
    quantity: null,
    limit: null,
    priority: 'medium',
    occurrence: 1,
    value: null,
    threshold: null,
    state,
  })
const stretches = (faults: readonly Fault[]) =>
  faults.map(({ kind, from: begin, to }) => [
    kind,
    begin === null ? null : (begin - from) / 60_000,
    to === null ? null : (to - from) / 60_000,
  ])

describe('L12: when alarms of the curve stood', () => {
  test('from raised to returned, in this place and the fridge around it, in any order of the lines, each once', () => {
    const lines = [
      line(1, 10, 'raised'),
      line(2, 20, 'raised', cold),
      line(3, 25, 'acknowledged', cold),
      line(4, 40, 'returned', cold),
      line(5, 50, 'returned'),
      line(6, 60, 'raised', { place: 'shed', alarm: 'notCooling:shed' }),
      line(7, 70, 'raised', { alarmKind: 'batteryLow', alarm: 'batteryLow:air' }),
    ]
    const expected = [
      ['notCooling', 10, 50],
      ['limit', 20, 40],
    ]
    expect(stretches(faultsIn(lines, [], here))).toEqual(expected)
    expect(stretches(faultsIn([...lines, ...lines].reverse(), [], here))).toEqual(expected)
  })

  test('what was raised before the oldest line began before it; what stands has no end', () => {
    expect(stretches(faultsIn([line(1, 30, 'returned')], [], here))).toEqual([['notCooling', null, 30]])
    expect(stretches(faultsIn([line(1, 30, 'raised')], [], here))).toEqual([['notCooling', 30, null]])
    const since = instant(at(-9000))
    const stands = standing({ name: 'acknowledged', since, by: 'Ada', acknowledgedAt: since })
    expect(stretches(faultsIn([], [stands], here))).toEqual([['notCooling', -9000, null]])
    expect(faultsIn([], [stands], new Set(['box']))).toEqual([])
  })

  test('an alarm that is hidden stands no longer in the journal, but where it is known to be out it does', () => {
    const lines = [
      line(1, 10, 'raised'),
      line(2, 20, 'shelved'),
      line(3, 60, 'unshelved'),
      line(4, 60, 'raised'),
    ]
    expect(stretches(faultsIn(lines.slice(0, 2), [], here))).toEqual([['notCooling', 10, 20]])
    expect(stretches(faultsIn(lines, [], here))).toEqual([
      ['notCooling', 10, 20],
      ['notCooling', 60, null],
    ])
    const shelved = (out: boolean) =>
      standing({
        name: 'shelved',
        until: instant(at(90)),
        by: 'Ada',
        reason: 'new gas',
        out,
        since: out ? instant(at(10)) : null,
      })
    expect(stretches(faultsIn(lines.slice(0, 2), [shelved(true)], here))).toEqual([['notCooling', 10, null]])
    expect(stretches(faultsIn(lines.slice(0, 2), [shelved(false)], here))).toEqual([['notCooling', 10, 20]])
  })

  test('what returned and nobody has acknowledged is told once', () => {
    const over = standing({
      name: 'returnedUnacknowledged',
      since: instant(at(10)),
      returnedAt: instant(at(50)),
    })
    expect(stretches(faultsIn([], [over], here))).toEqual([['notCooling', 10, 50]])
    expect(stretches(faultsIn([line(1, 10, 'raised'), line(2, 50, 'returned')], [over], here))).toEqual([
      ['notCooling', 10, 50],
    ])
  })

  test('of one night those that touch it are drawn, and no limit of another quantity', () => {
    const one = (begin: number | null, end: number | null, more: object = {}): Fault => ({
      ...(faultsIn([line(1, 0, 'raised')], [], here)[0] as Fault),
      from: begin === null ? null : at(begin),
      to: end === null ? null : at(end),
      ...more,
    })
    const drawn = (fault: Fault) => faultsOn([fault], night, 'temperature').length === 1
    expect([drawn(one(-20, 0)), drawn(one(-20, -1)), drawn(one(719, null)), drawn(one(720, null))]).toEqual([
      true,
      false,
      true,
      false,
    ])
    expect(drawn(one(null, null))).toBe(true)
    expect(drawn(one(5, 9, { quantity: 'humidity' }))).toBe(false)
    expect(faultsAt([one(5, 9)], at(5))).toHaveLength(1)
    expect(faultsAt([one(5, 9)], at(9))).toHaveLength(0)
  })

  test('no order of raising and returning makes a stretch that ends before it begins', () => {
    const kinds = fc.constantFrom('raised', 'returned', 'shelved', 'suppressed')
    fc.assert(
      fc.property(fc.array(fc.tuple(kinds, fc.integer({ min: 0, max: 500 }))), (told) => {
        const faults = faultsIn(
          told.map(([kind, minute], i) => line(i + 1, minute, kind)),
          [],
          here,
        )
        for (const { from: begin, to } of faults)
          if (begin !== null && to !== null) expect(to).toBeGreaterThanOrEqual(begin)
        expect(faults.filter(({ to }) => to === null).length).toBeLessThanOrEqual(1)
      }),
    )
  })
})

describe('words of what is marked', () => {
  const names = { here: 'box', place: (id: string) => `the ${id}`, sensor: (id: string) => `Probe ${id}` }
  const fault = (more: object): Fault => ({
    ...(faultsIn([line(1, 0, 'raised', cold)], [], here)[0] as Fault),
    ...more,
  })

  test('say what stood, and where if not here', () => {
    expect(faultWords(fault({}), names)).toBe('dangerously cold')
    expect(faultWords(fault({ kind: 'limitAhead' }), names)).toBe('soon dangerously cold')
    expect(faultWords(fault({ kind: 'notCooling', place: 'fridge' }), names)).toBe('not cooling (the fridge)')
    expect(faultWords(fault({ kind: 'silent', sensor: 'a' }), names)).toBe('Probe a silent')
    for (const kind of curveKinds) expect(faultWords(fault({ kind }), names)).toMatch(/^[A-Za-z].*[a-z]$/)
  })

  test('and when, by the clock', () => {
    const words = (begin: number | null, end: number | null) =>
      stretchWords(
        { from: begin === null ? null : at(begin), to: end === null ? null : at(end) },
        night,
        tell,
        zone,
      )
    expect(words(10, 95)).toBe('20:10 to 21:35')
    expect(words(10, null)).toBe('since 20:10')
    expect(words(-1, 5)).toBe('until 20:05')
    expect(words(0, 5)).toBe('20:00 to 20:05')
    expect(words(null, null)).toBe('since before this night')
  })

  test('at one instant: runs, the door within a minute, what stood', () => {
    const marks = {
      ...noMarks,
      runs: [{ from: at(10), to: at(20) }],
      doors: [{ at: at(30), until: at(32) }],
      faults: [fault({ from: at(31), to: at(40) })],
    }
    expect(marksAt(marks, at(10), names)).toBe('cooling')
    expect(marksAt(marks, at(20), names)).toBe('resting')
    expect(marksAt(marks, at(29), names)).toBe('resting · door opened')
    expect(marksAt(marks, at(28), names)).toBe('resting')
    expect(marksAt(marks, at(33), names)).toBe('resting · door opened · dangerously cold')
    expect(marksAt(noMarks, at(33), names)).toBe('')
  })
})

describe('the strip under the curve', () => {
  const stood = (begin: number, end: number | null): Fault => ({
    ...(faultsIn([line(1, 0, 'raised')], [], here)[0] as Fault),
    from: at(begin),
    to: end === null ? null : at(end),
  })

  test('is not there where nothing is marked', () => {
    expect(footOf(noMarks)).toEqual({ height: 0, runs: null, rows: [] })
  })

  test('gives alarms at one time rows of their own, and those after each other one', () => {
    const tops = (faults: readonly Fault[]) => footOf({ runs: [], faults }).rows.map(({ top }) => top)
    expect(new Set(tops([stood(0, 10), stood(10, 20)])).size).toBe(1)
    expect(new Set(tops([stood(0, 11), stood(10, 20)])).size).toBe(2)
    expect(new Set(tops([stood(0, null), stood(10, 20), stood(30, 40)])).size).toBe(2)
  })

  test('X3: never grows beyond four rows', () => {
    const many = Array.from({ length: 40 }, (_, i) => stood(i, null))
    const most = footOf({ runs: [{ from: at(0), to: at(1) }], faults: many }).height
    expect(most).toBe(footOf({ runs: [{ from: at(0), to: at(1) }], faults: many.slice(0, 4) }).height)
    expect(most).toBeLessThan(50)
  })
})

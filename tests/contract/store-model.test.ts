import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { JudgedReading, Store } from '../../daemon/ports/store.ts'
import type { Point } from '../../daemon/ports/zones.ts'
import type { Columns } from '../../schemas/api.ts'
import { instant, millis } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  aReading,
  batchOf,
  clock,
  hour,
  minute,
  openStore,
  otherProbe,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'

// The model: what was committed, first come first kept, in a plain Map.
type Model = Map<string, JudgedReading>

const keyOf = ({ sensor, at }: JudgedReading): string => `${sensor} ${at}`

const readingsOf = (model: Model, sensor: string, from: number, to: number): JudgedReading[] =>
  [...model.values()]
    .filter((r) => r.sensor === sensor && r.at >= from && r.at < to)
    .sort((a, b) => a.at - b.at)

const goodOf = (model: Model, sensor: string, from: number, to: number): Point[] =>
  readingsOf(model, sensor, from, to)
    .filter((r) => r.quality === 'good')
    .map((r) => [r.at, r.value] as const)

/** Columns as the interface promises them, by the plainest means. */
function columnsOf(good: Point[], from: number, to: number, count: number, gap: number) {
  if (good.length <= count)
    return withGaps(
      good.map(([at, value]) => ({ at, points: [[at, value] as Point] })),
      gap,
    )
  let origin = from
  let width = (to - from) / count
  if (width >= hour) {
    origin = Math.floor(from / hour) * hour
    for (width = hour; Math.ceil((to - origin) / width) > count; ) width += hour
  }
  const groups = new Map<number, Point[]>()
  for (const point of good) {
    const i = Math.min(count - 1, Math.floor((point[0] - origin) / width))
    groups.set(i, [...(groups.get(i) ?? []), point])
  }
  const middle = (i: number): number =>
    Math.floor((Math.max(from, origin + i * width) + Math.min(to, origin + (i + 1) * width)) / 2)
  return withGaps(
    [...groups].map(([i, points]) => ({ at: middle(i), points })),
    gap,
  )
}

function withGaps(groups: { at: number; points: Point[] }[], gap: number): (number | null)[][] {
  return groups.flatMap(({ at, points }, i) => {
    const before = groups[i - 1]
    const isSilent = before && (points[0] as Point)[0] - (before.points.at(-1) as Point)[0] > gap
    const values = points.map(([, value]) => value)
    const row = [at, Math.min(...values), values.reduce((a, b) => a + b) / values.length, Math.max(...values)]
    return isSilent ? [[Math.floor((before.at + at) / 2), null, null, null], row] : [row]
  })
}

const rowsOf = (columns: Columns) =>
  columns.at.map((at, i) => [at, columns.low[i], columns.mean[i], columns.high[i]] as (number | null)[])

const nearly = (rows: (number | null)[][]) =>
  rows.map((row) => row.map((n, i) => (i === 2 && n !== null ? nearTo(n) : n)))

// the order of adding up is the store's own
const nearTo = (value: number): number => expect.closeTo(value, 9) as number

const slots = 40 * 12 // forty hours in steps of five minutes: repeats and late ones are common
const aSlot = fc.integer({ min: 0, max: slots - 1 }).map((slot) => clock(slot / 12))
const anyReading = fc
  .record({
    at: fc.oneof(aSlot, fc.integer({ min: clock(0), max: clock(40) }).map(instant)),
    value: fc.oneof(
      fc.integer({ min: -50, max: 150 }).map((n) => n / 10),
      fc.double({ min: -5, max: 15, noNaN: true }),
    ),
    sensor: fc.constantFrom(probe, otherProbe),
    quality: fc.constantFrom('good', 'good', 'good', 'good', 'spike', 'stuck'),
  })
  .map(({ at, value, ...more }) => aReading(at, value + 0, more as Partial<JudgedReading>))

const anyAct = fc.oneof(
  { weight: 6, arbitrary: fc.record({ commit: fc.array(anyReading, { maxLength: 40 }) }) },
  { weight: 3, arbitrary: fc.record({ fold: aSlot }) },
  { weight: 1, arbitrary: fc.record({ reopen: fc.constant(true) }) },
)

const anyStretch = fc
  .tuple(fc.oneof(aSlot, fc.integer({ min: 0, max: 40 }).map(clock)), fc.integer({ min: 1, max: 13 * 12 }))
  .map(([from, length]) => ({ from, to: instant(from + length * 5 * minute) }))

const anyQuestion = fc.record({
  stretch: anyStretch,
  count: fc.oneof(fc.integer({ min: 1, max: 12 }), fc.constant(100)),
  gap: fc.constantFrom(minute, 20 * minute, 3 * hour).map(millis),
})

function agree(
  store: Store,
  model: Model,
  { stretch, count, gap }: { stretch: { from: Instant; to: Instant }; count: number; gap: number },
) {
  for (const sensor of [probe, otherProbe]) {
    const { from, to } = stretch
    expect(store.readings(sensor, 'temperature', from, to)).toEqual(readingsOf(model, sensor, from, to))

    const good = goodOf(model, sensor, from, to)
    const drawn = store.columns(sensor, 'temperature', from, to, count, millis(gap))
    expect(drawn.resolution).toBe(good.length <= count ? 'readings' : 'columns')
    expect(rowsOf(drawn.columns)).toEqual(nearly(columnsOf(good, from, to, count, gap)))
    expect(drawn.columns.at.every((at, i) => i === 0 || at > (drawn.columns.at[i - 1] as number))).toBe(true)

    const values = good.map(([, value]) => value)
    const dayBefore = goodOf(model, sensor, Math.floor(from / hour) * hour - 24 * hour, from).at(-1) ?? null
    const [summary] = store.summaries(sensor, 'temperature', [stretch], zonesByHand)
    expect(summary).toEqual({
      readings: values.length,
      min: values.length ? Math.min(...values) : null,
      max: values.length ? Math.max(...values) : null,
      mean: values.length ? nearTo(values.reduce((a, b) => a + b) / values.length) : null,
      zones: zonesByHand(sensor, 'temperature', stretch, dayBefore, good),
    })

    const all = readingsOf(model, sensor, 0, Infinity)
    expect(store.span(sensor, 'temperature')).toEqual(
      all.length === 0 ? null : { first: all[0]?.at, last: all.at(-1)?.at },
    )
  }
}

test('L5: whatever is committed, late, repeated, folded or restarted, the store answers as a plain list would', () => {
  fc.assert(
    fc.property(
      fc.array(anyAct, { minLength: 1, maxLength: 12 }),
      fc.array(anyQuestion, { minLength: 3, maxLength: 6 }),
      (acts, questions) => {
        const folder = temporaryFolder()
        let { store } = openStore(folder.path)
        try {
          const model: Model = new Map()
          for (const act of acts) {
            if ('commit' in act) {
              store.commit(batchOf(...act.commit))
              for (const reading of act.commit)
                if (!model.has(keyOf(reading))) model.set(keyOf(reading), reading)
            } else if ('fold' in act) {
              store.fold(act.fold, zonesByHand, 'snapshot')
              expect(store.resume().since).toEqual([])
            } else {
              store.close()
              ;({ store } = openStore(folder.path))
            }
          }
          for (const question of questions) agree(store, model, question)
          store.fold(clock(50), zonesByHand, 'snapshot')
          expect(store.unfolded()).toBe(0)
          for (const question of questions) agree(store, model, question)
        } finally {
          store.close()
          folder.remove()
        }
      },
    ),
    { numRuns: 120 },
  )
}, 180_000)

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { coveredBy } from '../../web/chart/night-line.ts'

type Value = number | null | undefined

const covered = (values: readonly Value[], width: number) =>
  coveredBy(
    values.map((_, i) => i),
    values,
    [0, values.length - 1],
    0,
    width,
  )

describe('a line of more readings than pixels', () => {
  test('keeps the lowest and the highest reading of each pixel', () => {
    expect(covered([4, 9, 5, 5, 1, 5], 3)).toEqual([{ at: [1.5, 4.5], low: [4, 1], high: [9, 5] }])
  })

  test('stands over the whole of a jump between two pixels, as a line from row to row does', () => {
    const [piece] = covered([2, 2, 8, 8, 8, 8], 2)
    expect(piece).toEqual({ at: [1, 3, 5], low: [2, 2, 8], high: [2, 8, 8] })
  })

  test('is broken by a gap, and not by a row that only another sensor has', () => {
    expect(covered([1, 2, null, 3, undefined, 4], 1).map(({ at }) => at)).toEqual([
      [0.5, 1.5],
      [3.5, 5.5],
    ])
    // after a gap nothing of what was before it is left
    expect(covered([9, null, 3], 1).map(({ high }) => high)).toEqual([[9], [3]])
  })

  test('a reading alone between two gaps is there', () => {
    expect(covered([null, 7, null], 1)).toEqual([{ at: [1.5], low: [7], high: [7] }])
    expect(covered([null, null], 1)).toEqual([])
  })

  const line = fc.array(
    fc.oneof({ weight: 9, arbitrary: fc.integer({ min: -40, max: 60 }) }, fc.constant(null)),
    {
      minLength: 1,
      maxLength: 200,
    },
  )

  test('no reading stands outside what is drawn, and nothing is drawn where no reading reaches', () => {
    fc.assert(
      fc.property(line, fc.integer({ min: 1, max: 30 }), (values, width) => {
        const pieces = covered(values, width)
        values.forEach((value, row) => {
          if (value === null) return
          const middle = (Math.floor(row / width) + 0.5) * width
          const holds = pieces.some(({ at, low, high }) =>
            at.some((x, i) => x === middle && (low[i] as number) <= value && (high[i] as number) >= value),
          )
          expect(holds).toBe(true)
        })
        const known = values.filter((value) => value !== null)
        for (const { low, high } of pieces) {
          for (const edge of [...low, ...high]) expect(known).toContain(edge)
        }
      }),
    )
  })

  test('keeps its shape while it is shifted: the same pixels are cut whichever row is first on the screen', () => {
    fc.assert(
      fc.property(line, fc.integer({ min: 1, max: 30 }), fc.nat(199), (values, width, cut) => {
        const first = Math.floor(Math.min(cut, values.length - 1) / width) * width
        const [whole, part] = [
          covered(values, width),
          coveredBy(
            values.map((_, i) => i),
            values,
            [first, values.length - 1],
            0,
            width,
          ),
        ]
        const from = (first / width + 1.5) * width // the first stretch has no value before it to begin with
        const after = (pieces: typeof whole) =>
          pieces.flatMap(({ at, low, high }) =>
            at.flatMap((x, i) => (x < from ? [] : [[x, low[i], high[i]]])),
          )
        expect(after(part)).toEqual(after(whole))
      }),
    )
  })
})

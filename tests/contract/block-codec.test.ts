import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { decodeBlock, encodeBlock } from '../../daemon/sqlite/block-codec.ts'
import type { Rows } from '../../daemon/sqlite/rows.ts'

const rowsOf = (list: readonly (readonly [at: number, value: number, quality?: number])[]): Rows => ({
  length: list.length,
  at: Float64Array.from(list, ([at]) => at),
  value: Float64Array.from(list, ([, value]) => value),
  quality: Uint8Array.from(list, ([, , quality]) => quality ?? 0),
})

const listOf = (rows: Rows) =>
  Array.from({ length: rows.length }, (_, i) => [rows.at[i], rows.value[i], rows.quality[i]])

const packedAndBack = (rows: Rows) => listOf(decodeBlock(encodeBlock(rows)))

/** An hour of one sensor: jitter on the clock, Gaussian-like noise on the value, rounded as the sensor counts. */
function anHour(every: number, jitter: number, noise: number, perUnit: number): Rows {
  let state = 20_260_110
  const chance = (): number => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647 // Lehmer, 48271
  const gauss = (): number => Array.from({ length: 12 }, chance).reduce((a, b) => a + b) - 6
  const start = Date.UTC(2026, 0, 10, 3)
  return rowsOf(
    Array.from({ length: 3_600_000 / every }, (_, i) => [
      start + i * every + Math.round(2 * jitter * chance()),
      Math.round((5 + 1.2 * Math.sin(i / 40) + noise * gauss()) * perUnit) / perUnit,
    ]),
  )
}

describe('a block of readings', () => {
  test.each([
    ['in hundredths every 10 s', anHour(10_000, 50, 0.05, 100)],
    ['in hundredths every 30 s', anHour(30_000, 50, 0.05, 100)],
    ['in sixteenths with 2 s of jitter', anHour(30_000, 2000, 0.05, 16)],
    ['of humidity with noise of 0.3', anHour(30_000, 200, 0.3, 100)],
    ['in thousandths every minute', anHour(60_000, 50, 0.05, 1000)],
  ])('%s takes less than 4 bytes a reading', (_, rows) => {
    expect(encodeBlock(rows).length / rows.length).toBeLessThan(4)
    expect(packedAndBack(rows)).toEqual(listOf(rows))
  })

  test('holds nothing, one reading, and an hour of a single value', () => {
    expect(packedAndBack(rowsOf([]))).toEqual([])
    expect(packedAndBack(rowsOf([[0, -242, 1]]))).toEqual([[0, -242, 1]])
    const still = Array.from({ length: 360 }, (_, i) => [1_768_000_000_000 + i * 10_000, 4.5] as const)
    expect(encodeBlock(rowsOf(still)).length).toBeLessThan(60)
  })

  test.each([
    ['the last hundredth that is a whole number of hundredths', 0.07],
    ['a third, which no scale can hold', 1 / 3],
    ['a sum that misses its decimal by one bit', 0.1 + 0.2],
    ['the largest number that is still counted', 2 ** 50],
    ['one beyond it', 2 ** 50 + 1],
    ['the largest double', Number.MAX_VALUE],
    ['the smallest double', Number.MIN_VALUE],
  ])('gives back %s to the bit', (_, value) => {
    expect(
      packedAndBack(
        rowsOf([
          [5, value],
          [6, -value],
          [9, 21.5],
        ]),
      ).map(([, v]) => v),
    ).toEqual([value, -value, 21.5])
  })

  test('takes −0 as 0, counted or raw', () => {
    expect(packedAndBack(rowsOf([[1, -0]]))[0]?.[1]).toBe(0)
    expect(
      packedAndBack(
        rowsOf([
          [1, -0],
          [2, Math.PI],
        ]),
      )[0]?.[1],
    ).toBe(0)
  })

  test('is refused when any one byte of it has changed', () => {
    const rows = anHour(60_000, 50, 0.05, 100)
    const packed = encodeBlock(rows)
    for (let i = 0; i < packed.length; i++) {
      const damaged = Buffer.from(packed)
      damaged[i] = (damaged[i] as number) ^ 0x10
      expect(() => decodeBlock(damaged), `byte ${i}`).toThrow()
    }
    for (let length = 0; length < packed.length; length++)
      expect(() => decodeBlock(packed.subarray(0, length)), `cut to ${length}`).toThrow()
  })

  const instants = fc.uniqueArray(fc.integer({ min: 0, max: 253_402_300_799_999 }), { maxLength: 60 })
  const anyValue = fc.oneof(
    fc.integer({ min: -60_000, max: 130_000 }).map((n) => n / 1000),
    fc.integer({ min: -880, max: 2000 }).map((n) => n / 16),
    fc.double({ noNaN: true, noDefaultInfinity: true }),
  )

  test('gives back every reading that went in, whatever its instant, value and quality', () => {
    fc.assert(
      fc.property(instants, fc.array(fc.tuple(anyValue, fc.integer({ min: 0, max: 255 }))), (ats, rest) => {
        const list = ats
          .sort((a, b) => a - b)
          .map((at, i) => [at, (rest[i]?.[0] ?? 4.25) + 0, rest[i]?.[1] ?? 0] as const)
        expect(packedAndBack(rowsOf(list))).toEqual(list)
      }),
      { numRuns: 500 },
    )
  })

  test('gives back hours of counted values, which are most', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(1, 10, 16, 100, 128, 256, 1000, 10_000),
        fc.array(fc.tuple(fc.integer({ min: 1, max: 90_000 }), fc.integer({ min: -3000, max: 3000 })), {
          maxLength: 400,
        }),
        (perUnit, steps) => {
          let at = 1_768_000_000_000
          const list = steps.map(([step, count]) => [(at += step), count / perUnit, 0] as const)
          const packed = encodeBlock(rowsOf(list))
          expect(listOf(decodeBlock(packed))).toEqual(list)
          expect(packed.length).toBeLessThan(30 + list.length * 8) // counted, not raw: a raw one takes 8 for the value alone
        },
      ),
      { numRuns: 200 },
    )
  })
})

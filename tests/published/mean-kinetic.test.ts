import fc from 'fast-check'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import {
  activationOverGas,
  addKinetic,
  type Kinetic,
  meanKinetic,
  mergeKinetic,
  noKinetic,
} from '../../shared/season/mean-kinetic.ts'

type Weighted = readonly [celsius: number, weight: number]

const of = (rows: readonly Weighted[]): Kinetic =>
  rows.reduce((so, [at, weight]) => addKinetic(so, at, weight), noKinetic)
const evenly = (...all: readonly number[]): readonly Weighted[] => all.map((at) => [at, 1])
const mkt = (rows: readonly Weighted[]): number => meanKinetic(of(rows)) ?? Number.NaN
const mean = (rows: readonly Weighted[]): number =>
  rows.reduce((sum, [at, w]) => sum + at * w, 0) / rows.reduce((sum, [, w]) => sum + w, 0)

/**
 * °C, each ten minutes; one is missing after the 82nd. Reynolds 1994, Time-series analyses of beaver body temperatures, in
 * Lange et al., Case Studies in Biometry (Wiley), chapter 11; as `beaver1` in the datasets of R.
 */
const beaver = `
  36.33 36.34 36.35 36.42 36.55 36.69 36.71 36.75 36.81 36.88 36.89 36.91 36.85 36.89 36.89 36.67 36.5 36.74 36.77 36.76
  36.78 36.82 36.89 36.99 36.92 36.99 36.89 36.94 36.92 36.97 36.91 36.79 36.77 36.69 36.62 36.54 36.55 36.67 36.69 36.62
  36.64 36.59 36.65 36.75 36.8 36.81 36.87 36.87 36.89 36.94 36.98 36.95 37 37.07 37.05 37 36.95 37 36.94 36.88
  36.93 36.98 36.97 36.85 36.92 36.99 37.01 37.1 37.09 37.02 36.96 36.84 36.87 36.85 36.85 36.87 36.89 36.86 36.91 37.53
  37.23 37.2 37.25 37.2 37.21 37.24 37.1 37.2 37.18 36.93 36.83 36.93 36.83 36.8 36.75 36.71 36.73 36.75 36.72 36.76
  36.7 36.82 36.88 36.94 36.79 36.78 36.8 36.82 36.84 36.86 36.88 36.93 36.97 37.15`
  .trim()
  .split(/\s+/)
  .map(Number)

describe('mean kinetic temperature, USP <1160>', () => {
  it('counts with 83.144 kJ/mol over 8.3144 J/(mol·K), which is 10 000 K', () => {
    expect(activationOverGas).toBeCloseTo(83.144 / 8.3144e-3, 9)
    // With the gas constant of CODATA 2018, 8.314462618 J/(mol·K), it would be 9999.91 K.
    expect(83.144 / 8.314462618e-3).toBeCloseTo(9999.91, 1)
  })

  it('25, 37 and 8 °C for equal times are 29.2 °C (validation note of an open vaccine calculator)', () => {
    expect(mkt(evenly(25, 37, 8))).toBeCloseTo(29.223, 3)
    expect(mkt(evenly(25, 37, 8)).toFixed(1)).toBe('29.2')
    // What the wrong sign in the exponent gives, by the same note: 15.7 °C.
    const kelvins = [25, 37, 8].map((at) => at + 273.15)
    const wrong = 10_000 / Math.log(kelvins.reduce((sum, at) => sum + Math.exp(10_000 / at), 0) / 3) - 273.15
    expect(wrong.toFixed(1)).toBe('15.7')
  })

  /** Computed from the formula of USP <1160>. */
  const vectors: readonly [name: string, rows: readonly Weighted[], mean: number, mkt: number][] = [
    ['2 and 8 by turns', evenly(2, 8), 5, 5.5364],
    [
      '5 for 12 h, 8 for 12 h',
      [
        [5, 12],
        [8, 12],
      ],
      6.5,
      6.635,
    ],
    [
      '5 for 22 h, 15 for 2 h',
      [
        [5, 22],
        [15, 2],
      ],
      5.8333,
      6.4623,
    ],
    [
      '5 for 18 h, 14 for 6 h',
      [
        [5, 18],
        [14, 6],
      ],
      7.25,
      8.2852,
    ],
    ['4, 4, 4, 25', evenly(4, 4, 4, 25), 9.25, 14.9152],
    ['22, 27, 23', evenly(22, 27, 23), 24, 24.257],
    ['−10, 0, 10', evenly(-10, 0, 10), 0, 3.6982],
    [
      'four lengths of time',
      [
        [4, 600],
        [12, 30],
        [6.5, 240],
        [30, 5],
      ],
      5.1086,
      5.9391,
    ],
  ] // prettier-ignore
  it.each(vectors)('%s: computed from the formula', (_name, rows, plain, kinetic) => {
    expect(Math.abs(mean(rows) - plain)).toBeLessThanOrEqual(0.000051)
    expect(Math.abs(mkt(rows) - kinetic)).toBeLessThanOrEqual(0.000051)
  })

  it('gives, with another R (8.314 or CODATA), the same within 0.0003 K', () => {
    for (const [, rows] of vectors) {
      for (const r of [8.314e-3, 8.314462618e-3]) {
        const over = 83.144 / r
        const total = rows.reduce((sum, [, w]) => sum + w, 0)
        const sum = rows.reduce((all, [at, w]) => all + w * Math.exp(-over / (at + 273.15)), 0)
        const other = over / -Math.log(sum / total) - 273.15
        expect(Math.abs(other - mkt(rows))).toBeLessThanOrEqual(0.0003)
      }
    }
  })

  describe('of the body temperature of a beaver, each ten minutes from 08:40 to 03:40 (`beaver1`)', () => {
    it('has 114 values from 36.33 to 37.53 °C, of mean 36.8622', () => {
      expect(beaver).toHaveLength(114)
      expect([Math.min(...beaver), Math.max(...beaver)]).toEqual([36.33, 37.53])
      expect(mean(evenly(...beaver))).toBeCloseTo(36.8622, 4)
    })

    it('is 36.8640 °C where each counts alike (computed from the formula)', () => {
      expect(mkt(evenly(...beaver))).toBeCloseTo(36.864, 4)
      const plain = beaver.reduce((sum, at) => sum + Math.exp(-10_000 / (at + 273.15)), 0) / beaver.length
      expect(mkt(evenly(...beaver))).toBeCloseTo(10_000 / -Math.log(plain) - 273.15, 9)
    })

    it('lies above the mean by what the second order of the formula says: half its variance times H/T² − 2/T', () => {
      const [middle, kelvin] = [mean(evenly(...beaver)), mean(evenly(...beaver)) + 273.15]
      const variance = beaver.reduce((sum, at) => sum + (at - middle) ** 2, 0) / beaver.length
      const above = (variance / 2) * (10_000 / kelvin ** 2 - 2 / kelvin)
      expect(mkt(evenly(...beaver)) - middle).toBeCloseTo(above, 5)
    })

    it('counts the value before the hole after 22:10, of twenty minutes, twice where it is weighed with its time', () => {
      const timed = beaver.map((at, i): Weighted => [at, i === 81 ? 20 : 10])
      const twice = [...beaver.slice(0, 82), ...beaver.slice(81)]
      expect(twice).toHaveLength(115)
      expect(mkt(timed)).toBeCloseTo(mkt(evenly(...twice)), 9)
      expect(mkt(timed)).toBeCloseTo(36.867, 4)
    })
  })

  it('of a year of hourly normals (NOAA, Seattle) agrees with the formula written out plainly', () => {
    const url = new URL('../../fixtures/days/seattle-weather-hourly-normals.csv', import.meta.url)
    const year = readFileSync(url, 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => Number(line.split(',')[2]))
    expect(year).toHaveLength(8759)
    const plain = year.reduce((sum, at) => sum + Math.exp(-10_000 / (at + 273.15)), 0) / year.length
    expect(mkt(evenly(...year))).toBeCloseTo(10_000 / -Math.log(plain) - 273.15, 9)
    expect(mkt(evenly(...year))).toBeGreaterThan(11.1276)
  })
})

describe('at the edges', () => {
  it('nothing counted in is null, and so is time of no length; neither is 0 nor NaN', () => {
    expect(meanKinetic(noKinetic)).toBeNull()
    expect(meanKinetic(of([[5, 0]]))).toBeNull()
    expect(
      mkt([
        [5, 1],
        [30, 0],
      ]),
    ).toBeCloseTo(5, 9) // prettier-ignore
  })

  it('a missing weight never becomes 0, nor does one that is negative or endless', () => {
    for (const weight of [Number.NaN, undefined as unknown as number, -1, Infinity])
      expect(() => addKinetic(noKinetic, 5, weight)).toThrow(RangeError)
  })

  it('−273.15 °C and colder is refused; just above it and 1000 °C are not', () => {
    for (const at of [-273.15, -300, Number.NaN, Infinity])
      expect(() => addKinetic(noKinetic, at, 1)).toThrow(RangeError)
    for (const at of [-273.14, -242, 1000]) expect(mkt([[at, 3]])).toBeCloseTo(at, 6)
  })

  it('cold beside which a plain sum vanishes is still told: a constant −260 °C stays so', () => {
    expect(Math.exp(-10_000 / 13.15)).toBeLessThan(1e-300)
    expect(mkt(evenly(-260, -260))).toBeCloseTo(-260, 9)
  })
})

const temperature = fc.double({ min: -20, max: 45, noNaN: true })
const weight = fc.double({ min: 0.001, max: 1e7, noNaN: true })
const series = fc.array(fc.tuple(temperature, weight), { minLength: 1, maxLength: 60 })

describe('whatever the temperatures', () => {
  it('a constant is itself, to 1e-9', () => {
    fc.assert(
      fc.property(temperature, fc.array(weight, { minLength: 1 }), (at, weights) => {
        expect(Math.abs(mkt(weights.map((w) => [at, w])) - at)).toBeLessThan(1e-9)
      }),
    )
  })

  it('it is never below the mean, above it where the temperature moved, and at most the warmest', () => {
    fc.assert(
      fc.property(series, (rows) => {
        const all = rows.map(([at]) => at)
        expect(mkt(rows)).toBeGreaterThanOrEqual(mean(rows) - 1e-9)
        expect(mkt(rows)).toBeLessThanOrEqual(Math.max(...all) + 1e-9)
      }),
    )
    fc.assert(
      fc.property(temperature, fc.double({ min: 0.1, max: 20, noNaN: true }), (at, apart) => {
        expect(mkt(evenly(at, at + apart))).toBeGreaterThan(at + apart / 2 + 1e-6)
      }),
    )
  })

  it('scaling every weight changes nothing, nor does cutting one stretch in two', () => {
    fc.assert(
      fc.property(series, fc.double({ min: 1e-3, max: 1e3, noNaN: true }), (rows, factor) => {
        expect(mkt(rows.map(([at, w]) => [at, w * factor]))).toBeCloseTo(mkt(rows), 9)
        const cut = rows.flatMap(([at, w]): Weighted[] => [
          [at, w * 0.3],
          [at, w * 0.7],
        ]) // prettier-ignore
        expect(mkt(cut)).toBeCloseTo(mkt(rows), 9)
      }),
    )
  })

  it('two parts merged are the whole, wherever it is cut and in whichever order', () => {
    fc.assert(
      fc.property(series, fc.nat(60), (rows, at) => {
        const [one, other] = [of(rows.slice(0, at)), of(rows.slice(at))]
        expect(meanKinetic(mergeKinetic(one, other)) ?? Number.NaN).toBeCloseTo(mkt(rows), 9)
        expect(meanKinetic(mergeKinetic(other, one)) ?? Number.NaN).toBeCloseTo(mkt(rows), 9)
      }),
    )
  })
})

import { describe, expect, test } from 'vitest'
import { celsius } from '../../schemas/amounts.ts'
import {
  dewPoint,
  saturationFao,
  saturationOverIce,
  saturationOverWater,
} from '../../shared/air/psychrometrics.ts'

/** Other published curves, hPa, t in °C: what ours may differ by is what these differ by among themselves. */
const kelvin = (t: number): number => t + 273.15
const overWater: Readonly<Record<string, (t: number) => number>> = {
  'Sonntag 1990, full form': (t) =>
    Math.exp(
      -6096.9385 / kelvin(t) +
        16.635794 -
        2.711193e-2 * kelvin(t) +
        1.673952e-5 * kelvin(t) ** 2 +
        2.433502 * Math.log(kelvin(t)),
    ),
  'Alduchov and Eskridge 1996': (t) => 6.1094 * Math.exp((17.625 * t) / (243.04 + t)),
  'Buck 1981 (value from memory)': (t) => 6.1121 * Math.exp((17.502 * t) / (240.97 + t)),
  'Buck 1996 (value from memory)': (t) => 6.1121 * Math.exp(((18.678 - t / 234.5) * t) / (257.14 + t)),
  'Vaisala B210973EN-F, base 10': (t) => 6.116441 * 10 ** ((7.591386 * t) / (t + 240.7263)),
  'Wagner and Pruß, IAPWS-95 auxiliary': (t) => {
    const critical = 647.096
    const v = 1 - kelvin(t) / critical
    const terms = [
      [-7.85951783, 1],
      [1.84408259, 1.5],
      [-11.7866497, 3],
      [22.6807411, 3.5],
      [-15.9618719, 4],
      [1.80122502, 7.5],
    ] as const
    return 220_640 * Math.exp((critical / kelvin(t)) * terms.reduce((sum, [c, n]) => sum + c * v ** n, 0))
  },
}

/** °C, then hPa by Alduchov and Eskridge, Buck 1981 and Wagner and Pruß: computed from the published formulas. */
const table: readonly (readonly [number, number, number, number])[] = [
  [0, 6.1094, 6.1121, 6.1121],
  [2, 7.0546, 7.0592, 7.0597],
  [4, 8.1271, 8.134, 8.1351],
  [5, 8.7156, 8.7237, 8.7253],
  [6, 9.3414, 9.3509, 9.353],
  [8, 10.7134, 10.7258, 10.7292],
  [10, 12.2602, 12.276, 12.2811],
  [15, 17.0198, 17.0457, 17.0568],
  [20, 23.3344, 23.3728, 23.3919],
  [25, 31.6174, 31.6703, 31.6982],
]

describe('saturation over water beside six other published curves', () => {
  test('the others are written down rightly: their values from 0 to 25 °C', () => {
    for (const [t, ...row] of table) {
      const names = [
        'Alduchov and Eskridge 1996',
        'Buck 1981 (value from memory)',
        'Wagner and Pruß, IAPWS-95 auxiliary',
      ]
      for (const [i, name] of names.entries())
        expect(Math.abs((overWater[name]?.(t) ?? 0) - (row[i] ?? 0)), `${name} at ${t} °C`).toBeLessThan(
          0.00006,
        )
    }
  })

  test.each(Object.keys(overWater))('%s: within 0.35 % from 0 to 40 °C', (name) => {
    for (let t = 0; t <= 40; t += 0.5) {
      const theirs = overWater[name]?.(t) ?? Number.NaN
      expect(Math.abs((10 * saturationOverWater(celsius(t))) / theirs - 1), `${t} °C`).toBeLessThan(0.0035)
      expect(Math.abs((10 * saturationFao(celsius(t))) / theirs - 1), `Tetens, ${t} °C`).toBeLessThan(0.0035)
    }
  })

  test('at 5 °C they lie at most 0.16 % apart, 0.023 K of dew point: any of them passes 0.05 K', () => {
    const all = [10 * saturationOverWater(celsius(5)), ...Object.values(overWater).map((of) => of(5))]
    const [least, most] = [Math.min(...all), Math.max(...all)]
    expect(most / least - 1).toBeLessThan(0.0016)
    const percent = (100 * least) / most
    expect(5 - (dewPoint(celsius(5), percent) ?? Number.NaN)).toBeLessThan(0.023)
  })
})

describe('saturation over ice beside Buck 1981 (value from memory), hPa', () => {
  test.each([
    [-20, 1.0327],
    [-10, 2.5987],
    [-5, 4.0172],
    [-1, 5.6265],
    [0, 6.1115],
  ])('at %d °C: %d, within 0.03 %%', (t, buck) => {
    expect(Math.abs((10 * saturationOverIce(celsius(t))) / buck - 1)).toBeLessThan(0.0003)
  })
})

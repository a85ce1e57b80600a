import { describe, expect, test } from 'vitest'
import { celsius } from '../../schemas/amounts.ts'
import {
  absoluteHumidity,
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

/**
 * °C, then hPa by Sonntag's full form, Alduchov and Eskridge, Buck 1981 and, from the triple point on, Wagner and Pruß: computed
 * from the published formulas.
 */
const table: readonly (readonly [t: number, ...hectopascals: number[]])[] = [
  [-20, 1.2559, 1.2578, 1.2538],
  [-10, 2.8652, 2.8677, 2.8648],
  [-5, 4.218, 4.2191, 4.2182],
  [-1, 5.6821, 5.6803, 5.6822],
  [0, 6.1121, 6.1094, 6.1121, 6.1121],
  [2, 7.0597, 7.0546, 7.0592, 7.0597],
  [4, 8.1352, 8.1271, 8.134, 8.1351],
  [5, 8.7254, 8.7156, 8.7237, 8.7253],
  [6, 9.3531, 9.3414, 9.3509, 9.353],
  [8, 10.7294, 10.7134, 10.7258, 10.7292],
  [10, 12.2813, 12.2602, 12.276, 12.2811],
  [15, 17.0571, 17.0198, 17.0457, 17.0568],
  [20, 23.3925, 23.3344, 23.3728, 23.3919],
  [25, 31.699, 31.6174, 31.6703, 31.6982],
]

describe('saturation over water beside six other published curves', () => {
  test('the others are written down rightly: their values from −20 to 25 °C', () => {
    for (const [t, ...row] of table) {
      const names = [
        'Sonntag 1990, full form',
        'Alduchov and Eskridge 1996',
        'Buck 1981 (value from memory)',
        'Wagner and Pruß, IAPWS-95 auxiliary',
      ]
      for (const [i, name] of names.slice(0, row.length).entries())
        expect(Math.abs((overWater[name]?.(t) ?? 0) - (row[i] ?? 0)), `${name} at ${t} °C`).toBeLessThan(
          0.00006,
        )
    }
  })

  test('one digit amiss is seen: 16.635764 for 16.635794 in Sonntag’s form, as one published copy has it', () => {
    const right = overWater['Sonntag 1990, full form']?.(5) ?? 0
    const slipped = right * Math.exp(16.635764 - 16.635794)
    expect(Math.abs(slipped - 8.7254)).toBeGreaterThan(0.00006)
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

/** By how much more vapour saturates moist air than empty space; p in hPa. WMO-No. 8, Annex 4.B (value from memory). */
const enhancement = (p: number): number => 1.0016 + 3.15e-6 * p - 0.074 / p

describe('the enhancement factor of moist air, which is left out', () => {
  test('is 1.0047 at 1013.25 hPa and 1.0041 at 1800 m (WMO-No. 8, Annex 4.B, value from memory)', () => {
    expect(enhancement(1013.25)).toBeCloseTo(1.0047, 4)
    expect(enhancement(818)).toBeCloseTo(1.0041, 4)
  })

  test('from 500 to 1100 hPa it stays far below the ±2 %RH of a good hygrometer, in dew point and in water', () => {
    for (let p = 500; p <= 1100; p += 50)
      for (const t of [-5, 0, 5, 10, 20, 30])
        for (const rh of [20, 50, 80, 95]) {
          const more = rh * enhancement(p)
          const dew = (percent: number) => dewPoint(celsius(t), percent) ?? Number.NaN
          const water = (percent: number) => absoluteHumidity(celsius(t), percent) ?? Number.NaN
          expect(more - rh).toBeLessThan(0.5)
          expect(dew(more) - dew(rh), `${t} °C, ${rh} %RH, ${p} hPa`).toBeLessThan(0.1)
          expect((dew(more) - dew(rh)) / (dew(rh + 2) - dew(rh))).toBeLessThan(0.25)
          expect(water(more) / water(rh)).toBeLessThan(1.0051)
        }
  })
})

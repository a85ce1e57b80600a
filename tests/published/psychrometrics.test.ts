import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { celsius } from '../../schemas/amounts.ts'
import type { Kilopascal } from '../../schemas/units.ts'
import { humidityOfDeficit } from '../../shared/air/air-walk.ts'
import {
  absoluteHumidity,
  dewPoint,
  frostPoint,
  humidityOverIce,
  saturationFao,
  saturationOverIce,
  saturationOverWater,
  vapourPressureDeficit,
} from '../../shared/air/psychrometrics.ts'
import { psychrolib } from '../support/psychrolib.ts'

/** °C, then hPa: WMO-No. 8 Annex 4.B and Sonntag 1990 (full form), over water and over ice. Computed from the published formulas. */
const saturation: readonly [t: number, wmo: number, sonntag: number, ice?: number, iceSonntag?: number][] = [
  [-20, 1.2597, 1.2559, 1.0326, 1.0324],
  [-10, 2.8703, 2.8652, 2.5987, 2.5989],
  [-5, 4.2218, 4.218, 4.0174, 4.0176],
  [-1, 5.683, 5.6821, 5.6269, 5.6267],
  [0, 6.112, 6.1121, 6.112, 6.1115],
  [2, 7.057, 7.0597],
  [4, 8.1292, 8.1352],
  [5, 8.7174, 8.7254],
  [6, 9.343, 9.3531],
  [8, 10.7143, 10.7294],
  [10, 12.2603, 12.2813],
  [15, 17.0167, 17.0571],
  [20, 23.326, 23.3925],
  [25, 31.6006, 31.699],
]

describe('saturation vapour pressure', () => {
  it.each(saturation)('at %d °C is the value of WMO-No. 8 Annex 4.B: %d hPa over water', (t, wmo) => {
    expect(Math.abs(10 * saturationOverWater(celsius(t)) - wmo)).toBeLessThanOrEqual(0.00006)
  })

  it.each(saturation)('at %d °C lies within 0.32 %% of the full form of Sonntag 1990', (t, _wmo, sonntag) => {
    expect(Math.abs((10 * saturationOverWater(celsius(t))) / sonntag - 1)).toBeLessThan(0.0032)
  })

  it('over ice is the value of WMO-No. 8 Annex 4.B, within 0.025 % of Sonntag 1990', () => {
    const rows = saturation.filter((row) => row[3] !== undefined)
    expect(rows).toHaveLength(5)
    for (const [t, , , ice = 0, sonntag = 0] of rows) {
      const ours = 10 * saturationOverIce(celsius(t))
      expect(Math.abs(ours - ice), `${t} °C`).toBeLessThanOrEqual(0.00006)
      expect(Math.abs(ours / sonntag - 1), `${t} °C`).toBeLessThan(0.00025)
    }
  })
})

/** FAO-56 Annex 2, Table 2.3 as published: the rows read. */
const faoRead = [1, 1.5, 5, 10, 12.3, 15, 20, 21.5, 24, 24.5, 25, 30].map(
  (t, i) =>
    [
      t,
      [0.657, 0.681, 0.872, 1.228, 1.431, 1.705, 2.338, 2.564, 2.984, 3.075, 3.168, 4.243][i] ?? 0,
    ] as const,
)

/** Rows from 0 to 25 °C in steps of 0.5, kPa: FAO-56 equation 11 rounded to three decimals; agrees with every row read. */
const faoRows = `
  .611 .633 .657 .681 .706 .731 .758 .785 .813 .842 .872 .903 .935 .968 1.002 1.037 1.073 1.110 1.148 1.187 1.228
  1.270 1.313 1.357 1.403 1.449 1.498 1.547 1.599 1.651 1.705 1.761 1.818 1.877 1.938 2.000 2.064 2.130 2.197 2.267
  2.338 2.412 2.487 2.564 2.644 2.726 2.809 2.896 2.984 3.075 3.168`
  .trim()
  .split(/\s+/)
  .map((text, i) => [i / 2, Number(text)] as const)

describe('FAO-56', () => {
  it.each(faoRead)('Table 2.3: e°(%d °C) = %d kPa', (t, kPa) => {
    expect(Math.round(1000 * saturationFao(celsius(t))) / 1000).toBe(kPa)
  })

  it('equation 11: every half degree from 0 to 25 °C', () => {
    expect(faoRows).toHaveLength(51)
    for (const [t, kPa] of faoRows) {
      expect(Math.abs(saturationFao(celsius(t)) - kPa), `${t} °C`).toBeLessThanOrEqual(0.000501)
    }
  })

  it('Table 2.4: slope of the curve at 1, 10, 20 and 30 °C (read), at 5, 15 and 25 °C (computed), kPa/K', () => {
    const rows = [
      [1, 0.047],
      [10, 0.082],
      [20, 0.145],
      [30, 0.243],
      [5, 0.061],
      [15, 0.11],
      [25, 0.189],
    ]
    for (const [t = 0, slope = 0] of rows) {
      const ours = (saturationFao(celsius(t + 0.01)) - saturationFao(celsius(t - 0.01))) / 0.02
      expect(Math.abs(ours - slope), `${t} °C`).toBeLessThanOrEqual(0.0006)
    }
  })

  it('example 3: mean of e°(24.5) and e°(15) is 2.39 kPa, which e° of the mean is not', () => {
    const mean = (saturationFao(celsius(24.5)) + saturationFao(celsius(15))) / 2
    expect(mean).toBeCloseTo(2.39, 2)
    expect(saturationFao(celsius(19.75))).not.toBeCloseTo(2.39, 2)
  })

  it('examples 5 and 6: actual vapour pressure 1.70 kPa, deficit 0.91 kPa (value from memory)', () => {
    const es = [18, 25].map((t) => saturationFao(celsius(t)))
    const deficits = [vapourPressureDeficit(celsius(18), 82), vapourPressureDeficit(celsius(25), 54)]
    const mean = (pair: readonly number[]) => ((pair[0] ?? 0) + (pair[1] ?? 0)) / 2
    expect(mean(es) - mean(deficits)).toBeCloseTo(1.7015, 3)
    expect(mean(deficits)).toBeCloseTo(0.9143, 3)
  })
})

describe('published points', () => {
  it.each([
    [25, 10, -8.77, 0.006, 'Sensirion, Introduction to humidity (value from memory)'],
    [50, 90, 47.9, 0.006, 'Sensirion, Introduction to humidity (value from memory)'],
    [40, 50, 27.6, 0.05, 'Vaisala, Humidity conversion formulas B210973EN-F (value from memory)'],
  ])('dew point of %d °C and %d %%RH is %d °C', (t, rh, dew, tolerance, _source) => {
    expect(Math.abs((dewPoint(celsius(t), rh) ?? Number.NaN) - dew)).toBeLessThanOrEqual(tolerance)
  })

  it.each([
    [20, 80, 13.82, 0.03, 'Vaisala, Humidity conversion formulas B210973EN-F (value from memory)'],
    [5, 90, 6.1, 0.05, 'Vaisala, Humidity conversion formulas B210973EN-F'],
    [20, 50, 8.6, 0.05, 'Vaisala, Humidity conversion formulas B210973EN-F'],
  ])('%d °C and %d %%RH hold %d g/m³ of water', (t, rh, grams, tolerance, _source) => {
    expect(Math.abs((absoluteHumidity(celsius(t), rh) ?? Number.NaN) - grams)).toBeLessThanOrEqual(tolerance)
  })

  it('deficit at 5 °C: 40, 60, 80, 90 %RH give 0.523, 0.349, 0.174, 0.087 kPa (Tetens, value from memory)', () => {
    for (const [rh, kPa] of [
      [40, 0.523],
      [60, 0.349],
      [80, 0.174],
      [90, 0.087],
    ] as const) {
      expect(Math.abs(vapourPressureDeficit(celsius(5), rh) - kPa)).toBeLessThanOrEqual(0.0006)
    }
  })

  it('turned round: air of 5 °C that lacks 0.523, 0.349, 0.174, 0.087 kPa has 40, 60, 80, 90 %RH (Tetens, value from memory)', () => {
    for (const [rh, kPa] of [
      [40, 0.523],
      [60, 0.349],
      [80, 0.174],
      [90, 0.087],
    ] as const) {
      const percent = humidityOfDeficit(kPa as Kilopascal, celsius(5)) ?? Number.NaN
      expect(Math.abs(percent - rh)).toBeLessThanOrEqual(0.1)
    }
  })
})

/** °C, %RH → dew point, frost point where below 0, g/m³, kPa. Computed: WMO-No. 8 constants, deficit by FAO-56. */
const vectors: readonly [number, number, number, number | null, number, number][] = [
  [5, 100, 5.0, null, 6.791, 0.0],
  [5, 95, 4.27, null, 6.451, 0.0436],
  [5, 90, 3.5, null, 6.112, 0.0872],
  [5, 80, 1.83, null, 5.433, 0.1745],
  [5, 75, 0.93, null, 5.093, 0.2181],
  [5, 70, -0.02, -0.02, 4.754, 0.2617],
  [5, 60, -2.13, -1.88, 4.075, 0.3489],
  [5, 50, -4.58, -4.04, 3.395, 0.4362],
  [6, 90, 4.48, null, 6.527, 0.0935],
  [10, 70, 4.78, null, 6.567, 0.3684],
  [20, 50, 9.26, null, 8.621, 1.1691],
  [25, 60, 16.69, null, 13.779, 1.2671],
  [0, 90, -1.45, -1.27, 4.364, 0.0611],
  [-5, 80, -7.92, -7.01, 2.729, 0.0842],
]

describe('air around a box', () => {
  it.each(vectors)('%d °C, %d %%RH: dew %d, frost %s °C, %d g/m³, deficit %d kPa', (...row) => {
    const [t, rh, dew, frost, grams, deficit] = row
    const at = celsius(t)
    expect(Math.abs((dewPoint(at, rh) ?? Number.NaN) - dew)).toBeLessThanOrEqual(0.0051)
    const ours = frostPoint(at, rh)
    if (frost === null) expect(ours).toBeNull()
    else expect(Math.abs((ours ?? Number.NaN) - frost)).toBeLessThanOrEqual(0.0051)
    expect(Math.abs((absoluteHumidity(at, rh) ?? Number.NaN) - grams)).toBeLessThanOrEqual(0.00051)
    expect(Math.abs(vapourPressureDeficit(at, rh) - deficit)).toBeLessThanOrEqual(0.000051)
  })

  it('saturated air holds so many g/m³ (computed, WMO-No. 8 constants)', () => {
    const rows =
      `-10 2.36 -5 3.41 -2 4.22 0 4.85 1 5.19 2 5.56 3 5.94 4 6.36 5 6.79 6 7.25 7 7.74 8 8.26 9 8.80 10 9.38
      12 10.64 15 12.80 18 15.32 20 17.24 25 22.97 30 30.26`
        .split(/\s+/)
        .map(Number)
    expect(rows).toHaveLength(40)
    for (let i = 0; i < rows.length; i += 2) {
      const [t = 0, grams = 0] = rows.slice(i)
      expect(Math.abs((absoluteHumidity(celsius(t), 100) ?? Number.NaN) - grams), `${t} °C`).toBeLessThan(
        0.0051,
      )
    }
  })

  it('room air of 20 °C and 50 %RH condenses in a box at 5 °C: it would be 134 %RH there', () => {
    expect(dewPoint(celsius(20), 50)).toBeGreaterThan(5)
    expect((50 * saturationOverWater(celsius(20))) / saturationOverWater(celsius(5))).toBeCloseTo(133.8, 1)
  })

  it.each([
    [0, 100.0],
    [-1, 101.0],
    [-2, 102.0],
    [-5, 105.1],
    [-10, 110.5],
    [-20, 122.0],
  ])('at %d °C, 100 %%RH over water is %d %% over ice (computed)', (t, percent) => {
    expect(Math.abs((humidityOverIce(celsius(t), 100) ?? Number.NaN) - percent)).toBeLessThan(0.051)
  })
})

describe('at the edges', () => {
  it('dry air has neither dew nor frost point, and holds no water', () => {
    expect(dewPoint(celsius(5), 0)).toBeNull()
    expect(frostPoint(celsius(5), 0)).toBeNull()
    expect(absoluteHumidity(celsius(5), 0)).toBe(0)
    expect(dewPoint(celsius(5), 0.001)).not.toBeNull()
  })

  it('a hygrometer that shows more than 100 %RH means 100', () => {
    expect(dewPoint(celsius(5), 103)).toBe(dewPoint(celsius(5), 100))
    expect(absoluteHumidity(celsius(5), 103)).toBe(absoluteHumidity(celsius(5), 100))
    expect(vapourPressureDeficit(celsius(5), 103)).toBe(0)
  })

  it('at and below the pole of the formula, −243.12 °C, there is no answer instead of nonsense', () => {
    for (const t of [-243.12, -250, -273.15, Number.NaN]) {
      expect(dewPoint(celsius(t), 50)).toBeNull()
      expect(frostPoint(celsius(t), 50)).toBeNull()
      expect(absoluteHumidity(celsius(t), 50)).toBeNull()
      expect(humidityOverIce(celsius(t), 50)).toBeNull()
    }
    expect(dewPoint(celsius(-242), 50)).not.toBeNull()
  })

  it('ice has no vapour pressure above 0 °C to compare with; frost point ends where dew begins', () => {
    expect(humidityOverIce(celsius(0), 50)).toBeCloseTo(50, 9)
    expect(humidityOverIce(celsius(0.01), 50)).toBeNull()
    expect(frostPoint(celsius(0), 100)).toBeNull()
    expect(frostPoint(celsius(0), 99.9)).not.toBeNull()
  })
})

const anyCelsius = fc.double({ min: -40, max: 60, noNaN: true }).map(celsius)
const anyPercent = fc.double({ min: 1, max: 100, noNaN: true })

describe('psychrolib, written apart, agrees', () => {
  it('on saturation over water within 0.35 % from 0 to 40 °C, over ice within 0.1 % from −40 °C', () => {
    fc.assert(
      fc.property(fc.double({ min: -40, max: 40, noNaN: true }).map(celsius), (t) => {
        // Its curve is the one over ice up to the triple point, 0.01 °C.
        const ours = t <= 0.01 ? saturationOverIce(t) : saturationOverWater(t)
        const theirs = psychrolib.GetSatVapPres(t) / 1000
        expect(Math.abs(ours / theirs - 1)).toBeLessThan(t <= 0.01 ? 0.001 : 0.0035)
      }),
      { numRuns: 1000 },
    )
  })

  it('on the dew point within 0.1 K wherever it lies above 0 °C, up to 40 °C', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 40, noNaN: true }).map(celsius), anyPercent, (t, rh) => {
        const ours = dewPoint(t, rh)
        fc.pre(ours !== null && ours > 0.02)
        expect(Math.abs((ours ?? Number.NaN) - psychrolib.GetTDewPointFromRelHum(t, rh / 100))).toBeLessThan(
          0.1,
        )
      }),
      { numRuns: 1000 },
    )
  })
})

describe('whatever the air', () => {
  it('the dew point never lies above the air, rises with humidity, and frost forms above it', () => {
    fc.assert(
      fc.property(anyCelsius, anyPercent, (t, rh) => {
        const dew = dewPoint(t, rh) ?? Number.NaN
        expect(dew).toBeLessThanOrEqual(t + 1e-9)
        expect(dewPoint(t, Math.min(rh + 1, 100)) ?? Number.NaN).toBeGreaterThanOrEqual(dew)
        const frost = frostPoint(t, rh)
        if (dew < 0) expect(frost ?? Number.NaN).toBeGreaterThanOrEqual(dew - 1e-9)
        else expect(frost).toBeNull()
        expect(saturationOverWater(celsius(dew))).toBeCloseTo((saturationOverWater(t) * rh) / 100, 9)
      }),
    )
  })

  it('deficit and vapour add up to saturation, and neither is negative', () => {
    fc.assert(
      fc.property(anyCelsius, fc.double({ min: -20, max: 130, noNaN: true }), (t, rh) => {
        const deficit = vapourPressureDeficit(t, rh)
        expect(deficit).toBeGreaterThanOrEqual(0)
        expect(deficit).toBeLessThanOrEqual(saturationFao(t))
        expect(absoluteHumidity(t, rh) ?? Number.NaN).toBeGreaterThanOrEqual(0)
      }),
    )
  })
})

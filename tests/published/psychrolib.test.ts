import { describe, expect, test } from 'vitest'
import { celsius } from '../../schemas/amounts.ts'
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

/*
 * psychrolib is the ASHRAE Handbook of Fundamentals 2017, chapter 1, written apart from ours. Its saturation is Hyland and
 * Wexler's, over ice up to the triple point and over water above; ours WMO-No. 8 (Magnus), and FAO-56 (Tetens) for deficits.
 * It takes relative humidity below 0 °C over ice, hygrometers (and we) over water: so that it is asked with %RH over ice there.
 */

/** Its curve is the one over ice up to here, °C. */
const triplePoint = 0.01
const seaLevel = 101_325

const temperatures = Array.from({ length: 56 }, (_, i) => i - 15)
const humidities = [5, 10, 20, 30, 40, 50, 60, 70, 80, 85, 90, 95, 99, 100]
/** Every degree from −15 to 40 °C, 5 to 100 %RH; the air's vapour pressure in Pa as we have it. */
const grid = temperatures.flatMap((t) =>
  humidities.map((rh) => ({ t, rh, vapour: (1000 * saturationOverWater(celsius(t)) * rh) / 100 })),
)
/** Its own share of saturation for air of so many %RH over water. */
const shareOf = (t: number, rh: number): number =>
  t <= triplePoint ? (humidityOverIce(celsius(Math.min(t, 0)), rh) ?? Number.NaN) / 100 : rh / 100

const worst = (all: readonly number[]): number => Math.max(...all.map(Math.abs))

test('the grid is every degree from −15 to 40 °C at 14 humidities', () => {
  expect(grid).toHaveLength(784)
  expect([temperatures[0], temperatures.at(-1)]).toEqual([-15, 40])
})

describe('from −15 to 40 °C and 5 to 100 %RH', () => {
  test('dew point where water forms: within 0.06 K, what 0.35 % of vapour pressure comes to', () => {
    const off = grid.flatMap(({ t, rh }) => {
      const ours = dewPoint(celsius(t), rh)
      if (ours === null || ours <= triplePoint) return []
      return [
        ours - psychrolib.GetTDewPointFromVapPres(t, psychrolib.GetVapPresFromRelHum(t, shareOf(t, rh))),
      ]
    })
    expect(off.length).toBeGreaterThan(350)
    expect(worst(off)).toBeLessThan(0.06)
  })

  test('frost point where frost forms: within 0.06 K', () => {
    const off = grid.flatMap(({ t, rh, vapour }) => {
      const ours = frostPoint(celsius(t), rh)
      // Colder than that WMO's curve over ice was not made for.
      // It gives no dew point warmer than the air, which frost of air beyond saturation over ice is: asked of warm air.
      return ours === null || ours < -65 ? [] : [ours - psychrolib.GetTDewPointFromVapPres(40, vapour)]
    })
    expect(off.length).toBeGreaterThan(250)
    expect(worst(off)).toBeLessThan(0.06)
  })

  test('below 0 °C a dew point, over supercooled water, lies lower than its frost point by up to an eighth of it', () => {
    for (const { t, rh } of grid) {
      const [dew, frost] = [dewPoint(celsius(t), rh), frostPoint(celsius(t), rh)]
      if (dew === null || frost === null) continue
      expect(frost - dew).toBeGreaterThanOrEqual(0)
      expect(frost - dew).toBeLessThanOrEqual(0.125 * -dew + 1e-9)
    }
  })

  /** Ours over theirs, less one, wherever air is not beyond saturation over ice: that it refuses. */
  const offInWater = (pascal: number): readonly number[] =>
    grid
      .filter(({ t, rh }) => shareOf(t, rh) <= 1)
      .map(({ t, rh }) => {
        const ratio = psychrolib.GetHumRatioFromRelHum(t, shareOf(t, rh), pascal)
        // kg of water for each kg of dry air, over m³ for each kg of dry air.
        const grams = (1000 * ratio) / psychrolib.GetMoistAirVolume(t, ratio, pascal)
        return (absoluteHumidity(celsius(t), rh) ?? Number.NaN) / grams - 1
      })

  test('absolute humidity: within 0.45 %, most of it the saturation curve, the rest the ideal gas', () => {
    const off = offInWater(seaLevel)
    expect(off.every(Number.isFinite)).toBe(true)
    expect(worst(off)).toBeLessThan(0.0045)
  })

  test('FAO-56 example 2: at 1800 m the air has 81.8 kPa and its psychrometric constant is 0.054 kPa/K; no figure here needs either', () => {
    // Equations 7 and 8.
    const kilopascal = 101.3 * ((293 - 0.0065 * 1800) / 293) ** 5.26
    expect(kilopascal).toBeCloseTo(81.8, 1)
    expect(0.000665 * kilopascal).toBeCloseTo(0.054, 3)
    const off = offInWater(1000 * kilopascal)
    expect(off.every(Number.isFinite)).toBe(true)
    expect(worst(off)).toBeLessThan(0.0045)
    const atSea = offInWater(seaLevel)
    expect(worst(off.map((one, i) => one - (atSea[i] ?? Number.NaN)))).toBeLessThan(1e-4)
  })

  test('deficit above 0 °C: within 0.35 % of saturation (Tetens against Hyland and Wexler)', () => {
    const off = grid
      .filter(({ t }) => t > triplePoint)
      .map(({ t, rh }) => {
        const ratio = psychrolib.GetHumRatioFromRelHum(t, rh / 100, seaLevel)
        const theirs = psychrolib.GetVaporPressureDeficit(t, ratio, seaLevel) / 1000
        return (vapourPressureDeficit(celsius(t), rh) - theirs) / saturationFao(celsius(t))
      })
    expect(worst(off)).toBeLessThan(0.0035)
  })

  test('deficit below 0 °C is against water, as FAO-56 has it: more than theirs against ice, by what the two curves are apart', () => {
    for (const { t, rh } of grid.filter(({ t }) => t < 0)) {
      const ratio = psychrolib.GetHumRatioFromRelHum(t, rh / 100, seaLevel)
      const overIce = psychrolib.GetVaporPressureDeficit(t, ratio, seaLevel) / 1000
      const apart = (saturationOverWater(celsius(t)) - saturationOverIce(celsius(t))) * (1 - rh / 100)
      const ours = vapourPressureDeficit(celsius(t), rh)
      expect(ours).toBeGreaterThanOrEqual(overIce - 1e-9)
      // Tetens lies under WMO's curve over supercooled water by up to 0.8 % at −15 °C.
      expect(Math.abs(ours - overIce - apart) / saturationFao(celsius(t)), `${t} °C, ${rh} %RH`).toBeLessThan(
        0.01,
      )
    }
  })
})

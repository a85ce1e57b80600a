import { celsius } from '../../schemas/amounts.ts'
import type { Celsius, Kilopascal } from '../../schemas/units.ts'

/**
 * Saturation vapour pressure over water in kPa. WMO-No. 8, Annex 4.B (Magnus form, coefficients of Sonntag 1990), made
 * for −45 to 60 °C; within 0.32 % of Sonntag's full form from −20 to 25 °C. Beyond −45 and 60 it extrapolates.
 */
export function saturationOverWater(at: Celsius): Kilopascal {
  return (0.1 * a0 * Math.exp((water.b * at) / (water.c + at))) as Kilopascal
}

/** Saturation vapour pressure over ice in kPa. WMO-No. 8, Annex 4.B, made for −65 to 0 °C. */
export function saturationOverIce(at: Celsius): Kilopascal {
  return (0.1 * a0 * Math.exp((ice.b * at) / (ice.c + at))) as Kilopascal
}

/** Saturation vapour pressure e°(T) in kPa by FAO-56 equation 11 (Tetens): the form that vapour deficits are published in. */
export function saturationFao(at: Celsius): Kilopascal {
  return (0.6108 * Math.exp((17.27 * at) / (at + 237.3))) as Kilopascal
}

/**
 * Temperature at which air of `at` °C and `percent` %RH (over water) begins to wet a surface, °C. Null at 0 %RH, where
 * there is none, and at or below the formula's pole, −243.12 °C. Above 100 %RH counts as 100.
 */
export function dewPoint(at: Celsius, percent: number): Celsius | null {
  if (!(percent > 0) || !(at > -water.c)) return null
  const g = Math.log(Math.min(percent, 100) / 100) + (water.b * at) / (water.c + at)
  return celsius((water.c * g) / (water.b - g))
}

/** Temperature at which frost begins to form, °C. Null where dew forms instead (dew point at or above 0 °C) or at 0 %RH. */
export function frostPoint(at: Celsius, percent: number): Celsius | null {
  const dew = dewPoint(at, percent)
  if (dew === null || dew >= 0) return null
  const g = (water.b * dew) / (water.c + dew)
  return celsius((ice.c * g) / (ice.b - g))
}

/** Water in the air in g/m³, from the ideal gas law (216.679 g·K/J over hPa, molar mass of water 18.015 g/mol). Null at absolute zero. */
export function absoluteHumidity(at: Celsius, percent: number): number | null {
  const kelvin = at + 273.15
  if (!(kelvin > 0) || !(at > -water.c)) return null
  return (216.679 * 10 * saturationOverWater(at) * share(percent)) / kelvin
}

/** How much more vapour the air could take up, kPa: e°(T)·(1 − RH/100), FAO-56 equation 11. Water loss follows it. */
export function vapourPressureDeficit(at: Celsius, percent: number): Kilopascal {
  return (saturationFao(at) * (1 - share(percent))) as Kilopascal
}

/**
 * Relative humidity over ice for `percent` %RH over water, which is what hygrometers show also below 0 °C. Above 100
 * frost forms. Null above 0 °C.
 */
export function humidityOverIce(at: Celsius, percent: number): number | null {
  if (!(at <= 0) || !(at > -water.c)) return null
  return (100 * share(percent) * saturationOverWater(at)) / saturationOverIce(at)
}

const a0 = 6.112 // hPa at 0 °C
const water = { b: 17.62, c: 243.12 } as const
const ice = { b: 22.46, c: 272.62 } as const

/** Percent as a share of saturation; hygrometers in wet air show up to a few percent above 100. */
const share = (percent: number): number => Math.min(Math.max(percent, 0), 100) / 100

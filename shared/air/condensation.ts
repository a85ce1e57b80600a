import type { Celsius } from '../../schemas/units.ts'
import { dewPoint, frostPoint } from './psychrometrics.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** The air, and the coldest surface that is measured in it. */
export interface AirAtSurface {
  readonly air: Celsius
  /** %RH over water. */
  readonly humidity: number
  readonly surface: Celsius
  /** What it is called on the screen: `the back wall`, or the coldest sensor's name. */
  readonly surfaceName: string
  /** How far off the two sensors may be; the usual ones where nothing is known of them. */
  readonly accuracy?: { readonly humidity: number; readonly surface: number }
}

/** Of household sensors, ±: common practice, no source. */
export const usualAccuracy = { humidity: 3, surface: 0.5 } as const

/**
 * `dew`, `frost`: water or ice forms on the surface. `nearDew`, `nearFrost`: it may, within what the sensors can tell. `margin`:
 * kelvin that the surface is warmer than the point at which it forms; negative where it does.
 */
export type Wetting =
  | { readonly kind: 'unknown'; readonly sentence: string }
  | {
      readonly kind: 'dry' | 'nearDew' | 'dew' | 'nearFrost' | 'frost'
      readonly point: Celsius
      readonly margin: number
      readonly sentence: string
    }

/**
 * Whether the coldest surface gets wet: it does at and below the dew point of the air (WMO-No. 8), and white at and below the frost
 * point where that lies below 0 °C. Dew on a surface at or below 0 °C freezes: that is frost, too. Dry air
 * (0 %RH) wets nothing, but no hygrometer shows it: unknown.
 */
export function wettingOf(here: AirAtSurface): Wetting {
  const { air, humidity, surface, surfaceName, accuracy = usualAccuracy } = here
  const point = formingPoint(air, humidity)
  if (point === null || !Number.isFinite(surface))
    return {
      kind: 'unknown',
      sentence: say('Not known yet: this needs the humidity, the air and a surface.'),
    }
  const damper = formingPoint(air, Math.min(100, humidity + accuracy.humidity)) ?? point
  const margin = surface - point
  const isFrost = surface <= 0
  const told = (kind: 'dry' | 'nearDew' | 'dew' | 'nearFrost' | 'frost', sentence: string): Wetting => ({
    kind,
    point,
    margin,
    sentence,
  })
  if (margin <= 0) {
    return isFrost
      ? told('frost', say('Frost forms on {surface}.', { surface: surfaceName }))
      : told(
          'dew',
          say('Water condenses on {surface}: wet and cold together is dangerous.', { surface: surfaceName }),
        )
  }
  const spare = say('{surface} is {margin} K warmer than that needs', {
    surface: surfaceName,
    margin: inReadersDigits(margin.toFixed(1)),
  })
  if (surface - accuracy.surface <= damper) {
    return surface - accuracy.surface <= 0
      ? told('nearFrost', say('Frost may form: {spare}, less than the sensors can tell.', { spare }))
      : told('nearDew', say('Water may condense: {spare}, less than the sensors can tell.', { spare }))
  }
  return told('dry', say('No water condenses: {spare}.', { spare }))
}

/** The coldest of what is measured: where no surface is, water forms first where it is coldest. Null where nothing is known. */
export function coldestOf<Measured extends { readonly celsius: number }>(
  measured: readonly Measured[],
): Measured | null {
  let coldest: Measured | null = null
  for (const one of measured)
    if (Number.isFinite(one.celsius) && (coldest === null || one.celsius < coldest.celsius)) coldest = one
  return coldest
}

const formingPoint = (air: Celsius, humidity: number): Celsius | null =>
  frostPoint(air, humidity) ?? dewPoint(air, humidity)

import type { Celsius, Instant, Kilopascal } from '../../schemas/units.ts'
import { usualAccuracy, wettingOf } from './condensation.ts'
import { addDrying, type DryingTime, noDrying } from './evaporation.ts'
import { saturationFao, vapourPressureDeficit } from './psychrometrics.ts'
import { millis } from '../../schemas/amounts.ts'

/** How long the coldest surface measured was wet or white (`wet`), perhaps so (`near`), or neither; times in ms. */
export interface WettingTime {
  readonly wet: number
  readonly near: number
  readonly dry: number
  readonly unknown: number
}

/** A value that holds from its own time until `until`, when its sensor is stale (L2). */
interface HeldValue {
  readonly value: number
  readonly until: number
}

/** What is known of one air, counted up to `at`. A surface is one thermometer, in the order they were given. */
export interface AirWalk {
  readonly at: Instant
  readonly celsius: HeldValue | null
  readonly percent: HeldValue | null
  readonly surfaces: readonly (HeldValue | null)[]
  readonly drying: DryingTime
  readonly wetting: WettingTime
}

export type AirChannel = 'celsius' | 'percent' | number

export const noWetting: WettingTime = { wet: 0, near: 0, dry: 0, unknown: 0 }

export const startAirWalk = (from: Instant, surfaces: number): AirWalk => ({
  at: from,
  celsius: null,
  percent: null,
  surfaces: Array.from({ length: surfaces }, () => null),
  drying: noDrying,
  wetting: noWetting,
})

/** Time has come as far as `until`. Each value holds until its sensor is stale; what comes after is unknown. */
export function walkAirTo(walk: AirWalk, until: Instant): AirWalk {
  let { at, drying, wetting } = walk
  const held = [walk.celsius, walk.percent, ...walk.surfaces]
  while (at < until) {
    const now = at
    const valueOf = (one: HeldValue | null): number | null =>
      one !== null && one.until > now ? one.value : null
    let next: number = until
    for (const one of held) if (one !== null && one.until > now && one.until < next) next = one.until
    const ms = next - now
    const celsius = valueOf(walk.celsius)
    const percent = valueOf(walk.percent)
    drying = addDrying(drying, deficitOf(celsius, percent), millis(ms))
    const kind = wettingNow(celsius, percent, walk.surfaces.map(valueOf))
    wetting = { ...wetting, [kind]: wetting[kind] + ms }
    at = next as Instant
  }
  return { ...walk, at, drying, wetting }
}

/** The next believable value of one channel. Values come in order of time, all channels together. */
export function walkAirReading(
  walk: AirWalk,
  channel: AirChannel,
  at: Instant,
  value: number,
  holds: number,
): AirWalk {
  if (at < walk.at) throw new RangeError('readings of a walk must ascend')
  const here = walkAirTo(walk, at)
  const one = { value, until: at + holds }
  if (typeof channel === 'number') return { ...here, surfaces: here.surfaces.with(channel, one) }
  return { ...here, [channel]: one }
}

/**
 * The air of `celsius` that dries as much as this deficit does, in %RH: says in a usual figure how dry it was (FAO-56 equation 11,
 * turned round). Null where no air of that temperature is so dry.
 */
export function humidityOfDeficit(deficit: Kilopascal, celsius: Celsius): number | null {
  const percent = 100 * (1 - deficit / saturationFao(celsius))
  return percent >= 0 && percent <= 100 ? percent : null
}

function deficitOf(celsius: number | null, percent: number | null): Kilopascal | null {
  if (celsius === null || percent === null) return null
  return vapourPressureDeficit(celsius as Celsius, percent)
}

function wettingNow(
  celsius: number | null,
  percent: number | null,
  surfaces: readonly (number | null)[],
): keyof WettingTime {
  const known = surfaces.filter((surface) => surface !== null)
  if (celsius === null || percent === null || known.length === 0) return 'unknown'
  const { kind } = wettingOf({
    air: celsius as Celsius,
    humidity: percent,
    surface: Math.min(...known) as Celsius,
    surfaceName: '',
    accuracy: usualAccuracy,
  })
  switch (kind) {
    case 'dew':
    case 'frost':
      return 'wet'
    case 'nearDew':
    case 'nearFrost':
      return 'near'
    case 'dry':
    case 'unknown':
      return kind
    default:
      return kind satisfies never
  }
}

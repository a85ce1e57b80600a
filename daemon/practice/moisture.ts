import type { PlaceId } from '../../schemas/ids.ts'
import type { PlaceModel } from '../../schemas/scenario.ts'
import { celsius } from '../../schemas/amounts.ts'
import { saturationOverIce, saturationOverWater } from '../../shared/air/psychrometrics.ts'

/** Through an open door the air is exchanged within about a minute (plausible, no source). */
const OPEN_DOOR_MS = 60_000

interface Air {
  readonly celsius: readonly number[]
  readonly liner: readonly number[]
  readonly noise: readonly number[]
  readonly vapour: readonly number[]
}

/**
 * Vapour pressure (kPa) of each place one step later: it relaxes towards the moist substrate's and the parent's air, and
 * never lies above saturation at the coldest surface, where it becomes dew or frost.
 */
export function nextVapour(
  places: readonly PlaceModel[],
  parentOf: readonly number[],
  air: Air,
  stepMs: number,
  open: ReadonlySet<PlaceId>,
): number[] {
  return places.map((place, i) => {
    const here = celsius(air.celsius[i] ?? 0)
    if (place.kind === 'room') return roomVapour(place, air.celsius[i] ?? 0)
    const now = air.vapour[i] ?? 0
    const airing = 1 / (open.has(place.id) ? OPEN_DOOR_MS : place.airs)
    const moistening = place.humidity === undefined ? 0 : 1 / place.moistens
    const wet = saturationOverWater(here) * Math.max(0, ((place.humidity ?? 0) + (air.noise[i] ?? 0)) / 100)
    const around = air.vapour[parentOf[i] ?? -1] ?? now
    const rate = airing + moistening
    const end = (around * airing + wet * moistening) / rate
    const next = end + (now - end) * Math.exp(-stepMs * rate)
    return Math.min(next, saturationOverSurface(air.liner[i] ?? here))
  })
}

export function vapourAtStart(
  places: readonly PlaceModel[],
  parentOf: readonly number[],
  degrees: readonly number[],
): number[] {
  const vapourOf = (i: number): number => {
    const place = places[i]
    const here = celsius(degrees[i] ?? 0)
    if (place === undefined) return 0
    if (place.kind === 'room') return roomVapour(place, here)
    if (place.humidity !== undefined) return (saturationOverWater(here) * place.humidity) / 100
    return Math.min(vapourOf(parentOf[i] ?? -1), saturationOverSurface(here))
  }
  return places.map((_, i) => vapourOf(i))
}

/** %RH over water, 0 to 100, as hygrometers show it also below 0 °C. */
export function relativeHumidity(kPa: number, degrees: number): number {
  return Math.min(100, Math.max(0, (100 * kPa) / saturationOverWater(celsius(degrees))))
}

/** A room's vapour pressure stays while its temperature swings, until it would be wet. */
function roomVapour(room: Extract<PlaceModel, { kind: 'room' }>, degrees: number): number {
  return Math.min(
    (saturationOverWater(celsius(room.mean)) * room.humidity) / 100,
    saturationOverSurface(degrees),
  )
}

const saturationOverSurface = (degrees: number): number =>
  degrees < 0 ? saturationOverIce(celsius(degrees)) : saturationOverWater(celsius(degrees))

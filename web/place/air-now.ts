import type { PlaceNow, ValueNow } from '../../schemas/api.ts'
import { celsius } from '../../schemas/amounts.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { airPair } from '../../shared/air/air-sensor.ts'
import { coldestOf, type Wetting, wettingOf } from '../../shared/air/condensation.ts'
import { behindOneDoor, doorOf, roomOf } from '../../shared/air/one-door.ts'
import { dewPoint, frostPoint, vapourPressureDeficit } from '../../shared/air/psychrometrics.ts'

/** Air by its own sensor, now. `point`: where dew forms, or frost where that is below 0 °C. */
export interface MoistAir {
  readonly celsius: number
  readonly percent: number
  /** kPa. */
  readonly deficit: number
  readonly point: number
  readonly isFrost: boolean
}

/** A thermometer and what this air does to a surface as cold as it. */
export interface Surface {
  readonly name: string
  readonly celsius: number
  readonly wetting: Wetting
}

/** `none`: nothing measures humidity here · `old`: something does, but its values are not fresh. */
export type AirNow =
  | { readonly kind: 'none' | 'old' }
  | {
      readonly kind: 'known'
      readonly air: MoistAir
      /** The place around it whose sensor this is; null where it is its own. */
      readonly of: string | null
      /** The coldest other thermometer that shares this air. */
      readonly surface: Surface | null
    }

/** The room around, and what its air does to the coldest spot measured inside. */
export interface RoomAir {
  readonly name: string
  readonly air: MoistAir
  readonly surface: Surface
  readonly hasDoor: boolean
}

export type SpotOf = (sensor: string) => Sensor['spot'] | undefined

/** What the values of this moment say of a place's air: its own sensor first, then that of the fridge around it. */
export function airNow(place: PlaceNow, places: readonly PlaceNow[], spotOf: SpotOf): AirNow {
  const home = doorOf(place.id, places) ?? place
  const sources = [place, ...(home.id === place.id ? [] : [home])]
  for (const source of sources) {
    const found = pairOf(source.values.filter(isFresh), spotOf)
    if (found === null) continue
    const whose = places.find(({ id }) => id === source.judgedBy) ?? source
    const surface = surfaceIn(found.air, insideOf(place, places), found.sensor)
    return { kind: 'known', air: found.air, of: whose.id === place.id ? null : whose.name, surface }
  }
  const isMeasured = sources.some(({ values }) => values.some(({ quantity }) => quantity === 'humidity'))
  return { kind: isMeasured ? 'old' : 'none' }
}

/** What the air of the room around would wet in here; null where no fresh humidity or no spot is known. */
export function roomAir(place: PlaceNow, places: readonly PlaceNow[], spotOf: SpotOf): RoomAir | null {
  const room = roomOf(place.id, places)
  if (room === null || (room.judgedBy !== null && room.judgedBy !== room.id)) return null
  const found = pairOf(room.values.filter(isFresh), spotOf)
  if (found === null) return null
  const surface = surfaceIn(found.air, insideOf(place, places), found.sensor)
  if (surface === null) return null
  return { name: room.name, air: found.air, surface, hasDoor: doorOf(place.id, places) !== null }
}

function pairOf(values: readonly ValueNow[], spotOf: SpotOf): { air: MoistAir; sensor: string } | null {
  const candidates = [...new Set(values.map(({ sensor }) => sensor))].map((sensor) => {
    const value = (quantity: ValueNow['quantity']): number | undefined =>
      values.find((one) => one.sensor === sensor && one.quantity === quantity)?.value
    const [warm, damp] = [value('temperature'), value('humidity')]
    const has = { hasTemperature: warm !== undefined, hasHumidity: damp !== undefined }
    return { sensor, spot: spotOf(sensor) ?? 'air', warm, damp, ...has }
  })
  const pair = airPair(candidates)
  if (pair?.temperature.warm === undefined || pair.humidity.damp === undefined) return null
  const air = moistAir(pair.temperature.warm, pair.humidity.damp)
  return air && { air, sensor: pair.temperature.sensor }
}

/** Null in dry air (0 %RH), which wets nothing and which no hygrometer shows. */
function moistAir(warm: number, percent: number): MoistAir | null {
  const at = celsius(warm)
  const frost = frostPoint(at, percent)
  const point = frost ?? dewPoint(at, percent)
  if (point === null) return null
  const deficit = vapourPressureDeficit(at, percent)
  return { celsius: warm, percent, deficit, point, isFrost: frost !== null }
}

/** Temperatures behind the same door, each sensor once: a box without one of its own shows those around it. */
const insideOf = (place: PlaceNow, places: readonly PlaceNow[]): ValueNow[] => {
  const shared = behindOneDoor(place.id, places)
  const values = places.filter(({ id }) => shared.has(id)).flatMap((one) => one.values)
  const warm = values.filter((value) => value.quantity === 'temperature' && isFresh(value))
  return [...new Map(warm.map((value) => [value.sensor, value])).values()]
}

function surfaceIn(air: MoistAir, values: readonly ValueNow[], without: string): Surface | null {
  const coldest = coldestOf(
    values
      .filter(({ sensor }) => sensor !== without)
      .map(({ sensorName, value }) => ({ name: sensorName, celsius: value })),
  )
  if (coldest === null) return null
  const wetting = wettingOf({
    air: celsius(air.celsius),
    humidity: air.percent,
    surface: celsius(coldest.celsius),
    surfaceName: coldest.name,
  })
  return { ...coldest, wetting }
}

const isFresh = ({ fresh, quality, lastKnown }: ValueNow): boolean =>
  fresh && quality === 'good' && !lastKnown

import type { Place, PlaceKind } from '../../schemas/place.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { millis } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import { boundOf } from '../sensing/bound.ts'

/** What one thermometer's curve is read for. It follows from the household alone. */
export interface ThermalRole {
  /** It hangs in the air that a compressor cools: cycle and door are read from it. */
  readonly isAir: boolean
  /** What the animals there are thought to follow; null where another thermometer stands for them. */
  readonly follows: Follows | null
  /** Standard uncertainty, K. */
  readonly uncertainty: number
}

interface Follows {
  readonly tau: Millis
  /** `itself`: it lies in what the animal lies in. `animalLag`: the place says how the animal follows the air (L11). */
  readonly by: 'itself' | 'animalLag'
}

/** Places whose curve is read: what is warmed or swings by purpose has none that tells. */
const readKinds: readonly PlaceKind[] = ['fridge', 'coldRoom', 'box']

/** What the layout knows of the sensor's place. */
export interface RoleWorld {
  readonly place: Place
  readonly mates: readonly Sensor[]
  /** Places around it, nearest first, with their sensors. */
  readonly around: readonly { readonly place: Place; readonly sensors: readonly Sensor[] }[]
}

/** Null where its curve is not read. */
export function roleOf(sensor: Sensor, { place, mates, around }: RoleWorld): ThermalRole | null {
  if (!readKinds.includes(place.kind)) return null
  const { spot } = sensor
  const isInCooledAir = around.some(
    ({ place: outer, sensors }) =>
      (outer.kind === 'fridge' || outer.kind === 'coldRoom') && sensors.some(isInAir),
  )
  // A standard uncertainty from bounds (JCGM 100:2008, 4.3.7: rectangular).
  const uncertainty = boundOf(sensor) / Math.sqrt(3)
  const isAir = isInAir(sensor) && !(place.kind === 'box' && isInCooledAir)
  return { isAir, follows: followsOf(), uncertainty }

  function followsOf(): Follows | null {
    if (spot === 'substrate' || spot === 'water') return { tau: millis(0), by: 'itself' }
    if (!isInAir(sensor) || mates.some((mate) => mate.spot === 'substrate')) return null
    return place.animalLag === undefined ? null : { tau: place.animalLag, by: 'animalLag' }
  }
}

/** A contact on the door may carry a thermometer, but not one for the air inside. */
export const isInAir = ({ spot, type }: Sensor): boolean => spot === 'air' && type !== 'contact'

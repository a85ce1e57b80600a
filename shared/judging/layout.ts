import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId, SpeciesId } from '../../schemas/ids.ts'
import type { Place } from '../../schemas/place.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { TriedLimit } from '../../schemas/what-if.ts'
import type { Tenant } from './band.ts'
import { type Guard, guardsOf } from './guard.ts'
import { roleOf, type ThermalRole } from './thermal-role.ts'

/** Looks a species up in the catalogue. */
export type ProfileOf = (species: SpeciesId) => SpeciesProfile | undefined

/** The keeper's own profiles come first; their ids are none of the catalogue's. */
export const profilesIn =
  ({ profiles }: Pick<Household, 'profiles'>, catalogued: ProfileOf): ProfileOf =>
  (id) =>
    profiles.find((profile) => profile.id === id) ?? catalogued(id)

/** One place with what stands in and around it, as indexes into the layout's lists. */
export interface PlaceLayout {
  readonly place: Place
  /** Sensors that sit right here. */
  readonly sensors: readonly number[]
  /** Animals that live right here. */
  readonly own: readonly Tenant[]
  /** Animals whose bands apply: those here and, unless this is a room, those in the places inside. */
  readonly tenants: readonly Tenant[]
  /** The places around this one, nearest first. */
  readonly around: readonly number[]
  /** This place and every place inside it. */
  readonly within: readonly number[]
  /** Limits in place of those in force, where a past winter is judged by others; absent in the house itself. */
  readonly tried?: readonly TriedLimit[]
}

/** A household worked out once, so that a reading finds its place, its band and its neighbours at once. */
export interface Layout {
  readonly household: Household
  readonly places: readonly PlaceLayout[]
  readonly sensors: readonly Sensor[]
  readonly placeIndex: ReadonlyMap<PlaceId, number>
  readonly sensorIndex: ReadonlyMap<SensorId, number>
  /** For each sensor the index of its place, or -1. */
  readonly placeOfSensor: readonly number[]
  /** For each sensor what its curve is read for; null for most. */
  readonly roles: readonly (ThermalRole | null)[]
  /** For each sensor how far it may be off near freezing; null where its place takes limits as they stand (L9). */
  readonly guards: readonly (readonly Guard[] | null)[]
}

/** Animals of a species that the catalogue does not know have no band here; saving such an animal is refused. */
export function layOut(household: Household, catalogued: ProfileOf): Layout {
  const { places, sensors } = household
  const profileOf = profilesIn(household, catalogued)
  const placeIndex = new Map(places.map((place, i) => [place.id, i]))
  const sensorIndex = new Map(sensors.map((sensor, i) => [sensor.id, i]))
  const placeOfSensor = sensors.map((sensor) =>
    sensor.place === null ? -1 : (placeIndex.get(sensor.place) ?? -1),
  )
  const tenants = household.animals.flatMap((animal): readonly Tenant[] => {
    const profile = profileOf(animal.species)
    return profile === undefined ? [] : [{ animal, profile }]
  })

  const around = places.map((place) => chain(place, places, placeIndex))
  const within = places.map((_, i) => [i, ...places.flatMap((__, j) => (around[j]?.includes(i) ? [j] : []))])
  const laidOut = places.map(
    (place, i): PlaceLayout => ({
      place,
      sensors: sensors.flatMap((_, s) => (placeOfSensor[s] === i ? [s] : [])),
      own: tenants.filter((tenant) => tenant.animal.place === place.id),
      tenants: tenants.filter((tenant) => {
        const home = tenant.animal.place === null ? -1 : (placeIndex.get(tenant.animal.place) ?? -1)
        return home === i || (place.kind !== 'room' && (within[i] ?? []).includes(home))
      }),
      around: around[i] ?? [],
      within: within[i] ?? [i],
    }),
  )
  return {
    household,
    sensors,
    placeIndex,
    sensorIndex,
    placeOfSensor,
    places: laidOut,
    roles: rolesIn(sensors, laidOut, placeOfSensor),
    guards: sensors.map((sensor, s) =>
      places[placeOfSensor[s] ?? -1]?.guardBand === 'off' ? null : guardsOf(sensor),
    ),
  }
}

function rolesIn(
  sensors: readonly Sensor[],
  places: readonly PlaceLayout[],
  placeOfSensor: readonly number[],
): readonly (ThermalRole | null)[] {
  const sensorsIn = (i: number): readonly Sensor[] =>
    (places[i]?.sensors ?? []).flatMap((s) => sensors[s] ?? [])
  return sensors.map((sensor, s) => {
    const p = placeOfSensor[s] ?? -1
    const here = places[p]
    if (here === undefined) return null
    return roleOf(sensor, {
      place: here.place,
      mates: sensorsIn(p),
      around: here.around.flatMap((i) => {
        const place = places[i]?.place
        return place === undefined ? [] : [{ place, sensors: sensorsIn(i) }]
      }),
    })
  })
}

/** Places around `place`, nearest first. Stops at a loop, which saving refuses. */
function chain(
  place: Place,
  places: readonly Place[],
  index: ReadonlyMap<PlaceId, number>,
): readonly number[] {
  const found: number[] = []
  let parent = place.parent
  while (parent !== null) {
    const i = index.get(parent)
    if (i === undefined || found.includes(i) || parent === place.id) break
    found.push(i)
    parent = places[i]?.parent ?? null
  }
  return found
}

import { stringify } from 'yaml'
import { Household } from '../../schemas/household.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { profilesIn } from '../../shared/judging/layout.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { objectionToOwn } from '../../shared/species/own-profile.ts'
import { objectionTo } from '../app/edits.ts'
import { dotted, mistakesOf } from './mistakes.ts'
import { type Mistake, readYaml } from './yaml-lines.ts'

/** The largest household that the schema allows stays well below this (X3). */
const maxHouseholdBytes = 4 * 1024 * 1024

const head = `# A household of Brumal: times of a plan in ms since 1970-01-01 UTC, lengths of time in ms.
# Keys that decrypt a sensor's messages are left out; an import keeps those that are already known.
`

/** The whole household as YAML, without secrets (X4). */
export function householdToYaml(household: Household): string {
  const sensors = household.sensors.map((sensor) => {
    if (sensor.decoder.kind !== 'bthome') return sensor
    const { key: _secret, ...decoder } = sensor.decoder
    return { ...sensor, decoder }
  })
  return head + stringify({ ...household, sensors })
}

export type HouseholdRead =
  | { readonly ok: true; readonly household: Household }
  | { readonly ok: false; readonly mistakes: readonly Mistake[] }

/** Reads what `householdToYaml` wrote. `before` lends the keys that were left out, sensor by sensor. */
export function householdFromYaml(text: string, before: Household | null, now: Instant): HouseholdRead {
  const read = readYaml(text, maxHouseholdBytes)
  if (!read.ok) return read
  const parsed = Household.safeParse(read.value)
  const found = parsed.success ? referenceMistakes(parsed.data) : mistakesOf(parsed.error)
  const mistakes = found.map(({ path, message }) => ({
    path: dotted(path),
    line: read.lineOf(path),
    message,
  }))
  if (!parsed.success || mistakes.length > 0) return { ok: false, mistakes }
  const objection = objectionTo(parsed.data, profileOf, now)
  if (objection !== null) return { ok: false, mistakes: [{ path: '', message: objection.sentence }] }
  const sensors = parsed.data.sensors.map((sensor) => withKeyOf(sensor, before))
  return { ok: true, household: { ...parsed.data, sensors } }
}

function withKeyOf(sensor: Sensor, before: Household | null): Sensor {
  const { decoder } = sensor
  const old = before?.sensors.find(({ id }) => id === sensor.id)?.decoder
  if (decoder.kind !== 'bthome' || decoder.key !== undefined || old?.kind !== 'bthome') return sensor
  return old.key === undefined ? sensor : { ...sensor, decoder: { ...decoder, key: old.key } }
}

type Found = { readonly path: readonly PropertyKey[]; readonly message: string }

/** Every name that leads nowhere or stands twice. */
function referenceMistakes(household: Household): Found[] {
  const { places, sensors, animals, profiles } = household
  const profileHere = profilesIn(household, profileOf)
  const known = new Set<string>(places.map(({ id }) => id))
  const lost = (path: readonly PropertyKey[], place: string | null): Found[] =>
    place === null || known.has(place) ? [] : [{ path, message: `there is no place ${place}` }]
  return [
    ...repeated('places', places),
    ...repeated('sensors', sensors),
    ...repeated('animals', animals),
    ...repeated('profiles', profiles),
    ...profiles.flatMap((profile, i) => {
      const objection = objectionToOwn(profile, profileHere)
      return objection === null ? [] : [{ path: ['profiles', i], message: objection.sentence }]
    }),
    ...places.flatMap(({ parent }, i) => lost(['places', i, 'parent'], parent)),
    ...sensors.flatMap(({ place }, i) => lost(['sensors', i, 'place'], place)),
    ...animals.flatMap(({ place }, i) => lost(['animals', i, 'place'], place)),
    ...animals.flatMap(({ species }, i) =>
      profileHere(species)
        ? []
        : [{ path: ['animals', i, 'species'], message: `no profile is known for ${species}` }],
    ),
  ]
}

function repeated(list: string, items: readonly { readonly id: string }[]): Found[] {
  return items.flatMap(({ id }, i) =>
    items.findIndex((other) => other.id === id) === i
      ? []
      : [{ path: [list, i, 'id'], message: `${id} stands twice` }],
  )
}

import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import type { Logger } from '../../schemas/logger.ts'
import type { Place } from '../../schemas/place.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { dayWords } from '../../shared/animals/day-words.ts'
import { lastReach } from '../../shared/animals/plan-days.ts'
import { bandsAt } from '../../shared/judging/band.ts'
import { layOut, type ProfileOf, profilesIn } from '../../shared/judging/layout.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { EditRefusal } from '../ports/household.ts'
import { quantityWord } from '../../shared/telling/words.ts'
import { say } from '../../shared/words/say.ts'

/** Why a household cannot be as proposed; null when it can. Checked before anything changes. */
export interface Objection {
  readonly error: EditRefusal
  readonly sentence: string
}

type List = 'places' | 'sensors' | 'animals'

/** The household with one thing put in, in its place when it was there before. */
export function withOne<L extends List>(household: Household, list: L, one: Household[L][number]): Household {
  const all: readonly { id: string }[] = household[list]
  const i = all.findIndex((other) => other.id === one.id)
  const next = i < 0 ? [...all, one] : all.with(i, one)
  return { ...household, [list]: next }
}

export function without(household: Household, list: List, id: string): Household {
  const all: readonly { id: string }[] = household[list]
  return { ...household, [list]: all.filter((one) => one.id !== id) }
}

/**
 * Checks a whole proposed household: references, nesting, and that every place has a band that can be met (L8). A place
 * whose band could not be met in `before` either stands in the way of nothing else.
 */
export function objectionTo(
  household: Household,
  profileOf: ProfileOf,
  now: Instant,
  before: Household | null = null,
): Objection | null {
  return (
    tooMany(household) ??
    badNesting(household.places) ??
    firstOf(household.sensors, (sensor) => badSensor(sensor, household.places)) ??
    firstOf(household.loggers ?? [], (logger) => badLogger(logger, household)) ??
    firstOf(household.animals, (animal) =>
      badAnimal(animal, household.places, profilesIn(household, profileOf)),
    ) ??
    badBands(household, profileOf, now, before)
  )
}

const most = { places: 500, sensors: 500, animals: 1000 } as const
const mostWords = {
  places: say('At most {most} places.', { most: most.places }),
  sensors: say('At most {most} sensors.', { most: most.sensors }),
  animals: say('At most {most} animals.', { most: most.animals }),
} as const

function tooMany(household: Household): Objection | null {
  for (const list of ['places', 'sensors', 'animals'] as const)
    if (household[list].length > most[list]) return { error: 'tooMany', sentence: mostWords[list] }
  return null
}

function badNesting(places: readonly Place[]): Objection | null {
  const byId = new Map(places.map((place) => [place.id, place]))
  for (const place of places) {
    const seen = new Set([place.id])
    for (let at: Place | undefined = place; at.parent !== null; ) {
      const parent = byId.get(at.parent)
      if (parent === undefined)
        return {
          error: 'noSuchParent',
          sentence: say('{place} cannot stand in {parent}: there is no such place.', {
            place: at.name,
            parent: at.parent,
          }),
        }
      if (seen.has(parent.id))
        return { error: 'loop', sentence: say('{place} cannot stand inside itself.', { place: place.name }) }
      seen.add(parent.id)
      at = parent
    }
  }
  return null
}

function badSensor(sensor: Sensor, places: readonly Place[]): Objection | null {
  if (sensor.place === null || places.some((place) => place.id === sensor.place)) return null
  return {
    error: 'noSuchPlace',
    sentence: say('{sensor} cannot sit in {place}: there is no such place.', {
      sensor: sensor.name,
      place: sensor.place,
    }),
  }
}

/** A sensor of a logger's id would go on with another's readings. */
function badLogger({ id, name, place }: Logger, { sensors, places }: Household): Objection | null {
  if (sensors.some((sensor) => sensor.id === id))
    return {
      error: 'inUse',
      sentence: say('The logger {name} of a past winter has this id; choose another.', { name }),
    }
  if (place === null || places.some((one) => one.id === place)) return null
  return {
    error: 'noSuchPlace',
    sentence: say('{name} cannot have been in {place}: there is no such place.', { name, place }),
  }
}

function badAnimal(animal: Animal, places: readonly Place[], profileOf: ProfileOf): Objection | null {
  const profile = profileOf(animal.species)
  if (profile === undefined)
    return {
      error: 'noSuchSpecies',
      sentence: say('No profile is known for the species {species}.', { species: animal.species }),
    }
  if (animal.place !== null && !places.some((place) => place.id === animal.place))
    return {
      error: 'noSuchPlace',
      sentence: say('{animal} cannot live in {place}: there is no such place.', {
        animal: animal.name,
        place: animal.place,
      }),
    }
  if ([...animal.plan, ...animal.draft].some(({ from }) => from >= lastReach))
    return {
      error: 'badPlan',
      sentence: say('The days of {animal}’s plan lie too far away.', { animal: animal.name }),
    }
  const goesDown = animal.mode === 'goesDown' || animal.plan.some((step) => coldPhases.includes(step.phase))
  if (goesDown && profile.hold === undefined)
    return {
      error: 'mustNotGoDown',
      sentence: say('{common} ({latin}) must not go down for winter.', {
        common: profile.common,
        latin: profile.latin,
      }),
    }
  return null
}

const coldPhases: readonly string[] = ['coolDown', 'hold', 'warmUp']

function badBands(
  household: Household,
  profileOf: ProfileOf,
  now: Instant,
  before: Household | null,
): Objection | null {
  const found = unmetBands(household, profileOf, now)
  if (found.length === 0) return null
  const known = before === null ? [] : unmetBands(before, profileOf, now).map(({ place }) => place)
  return found.find(({ place }) => !known.includes(place)) ?? null
}

/**
 * Places without a value that suits everybody, now or at any later instant at which a phase begins: between them bands
 * move along straight lines. What is only planned counts where it helps: an animal that is to go down is not awake for
 * ever.
 */
function unmetBands(
  household: Household,
  profileOf: ProfileOf,
  now: Instant,
): readonly (Objection & { readonly place: string })[] {
  const layout = layOut(household, profileOf)
  const planned = layOut({ ...household, animals: household.animals.map(asPlanned) }, profileOf)
  return layout.places.flatMap((here, p) => {
    const later = [here, planned.places[p] ?? here]
      .flatMap(({ tenants }) => tenants.flatMap(({ animal }) => animal.plan.map((step) => step.from)))
      .filter((from) => from > now)
      .toSorted((one, other) => one - other)
    for (const at of [now, ...later]) {
      const { conflict } = bandsAt(here.place, here.tenants, household.guidance, at)
      if (conflict === null) continue
      const asPlannedThen = bandsAt(here.place, planned.places[p]?.tenants ?? [], household.guidance, at)
      if (at > now && asPlannedThen.conflict === null) continue
      const told = {
        quantity: quantityWord(conflict.quantity),
        place: here.place.name,
        first: conflict.first,
        second: conflict.second,
      }
      const sentence =
        at > now
          ? say('From {day} no {quantity} in {place} suits both: {first}; {second}.', {
              ...told,
              day: dayWords(localDate(at, household.timeZone)),
            })
          : say('No {quantity} in {place} suits both: {first}; {second}.', told)
      return [{ error: 'bandsConflict' as const, sentence, place: here.place.id }]
    }
    return []
  })
}

/** With its draft in force. */
function asPlanned(animal: Animal): Animal {
  const [first] = animal.draft
  if (first === undefined) return animal
  return { ...animal, plan: [...animal.plan.filter(({ from }) => from < first.from), ...animal.draft] }
}

function firstOf<Item>(items: readonly Item[], check: (item: Item) => Objection | null): Objection | null {
  for (const item of items) {
    const objection = check(item)
    if (objection !== null) return objection
  }
  return null
}

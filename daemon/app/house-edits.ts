import type { Household } from '../../schemas/household.ts'
import { guidanceWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'
import type { Desk } from '../ports/desk.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { Outcome } from '../ports/outcome.ts'
import { withOne, without } from './edits.ts'
import { nameIn } from './names.ts'
import type { SaveHousehold } from './season-world.ts'

type HouseEdits = Pick<
  Desk,
  'saveHouse' | 'savePlace' | 'removePlace' | 'saveSensor' | 'removeSensor' | 'removeAnimal'
>

/** What a keeper changes on the house by a form; animals are saved under the rules of their season, in `save-animal.ts`. */
export function houseEdits({
  household,
  save,
}: {
  readonly household: () => Household
  readonly save: SaveHousehold
}): HouseEdits {
  function saveOne<Value>(
    next: Household,
    value: Value,
    by: string,
    text: string,
  ): Outcome<Value, EditRefusal> {
    const saved = save(next, by, text)
    return saved.ok ? { ok: true, value } : saved
  }

  return {
    saveHouse: (house_, by) =>
      saveOne(
        { ...household(), ...house_ },
        house_,
        by,
        say('The house is {house_} now, with {guidance} guidance.', {
          house_: house_.name,
          guidance: guidanceWord[house_.guidance],
        }),
      ),
    savePlace(given, by) {
      // A trial run moves by its own acts alone: a form may have been open since before the plug was pulled.
      const { trial: _, ...others } = given
      const trial = household().places.find((one) => one.id === given.id)?.trial
      const place = trial === undefined ? others : { ...others, trial }
      return saveOne(
        withOne(household(), 'places', place),
        place,
        by,
        say('Saved the place {place}.', { place: place.name }),
      )
    },
    removePlace(id, by) {
      const { places, sensors, animals, loggers } = household()
      const used =
        places.find((one) => one.parent === id)?.name ??
        sensors.find((one) => one.place === id)?.name ??
        loggers?.find((one) => one.place === id)?.name ??
        animals.find((one) => one.place === id)?.name
      if (used !== undefined)
        return {
          ok: false,
          error: 'inUse',
          sentence: say('{used} is still in it; move that first.', { used }),
        }
      return saveOne(
        without(household(), 'places', id),
        null,
        by,
        say('Removed the place {nameIn}.', { nameIn: nameIn(places, id) }),
      )
    },
    saveSensor(given, by) {
      const before = household().sensors.find((one) => one.id === given.id)
      const isNew = before === undefined
      // Whoever sends none does not mean that none was ever made: old readings would change.
      const { check: _, ...asGiven } = given
      const sensor = {
        ...asGiven,
        calibrations: given.calibrations.length > 0 ? given.calibrations : (before?.calibrations ?? []),
        // A form that was opened before would begin, or end, a check.
        ...(before?.check === undefined ? {} : { check: before.check }),
      }
      const about = { sensor: sensor.id, ...(sensor.place === null ? {} : { place: sensor.place }) }
      const saved = isNew
        ? save(
            withOne(household(), 'sensors', sensor),
            by,
            say('It listens to {topic}.', { topic: sensor.topic }),
            'claimed',
            about,
          )
        : save(
            withOne(household(), 'sensors', sensor),
            by,
            say('Saved the sensor {sensor}.', { sensor: sensor.name }),
          )
      return saved.ok ? { ok: true, value: sensor } : saved
    },
    removeSensor: (id, by) =>
      saveOne(
        without(household(), 'sensors', id),
        null,
        by,
        say('Removed the sensor {nameIn}; its readings are kept.', {
          nameIn: nameIn(household().sensors, id),
        }),
      ),
    removeAnimal: (id, by) =>
      saveOne(
        without(household(), 'animals', id),
        null,
        by,
        say('Removed {nameIn}.', { nameIn: nameIn(household().animals, id) }),
      ),
  }
}

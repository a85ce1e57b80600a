import type { z } from 'zod'
import { Household } from '../../schemas/household.ts'
import { days, later, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

/** Where the invented household stands when nobody says otherwise. */
export const practiceTimeZone = 'Europe/Vienna'

/** Readings of the past come every 2 min, live ones every few seconds: neither counts as missing. */
const expectedEvery = minutes(2)

/**
 * An invented household whose animals are in hold at `now`: tortoises and toads in the boxes of a cellar fridge, a
 * garter snake in a second one without a sensor in its box, one tortoise that is still to go down, and a royal python
 * that stays awake.
 */
export function practiceHousehold(now: Instant, timeZone: string = practiceTimeZone): Household {
  return Household.parse({
    version: 1,
    name: 'Practice house',
    timeZone,
    places: [
      { id: 'cellar', name: 'Cellar', kind: 'room' },
      { id: 'cellar-fridge', name: 'Cellar fridge', kind: 'fridge', parent: 'cellar' },
      { id: 'juniper-box', name: 'Juniper box', kind: 'box', parent: 'cellar-fridge' },
      { id: 'clover-box', name: 'Clover box', kind: 'box', parent: 'cellar-fridge' },
      { id: 'marsh-box', name: 'Marsh box', kind: 'box', parent: 'cellar-fridge' },
      { id: 'small-fridge', name: 'Small fridge', kind: 'fridge', parent: 'cellar' },
      { id: 'reed-box', name: 'Reed box', kind: 'box', parent: 'small-fridge' },
      { id: 'study', name: 'Study', kind: 'room' },
      { id: 'warm-enclosure', name: 'Warm enclosure', kind: 'enclosure', parent: 'study' },
      { id: 'window-table', name: 'Window table', kind: 'enclosure', parent: 'study' },
      {
        id: 'cricket-tub',
        name: 'Cricket tub',
        kind: 'culture',
        parent: 'study',
        culture: { food: 'houseCricket', unit: 'pieces', weeklyUse: 90 },
      },
    ],
    sensors: [
      sensor('cellar-fridge-air', 'Cellar fridge, air', 'cellar-fridge', 'ds18b20', 'air'),
      sensor('cellar-fridge-door', 'Cellar fridge, door', 'cellar-fridge', 'contact', 'air'),
      sensor('juniper-soil', 'Juniper box, soil', 'juniper-box', 'sht3x', 'substrate'),
      sensor('clover-soil', 'Clover box, soil', 'clover-box', 'ds18b20', 'substrate'),
      sensor('marsh-soil', 'Marsh box, soil', 'marsh-box', 'sht3x', 'substrate'),
      sensor('small-fridge-air', 'Small fridge, air', 'small-fridge', 'ds18b20', 'air'),
      sensor('warm-enclosure-air', 'Warm enclosure, air', 'warm-enclosure', 'dht22', 'air'),
      sensor('window-table-air', 'Window table, air', 'window-table', 'ds18b20', 'air'),
      sensor('cellar-air', 'Cellar, air', 'cellar', 'bme280', 'air'),
    ],
    animals: [
      goesDown('pebble', 'Pebble', 'testudo-hermanni', 'juniper-box', now, 70),
      goesDown('juno', 'Juno', 'testudo-hermanni', 'juniper-box', now, 70),
      goesDown('bramble', 'Bramble', 'testudo-hermanni', 'clover-box', now, 70),
      goesDown('sorrel', 'Sorrel', 'bufo-bufo', 'marsh-box', now, 45),
      goesDown('mugwort', 'Mugwort', 'bufo-bufo', 'marsh-box', now, 45),
      goesDown('ribbon', 'Ribbon', 'thamnophis-sirtalis', 'reed-box', now, 100),
      {
        id: 'fennel',
        name: 'Fennel',
        species: 'testudo-hermanni',
        place: 'window-table',
        mode: 'goesDown',
        hatched: String(new Date(now).getUTCFullYear() - 7),
        sex: 'female',
        since: String(new Date(now).getUTCFullYear() - 3),
        hasWintered: true,
        draft: draftOf(now),
      },
      { id: 'amber', name: 'Amber', species: 'python-regius', place: 'warm-enclosure', mode: 'staysAwake' },
    ],
  })
}

type Given = z.input<typeof Household>
type GivenSensor = NonNullable<Given['sensors']>[number]
type GivenAnimal = NonNullable<Given['animals']>[number]

function sensor(
  id: string,
  name: string,
  place: string,
  type: NonNullable<GivenSensor['type']>,
  spot: NonNullable<GivenSensor['spot']>,
): GivenSensor {
  return {
    id,
    name,
    place,
    type,
    spot,
    topic: practiceTopic(id),
    decoder: { kind: 'senmlJson' },
    expectedEvery,
  }
}

/** Where a device of the practice household publishes. */
export const practiceTopic = (device: string): string => `brumal/in/${device}`

/** The tortoise that goes down later: fed up for four weeks more, then a fast. */
function draftOf(now: Instant): GivenAnimal['draft'] {
  const from = (day: number): Instant => later(now, days(day))
  return [
    { phase: 'feedUp', from: from(-28) },
    { phase: 'fast', from: from(4) },
    { phase: 'coolDown', from: from(32) },
    { phase: 'hold', from: from(53) },
    { phase: 'warmUp', from: from(53 + 70) },
    { phase: 'awake', from: from(53 + 77) },
  ]
}

/** Down since three weeks, so that a past of two weeks lies wholly in hold. */
const DOWN_FOR = 21

function goesDown(
  id: string,
  name: string,
  species: string,
  place: string,
  now: Instant,
  holdDays: number,
): GivenAnimal {
  const from = (day: number): Instant => later(now, days(day))
  return {
    id,
    name,
    species,
    place,
    mode: 'goesDown',
    hatched: String(new Date(now).getUTCFullYear() - 9),
    hasWintered: true,
    plan: [
      { phase: 'feedUp', from: from(-DOWN_FOR - 66) },
      { phase: 'fast', from: from(-DOWN_FOR - 38) },
      { phase: 'coolDown', from: from(-DOWN_FOR - 10) },
      { phase: 'hold', from: from(-DOWN_FOR) },
      { phase: 'warmUp', from: from(-DOWN_FOR + holdDays) },
      { phase: 'awake', from: from(-DOWN_FOR + holdDays + 7) },
    ],
  }
}

import { Household } from '../../schemas/household.ts'

/** Twenty boxes of tortoises in hold, a probe in each: every reading is judged against a species' band. */
export function benchHousehold(): Household {
  const boxes = Array.from({ length: 20 }, (_, i) => `box-${i}`)
  return Household.parse({
    version: 1,
    name: 'Bench',
    timeZone: 'Europe/Vienna',
    places: boxes.map((id) => ({ id, name: id, kind: 'box' })),
    sensors: boxes.map((place, i) => ({
      id: `probe-${i}`,
      name: place,
      place,
      type: 'ds18b20',
      topic: `brumal/in/probe-${i}`,
    })),
    animals: boxes.map((place, i) => ({
      id: `animal-${i}`,
      name: `Animal ${i}`,
      species: 'testudo-hermanni',
      place,
      mode: 'goesDown',
      plan: [{ phase: 'hold', from: 1 }],
    })),
  })
}

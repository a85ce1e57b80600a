/** `count` boxes of tortoises in hold, a probe in each, as the parts of a household: all are judged by a species' band. */
export function tortoiseBoxes(count: number) {
  const boxes = Array.from({ length: count }, (_, i) => `box-${i}`)
  return {
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
  }
}

import type { Random } from '../../daemon/practice/random.ts'
import { hours } from '../../schemas/amounts.ts'
import type { Body } from './body.ts'
import { between, chance, spread } from './draw.ts'
import type { Surroundings } from './outside.ts'
import { type Heater, isCooled, type Sort, type Switch } from './sort.ts'

// Sizes are plausible for what stands in a house, without a source, where none is named.

/** `colder`: so many kelvin for places in the frost. */
export function drawSurroundings(
  sort: Sort,
  hemisphere: 'north' | 'south',
  colder: number,
  random: Random,
): Surroundings {
  switch (sort) {
    case 'fridge':
    case 'coldRoom':
      return {
        hemisphere,
        mean: between(random, 11, 21),
        share: 0.15,
        swing: between(random, 0.3, 1.2),
        noise: { sd: between(random, 0.3, 0.9), memory: hours(18) },
        warmest: 30,
      }
    case 'enclosure':
      return {
        hemisphere,
        mean: between(random, 14, 21),
        share: 0.15,
        swing: between(random, 0.3, 1.5),
        noise: { sd: between(random, 0.3, 0.9), memory: hours(18) },
        warmest: 25,
      }
    case 'garageFridge':
      return {
        hemisphere,
        mean: between(random, -2, 5) - colder,
        share: 0.8,
        swing: 0,
        noise: { sd: between(random, 1, 2.5), memory: hours(48) },
        warmest: 14,
      }
    case 'frame':
      return {
        hemisphere,
        mean: between(random, -2, 3) - colder,
        share: 1,
        swing: between(random, 0, 1.5),
        noise: { sd: between(random, 1.5, 3), memory: hours(48) },
        warmest: 7,
      }
    default:
      return sort satisfies never
  }
}

export function drawBody(sort: Sort, random: Random): Body {
  // 3500 J/(kg·K) is a usual heat capacity of animal bodies; a bare body of 1 kg has a time constant near 1.5 h (derived).
  const animal = 3500 * spread(random, 0.05, 1.5)
  const boxAnimal = animal / (3600 * between(random, 0.4, 1.8))
  const shared = { animal, boxAnimal, boxGround: 0 }
  const box = spread(random, 6000, 36_000)
  const airBox = between(random, 1, 2.5)
  switch (sort) {
    case 'fridge':
    case 'garageFridge': {
      // With a fan the evaporator stands behind the liner, and the walls warm the air itself.
      const hasFan = chance(random, 0.5)
      const walls = between(random, 0.8, 1.5)
      return {
        ...shared,
        air: between(random, 2000, 6000),
        plate: between(random, 4000, 8000),
        airPlate: between(random, 5, 9),
        plateOut: hasFan ? 0.2 * walls : 0.9 * walls,
        airOut: hasFan ? 0.8 * walls : 0.1 * walls,
        box,
        airBox,
        openDoor: between(random, 8, 15),
      }
    }
    case 'coldRoom':
      return {
        ...shared,
        air: between(random, 60_000, 200_000),
        plate: between(random, 15_000, 30_000),
        airPlate: between(random, 50, 90),
        plateOut: 0.5,
        airOut: between(random, 8, 16),
        box,
        airBox,
        openDoor: between(random, 60, 160),
      }
    case 'frame':
      return {
        ...shared,
        air: between(random, 3000, 9000),
        plate: between(random, 40_000, 150_000),
        airPlate: between(random, 3, 7),
        plateOut: between(random, 1, 2.5),
        airOut: between(random, 0.6, 1.6),
        box: spread(random, 20_000, 90_000),
        airBox: between(random, 2, 4),
        boxGround: between(random, 0.4, 1.2),
        openDoor: between(random, 5, 15),
      }
    case 'enclosure':
      return {
        ...shared,
        air: between(random, 4000, 12_000),
        plate: between(random, 10_000, 30_000),
        airPlate: between(random, 4, 8),
        plateOut: between(random, 0.8, 1.6),
        airOut: between(random, 0.6, 1.5),
        box: spread(random, 5000, 15_000),
        airBox: between(random, 1.5, 3),
        openDoor: between(random, 8, 20),
      }
    default:
      return sort satisfies never
  }
}

export function drawCooler(sort: Sort, aim: number, body: Body, random: Random): Switch | null {
  if (!isCooled(sort)) return null
  const load = (28 - aim) * (body.airOut + body.plateOut)
  // A margin of 1.6 to 2.6 runs 30 to 50 % of the time in an ordinary room (usual for domestic compressors, no source).
  return { setPoint: aim, hysteresis: between(random, 1, 2), watts: load * between(random, 1.6, 2.6) }
}

export function drawHeater(
  sort: Sort,
  aim: number,
  body: Body,
  around: Surroundings,
  random: Random,
): Heater | null {
  const losses = body.airOut + body.plateOut
  switch (sort) {
    case 'fridge':
    case 'coldRoom':
      return null
    case 'garageFridge':
      return {
        setPoint: aim - 1.1,
        hysteresis: 0.6,
        watts: losses * (aim + 14) * between(random, 1.2, 1.8),
        nightDrop: 0,
      }
    case 'frame':
      return {
        setPoint: aim - 0.3,
        hysteresis: between(random, 0.6, 1.4),
        watts: losses * (aim + 16) * between(random, 1.1, 1.8),
        nightDrop: 0,
      }
    case 'enclosure':
      return {
        setPoint: between(random, 27.5, 29.5),
        hysteresis: between(random, 0.5, 1.5),
        watts: losses * (31 - (around.mean - 4)) * between(random, 1.1, 1.8),
        nightDrop: between(random, 0, 3),
      }
    default:
      return sort satisfies never
  }
}

import type { Millis } from '../../schemas/units.ts'
import { millis } from '../../schemas/amounts.ts'

/** J/(kg·K) of water between 0 and 20 °C; 4217 at 0 and 4182 at 20 (CRC handbook, values from memory). */
export const waterHeat = 4186
/** J/(kg·K) of ice near 0 °C (CRC handbook, value from memory). */
const iceHeat = 2100
/** J/kg to melt ice or freeze water at 0 °C (CRC handbook, value from memory). */
export const meltingHeat = 333_550

/** A fridge left alone, as one lump in surroundings of one temperature. */
export interface LeftAlone {
  /** W/K through the walls. */
  readonly conductance: number
  /** J/K of all that is inside, without the added water. */
  readonly capacity: number
  /** °C. */
  readonly from: number
  readonly to: number
  readonly room: number
  /** Litres of water added, one kilogram each; 0 for none. */
  readonly litres: number
  /**
   * Whether its freezing or melting at 0 °C counts. Still water may cool some kelvin below 0 °C before it freezes, so a
   * way down into frost is longer with this than can be promised.
   */
  readonly freezes: boolean
}

/**
 * Time until `to` is met (Newton's law of cooling); null where it never is, 0 where it already is. On the way over
 * 0 °C the added water holds it there until all is frozen or thawed; from exactly 0 °C on all of that is still to come.
 */
export function holdOver({
  conductance,
  capacity,
  from,
  to,
  room,
  litres,
  freezes,
}: LeftAlone): Millis | null {
  if (from === to) return millis(0)
  const isReached = room > from ? to > from && to < room : to < from && to > room
  if (!isReached) return null
  const isHeld = freezes && litres > 0 && to !== 0 && Math.min(from, to) <= 0 && Math.max(from, to) >= 0
  const leg = (start: number, end: number): number => {
    const water = litres * (freezes && Math.max(start, end) <= 0 ? iceHeat : waterHeat)
    return ((capacity + water) / conductance) * Math.log((room - start) / (room - end))
  }
  if (!isHeld) return inMillis(leg(from, to))
  const held = (litres * meltingHeat) / (conductance * Math.abs(room))
  return inMillis(leg(from, 0) + held + leg(0, to))
}

/**
 * W/K through the walls, from the time constants without and with that many litres of water added: the water is the
 * only heat capacity that a keeper knows. Null where the water made it no slower.
 */
export function conductanceFrom(without: Millis, withWater: Millis, litres: number): number | null {
  const slower = (withWater - without) / 1000
  return slower > 0 && litres > 0 ? (litres * waterHeat) / slower : null
}

const inMillis = (seconds: number): Millis => millis(Math.round(seconds * 1000))

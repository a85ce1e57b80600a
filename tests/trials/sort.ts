/** Places that are tried. A garage fridge has a small heater, too, against frost. */
export type Sort = 'fridge' | 'garageFridge' | 'coldRoom' | 'frame' | 'enclosure'

export const isCooled = (sort: Sort): boolean =>
  sort === 'fridge' || sort === 'garageFridge' || sort === 'coldRoom'

export interface Switch {
  readonly setPoint: number
  readonly hysteresis: number
  readonly watts: number
}

export interface Heater extends Switch {
  /** So many kelvin less from 20:00 to 08:00. */
  readonly nightDrop: number
}

import type { Columns } from '../../schemas/api.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { isSettled, type LagState, startLag, stepLag } from '../../shared/thermal/lag.ts'

/** The animals' temperature, estimated from one sensor's air: a value at each instant of the air's, null where it is not known. */
export interface AnimalLine {
  readonly sensor: string
  readonly at: readonly number[]
  readonly celsius: readonly (number | null)[]
}

/** The air, as far as it is needed. */
export type AirColumns = Pick<Columns, 'at' | 'mean'>

/**
 * What follows the air with time constant `tau` (L11). `before` is the air of the time before, so that the line is settled
 * when the night begins. Nothing is drawn until it rests on measured air, and it breaks where the air does.
 */
export function animalLine(sensor: string, before: AirColumns, air: AirColumns, tau: Millis): AnimalLine {
  let state: LagState | null = null
  const follow = (at: number, celsius: number): LagState => {
    const point = { at: at as Instant, celsius }
    return state === null ? startLag(point) : stepLag(state, point, tau)
  }
  before.at.forEach((at, i) => {
    const value = before.mean[i] ?? null
    if (value !== null) state = follow(at, value)
  })
  const celsius = air.at.map((at, i) => {
    const value = air.mean[i] ?? null
    if (value === null) return null
    state = follow(at, value)
    return isSettled(state) ? state.celsius : null
  })
  return { sensor, at: air.at, celsius }
}

/** Where nothing was read before. */
export const noAir: AirColumns = { at: [], mean: [] }

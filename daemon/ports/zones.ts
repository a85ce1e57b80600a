import type { SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'

/** Time spent on each side of the band in a stretch, in ms. `unknown`: no believable value was in force. */
export interface ZoneTimes {
  readonly lowCritical: number
  readonly low: number
  readonly inside: number
  readonly high: number
  readonly highCritical: number
  readonly unknown: number
}

export type Point = readonly [at: Instant, value: number]

/** What the fold asks of the core: the zones of one sensor's hour, given the value in force before it (or null). */
export type ZonesOf = (
  sensor: SensorId,
  quantity: Quantity,
  stretch: { readonly from: Instant; readonly to: Instant },
  before: Point | null,
  good: readonly Point[],
) => ZoneTimes

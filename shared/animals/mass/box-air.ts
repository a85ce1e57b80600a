import type { Instant } from '../../../schemas/units.ts'
import type { DryingTime } from '../../air/evaporation.ts'

/** What the air of its box was like since it went down; null where nothing measures it. */
export interface BoxAir {
  /** Mean vapour-pressure deficit, kPa. */
  readonly deficit: number | null
  /** Mean temperature, °C. */
  readonly celsius: number | null
  /** The deficit of a stretch as sums; with it, the loss is held against what this animal lost before in air so dry. */
  readonly between?: (from: Instant, to: Instant) => DryingTime
}

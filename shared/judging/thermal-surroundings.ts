import type { Instant } from '../../schemas/units.ts'
import type { JudgedLimit } from './limit.ts'
import type { ThermalRole } from './thermal-role.ts'
import type { ConditionName } from './thermal-state.ts'

/** What is asked of the place while one reading is taken in; what is dear is asked only when it matters. */
export interface Surroundings {
  readonly role: ThermalRole
  /** The limits of the air's temperature in force, in the order of `limitNames`, as they judge this sensor. */
  readonly limits: readonly (JudgedLimit | null)[]
  /** What the plan of the animals there does on purpose. */
  readonly plan: () => { readonly isCoolingDown: boolean; readonly isWarmingUp: boolean }
  /** The room around it, °C, where it is measured. */
  readonly room: () => number | null
  /** Whether the keeper had its plug out, for a trial run, at some time from `from` to `to`. */
  readonly wasPlugOut: (from: Instant, to: Instant) => boolean
  /** Whether a contact that works says that the door is shut. */
  readonly isShut: () => boolean
  /** Whether the critical limit of this side stands, and whether the alarm about this does. */
  readonly isCritical: (side: 'low' | 'high') => boolean
  readonly isTold: (name: ConditionName) => boolean
}

import type { LimitName } from '../../schemas/band.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { CycleState } from '../thermal/cycle.ts'
import type { ContactState, DoorOpened } from '../thermal/door-contact.ts'
import type { DoorState } from '../thermal/door.ts'
import type { EarlyState } from '../thermal/early.ts'
import type { CycleLearning } from '../thermal/usual-cycle.ts'
import type { JudgedState } from './guarded-limit.ts'
import type { ThermalRole } from './thermal-role.ts'

/** What a curve may say that people are told of. */
export const conditionNames = [
  'notCooling',
  'alwaysCooling',
  'drifting',
  'doorAjar',
  'aheadLow',
  'aheadHigh',
  'animalLow',
  'animalHigh',
] as const
export type ConditionName = (typeof conditionNames)[number]

/** The side of the critical limit that each warns of: while that stands it says nothing new. */
export const warnsOf: Record<ConditionName, 'low' | 'high' | null> = {
  notCooling: 'high',
  alwaysCooling: 'low',
  drifting: null,
  doorAjar: null,
  aheadLow: 'low',
  aheadHigh: 'high',
  animalLow: 'low',
  animalHigh: 'high',
}

/** Only those that are not plainly inside. */
export type Conditions = { readonly [name in ConditionName]?: JudgedState }

/** When the trend meets a critical limit: nine times in ten between soonest and latest; latest null is perhaps never. */
export interface LimitAhead {
  readonly limit: Extract<LimitName, 'lowCritical' | 'highCritical'>
  readonly celsius: number
  readonly soonest: Instant
  readonly likely: Instant
  readonly latest: Instant | null
}

/** What one series remembers of its curve. Plain data, bounded, nothing in it grows (X3). */
export interface ThermalWatch {
  readonly cycle: {
    readonly state: CycleState
    readonly learning: CycleLearning
    /** When the drift was last looked at: too dear for each reading. */
    readonly driftAt: Instant
  } | null
  readonly door: DoorState | null
  /** Of a contact on the door. */
  readonly contact: ContactState | null
  /** The last opening, by air or contact. */
  readonly opened: DoorOpened | null
  /** With the time constant that it was reckoned with. */
  readonly early: {
    readonly tau: Millis
    readonly state: EarlyState
    readonly ahead: LimitAhead | null
  } | null
  readonly conditions: Conditions
}

export const noThermal: ThermalWatch = {
  cycle: null,
  door: null,
  contact: null,
  opened: null,
  early: null,
  conditions: {},
}

/** What is kept of it when the household changes: nothing that was read for another purpose. */
export function fittedTo(
  thermal: ThermalWatch | undefined,
  role: ThermalRole | null,
): ThermalWatch | undefined {
  if (thermal === undefined || (role === null && thermal.contact === null)) return undefined
  const conditions: { [name in ConditionName]?: JudgedState } = { ...thermal.conditions }
  const isAir = role?.isAir ?? false
  const isEarlyKept = thermal.early !== null && thermal.early.tau === role?.follows?.tau
  if (!isAir) {
    for (const name of ['notCooling', 'alwaysCooling', 'drifting'] as const) delete conditions[name]
    if (thermal.contact === null) delete conditions.doorAjar
  }
  if (!isEarlyKept) for (const name of ['aheadLow', 'aheadHigh'] as const) delete conditions[name]
  if (!isEarlyKept || role?.follows?.by !== 'animalLag')
    for (const name of ['animalLow', 'animalHigh'] as const) delete conditions[name]
  return {
    cycle: isAir ? thermal.cycle : null,
    door: isAir ? thermal.door : null,
    contact: thermal.contact,
    opened: thermal.opened,
    early: isEarlyKept ? thermal.early : null,
    conditions,
  }
}

import type { CalmSort } from './calm.ts'
import type { Family, Fault } from './families.ts'
import type { Harm } from './harm.ts'
import type { Species } from './setting.ts'
import type { Sort } from './sort.ts'
import type { Told } from './judge.ts'

/** How one judge did in one winter. */
export interface Verdict {
  /** The first high or medium alarm about the place between the fault's beginning and harm, and the first high one. */
  readonly first: Told | null
  readonly firstHigh: Told | null
  readonly falseHigh: number
  readonly falseAny: number
  /** Of those counted as false, what each was in truth. */
  readonly calm: Readonly<Record<CalmSort, { readonly high: number; readonly any: number }>>
  readonly wrongKinds: Readonly<Record<string, number>>
  readonly falseKinds: Readonly<Record<string, number>>
  readonly alarms: number
}

export const judges = ['judge', 'bare', 'dwell'] as const
export type JudgeName = (typeof judges)[number]

export interface Outcome {
  readonly seed: number
  readonly family: Family
  readonly sort: Sort
  readonly species: Species
  readonly fault: Fault | null
  readonly begins: number | null
  readonly harm: Harm | null
  readonly twinHarm: Harm | null
  readonly visible: number | null
  /** Physics left time to tell. */
  readonly isCounted: boolean
  readonly days: number
  /** Of these, without a fault at work. */
  readonly calmDays: number
  readonly readings: number
  readonly verdicts: Readonly<Record<JudgeName, Verdict>>
}

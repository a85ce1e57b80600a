import type { LimitName } from '../../schemas/band.ts'
import type { Opening } from '../words/thermal-words.ts'
import type { AnimalLine } from './animal-side.ts'
import type { CoolingRun } from './cooling-runs.ts'
import type { Fault } from './faults.ts'

/** A limit and where it rings already, for the sensor may be off by what lies between. */
export interface Guarded {
  readonly name: LimitName
  readonly limit: number
  readonly guarded: number
}

/** What is drawn beside the sensors' own lines and their band. */
export interface Marks {
  /** The animals' side, estimated from the air. */
  readonly animals: readonly AnimalLine[]
  readonly guards: readonly Guarded[]
  readonly doors: readonly Opening[]
  /** When the compressor cooled, where that is learnt. */
  readonly runs: readonly CoolingRun[]
  /** Alarms that stood. */
  readonly faults: readonly Fault[]
}

export const noMarks: Marks = { animals: [], guards: [], doors: [], runs: [], faults: [] }

export const isCooling = (runs: Marks['runs'], at: number): boolean =>
  runs.some(({ from, to }) => from <= at && at < to)

export const faultsAt = (faults: Marks['faults'], at: number): Marks['faults'] =>
  faults.filter(({ from, to }) => (from ?? 0) <= at && at < (to ?? Infinity))

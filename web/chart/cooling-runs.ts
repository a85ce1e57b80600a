import type { Instant } from '../../schemas/units.ts'
import { type Leg, noCycles, stepCycle } from '../../shared/thermal/cycle.ts'
import type { AirColumns } from './animal-side.ts'

/** From a crest of the air to the trough after it: the compressor cools. */
export interface CoolingRun {
  readonly from: number
  readonly to: number
}

/** The runs that the air shows, oldest first; the last may go on. */
export function coolingRuns(air: AirColumns): CoolingRun[] {
  const runs: CoolingRun[] = []
  let state = noCycles
  let leg: Leg | null = null
  for (const [i, at] of air.at.entries()) {
    const value = air.mean[i] ?? null
    if (value === null) continue
    ;[state] = stepCycle(state, { at: at as Instant, celsius: value })
    if (leg?.direction === 'falling' && leg.since !== state.leg?.since) runs.push(runOf(leg))
    leg = state.leg
  }
  if (leg?.direction === 'falling') runs.push(runOf(leg))
  return runs
}

const runOf = ({ since, extremeAt }: Leg): CoolingRun => ({ from: since, to: extremeAt })

import { delayingOf } from '../../shared/judging/guarded-limit.ts'
import type { WatchEvent } from '../../shared/judging/watch.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import type { Patience } from './ledger.ts'

/** How long keeping what came of `event` may take: as `given`, but shorter while a limit's delay runs. */
export const patienceFor = (event: WatchEvent, state: WatchState, given: Patience): Patience =>
  given === 'group' && isPastLimit(state, event) ? pastLimit : given

/** Nobody's message, kept as soon as a sensor's that waits. */
const pastLimit: Patience = { client: '' }

/** A delay that runs must not begin anew because we were killed: its readings are kept as if somebody waited (L7). */
function isPastLimit(state: WatchState, event: WatchEvent): boolean {
  if (event.kind !== 'reading') return false
  const s = state.layout.sensorIndex.get(event.reading.sensor) ?? -1
  const limits = state.sensors[s]?.series[event.reading.quantity]?.limits ?? []
  return limits.some((limit) => delayingOf(limit) !== null)
}

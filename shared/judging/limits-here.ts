import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { guardAt, guardedBy } from './guard.ts'
import { isClear } from './guarded-limit.ts'
import { isRaised, type JudgedLimit } from './limit.ts'
import type { WatchState } from './watch-state.ts'

/** The limits by which one series is judged: those of its place, near freezing with its sensor's own uncertainty (L9). */
export function limitsFor(
  state: WatchState,
  s: number,
  quantity: Quantity,
  at: Instant,
): readonly (JudgedLimit | null)[] | undefined {
  const rules = state.places[state.layout.placeOfSensor[s] ?? -1]?.rules
  const limits = rules?.limits[quantity]
  const guards = state.layout.guards[s] ?? null
  const [lowest, ...others] = limits ?? []
  if (!rules || quantity !== 'temperature' || rules.guarded === null || guards === null || !lowest)
    return limits
  const guarded = guardedBy(lowest, rules.guarded, guardAt(guards, at))
  return guarded === lowest ? limits : [guarded, ...others]
}

/** Whether any sensor of place `p` has this limit raised. */
export function isRaisedHere(
  { state }: { readonly state: WatchState },
  p: number,
  quantity: Quantity,
  n: number,
): boolean {
  return (state.layout.places[p]?.sensors ?? []).some((s) => {
    const own = state.sensors[s]?.series[quantity]?.limits[n]
    return own !== undefined && isRaised(own)
  })
}

/** The same, but for a doubt that is clear and only waits to return (L9). */
export function isMetHere(
  { state }: { readonly state: WatchState },
  p: number,
  quantity: Quantity,
  n: number,
): boolean {
  return (state.layout.places[p]?.sensors ?? []).some((s) => {
    const own = state.sensors[s]?.series[quantity]?.limits[n]
    if (own === undefined || !isRaised(own)) return false
    return own.doubt === undefined || !isClear(own, limitsFor(state, s, quantity, state.at)?.[n] ?? null)
  })
}

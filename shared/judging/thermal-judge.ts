import type { Limit } from '../../schemas/band.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { longestGap } from '../thermal/cycle.ts'
import { phaseAt } from './phase-at.ts'
import { takeContact } from './door-contact-watch.ts'
import { noteOpening, type Opening } from './door-journal.ts'
import { limitsFor } from './limits-here.ts'
import { putSeries } from './place-rules.ts'
import type { Draft } from './raising.ts'
import { isCriticalHere, isTold, settleThermal } from './thermal-alarms.ts'
import {
  type ConditionChange,
  type ConditionStep,
  contactRule,
  moveCondition,
  passConditions,
  saidRuleOf,
} from './thermal-conditions.ts'
import { type ConditionName, noThermal, type ThermalWatch } from './thermal-state.ts'
import type { Surroundings } from './thermal-surroundings.ts'
import { stepThermal } from './thermal-watch.ts'
import type { SeriesWatch, WatchState } from './watch-state.ts'

/** What one believed reading did to its series' curve; the alarms follow once the limits are judged. */
export interface ThermalTaken {
  readonly thermal: ThermalWatch
  readonly changes: readonly ConditionChange[]
  readonly opening: Opening | null
}

/** Reads the curve on by one believed reading, newer than the last; null where no curve is read. */
export function takeThermal(
  state: WatchState,
  s: number,
  p: number,
  quantity: Quantity,
  before: SeriesWatch | undefined,
  at: Instant,
  value: number,
): ThermalTaken | null {
  const role = state.layout.roles[s] ?? null
  if (role === null) return null
  const thermal = before?.thermal ?? noThermal
  if (quantity === 'door') return takeContact(thermal, at, value >= 1, state.places[p]?.rules.limits.door)
  if (quantity !== 'temperature' || (!role.isAir && role.follows === null)) return null
  const surroundings: Surroundings = {
    role,
    limits: limitsFor(state, s, 'temperature', at) ?? noLimits,
    plan: () => planIn(state, p, at),
    room: () => roomAround(state, p),
    wasPlugOut: (from, to) => wasPlugOut(state, p, from, to),
    isShut: () => isShut(state, p),
    isCritical: (side) => isCriticalHere({ state }, p, side),
    isTold: (name) => isTold({ state }, p, name),
  }
  const { thermal: next, changes, seen } = stepThermal(thermal, { at, celsius: value }, surroundings)
  // What did not come back within hours was no door; the alarm about it has said so.
  const isDoor = seen !== null && seen.recovery !== null
  return { thermal: next, changes, opening: isDoor ? { ...seen, by: 'air' } : null }
}

/** The alarms and the journal after a reading was taken in. */
export function settleTaken(draft: Draft, s: number, p: number, at: Instant, taken: ThermalTaken): void {
  if (taken.opening !== null) noteOpening(draft, s, p, taken.opening)
  const isCalm = taken.changes.length === 0 && draft.state.alarms.size === 0
  for (const _ in taken.thermal.conditions) return settleThermal(draft, p, at, taken.changes)
  if (!isCalm) settleThermal(draft, p, at, taken.changes)
}

/** Lets the delays of one curve run until `at` (L2); silent: the value can no longer be held (L4). */
export function passThermal(
  draft: Draft,
  s: number,
  quantity: Quantity,
  at: Instant,
  isSilent: boolean,
): void {
  const sensor = draft.state.sensors[s]
  const series = sensor?.series[quantity]
  const thermal = series?.thermal
  if (sensor === undefined || !series?.good || thermal === undefined) return
  const p = draft.state.layout.placeOfSensor[s] ?? -1
  const limits = limitsFor(draft.state, s, 'temperature', at) ?? noLimits
  const isContact = quantity === 'door'
  // What the air says of the fridge is not known any more after a gap; its own delays end there.
  const known = (series.good.at + longestGap) as Instant
  const until = isContact || at < known ? at : known
  let step: ConditionStep = passConditions(thermal.conditions, until, isContact ? contactOnly : saidRuleOf)
  for (const [name, n] of animalSides)
    if (step[0][name] !== undefined)
      step = moveCondition(step, name, limits[n] ?? null, {
        kind: isSilent ? 'fellSilent' : 'timePassed',
        at,
      })
  if (step[0] === thermal.conditions) return
  putSeries(draft, s, sensor, quantity, { ...series, thermal: { ...thermal, conditions: step[0] } })
  settleThermal(draft, p, at, step[1])
}

const noLimits: readonly (Limit | null)[] = []
const animalSides = [
  ['animalLow', 0],
  ['animalHigh', 3],
] as const
const contactOnly = (name: ConditionName): Limit | null => (name === 'doorAjar' ? contactRule : null)

function planIn(state: WatchState, p: number, at: Instant) {
  const phases = (state.layout.places[p]?.tenants ?? []).map(({ animal }) => phaseAt(animal, at).phase)
  return { isCoolingDown: phases.includes('coolDown'), isWarmingUp: phases.includes('warmUp') }
}

/** The nearest room around place `p` that has a working thermometer. */
function roomAround(state: WatchState, p: number): number | null {
  for (const around of state.layout.places[p]?.around ?? []) {
    const here = state.layout.places[around]
    if (here?.place.kind !== 'room') continue
    for (const s of here.sensors) {
      const series = state.sensors[s]?.series.temperature
      if (series?.good && !series.stale) return series.good.value
    }
  }
  return null
}

/** Whether the plug of place `p`, or of what it stands in, was out for a trial run at some time from `from` to `to`. */
function wasPlugOut(state: WatchState, p: number, from: Instant, to: Instant): boolean {
  return [p, ...(state.layout.places[p]?.around ?? [])].some((q) =>
    (state.layout.places[q]?.place.trial?.plugOut ?? []).some(
      (plug) => plug.from < to && (plug.until ?? to) > from,
    ),
  )
}

/** Whether a contact that is still heard says that the door of place `p`, or of what it stands in, is shut. */
function isShut(state: WatchState, p: number): boolean {
  return [p, ...(state.layout.places[p]?.around ?? [])].some((q) =>
    (state.layout.places[q]?.sensors ?? []).some((s) => {
      const door = state.sensors[s]?.series.door
      return door !== undefined && !door.stale && door.thermal?.contact?.open === false
    }),
  )
}

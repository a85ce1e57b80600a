import type { AlarmKind } from '../../schemas/alarm.ts'
import type { LimitName, Priority } from '../../schemas/band.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { isPlugOut } from '../thermal/trial-acts.ts'
import { isConditionOut } from './alarm.ts'
import { phaseAt } from './phase-at.ts'
import { isRaised } from './limit.ts'
import { isMetHere } from './limits-here.ts'
import { type AlarmSubject, alarmIdOf, type Draft, turnAlarm } from './raising.ts'
import type { ConditionChange } from './thermal-conditions.ts'
import { conditionNames, type ConditionName, type ThermalWatch, warnsOf } from './thermal-state.ts'
import { wordsOf } from './thermal-words.ts'
import { say } from '../words/say.ts'

interface ConditionRule {
  readonly kind: AlarmKind
  readonly limit: LimitName | null
  /** Where animals live in the place or inside it, and where none does (L12). The animal's side has its limit's own. */
  readonly priority: readonly [withAnimals: Priority, without: Priority] | null
}

const rules: Record<ConditionName, ConditionRule> = {
  notCooling: { kind: 'notCooling', limit: null, priority: ['medium', 'low'] },
  alwaysCooling: { kind: 'alwaysCooling', limit: null, priority: ['medium', 'low'] },
  drifting: { kind: 'drifting', limit: null, priority: ['low', 'low'] },
  doorAjar: { kind: 'doorAjar', limit: null, priority: ['medium', 'low'] },
  aheadLow: { kind: 'limitAhead', limit: 'lowCritical', priority: ['high', 'medium'] },
  aheadHigh: { kind: 'limitAhead', limit: 'highCritical', priority: ['medium', 'low'] },
  animalLow: { kind: 'animalLimit', limit: 'lowCritical', priority: null },
  animalHigh: { kind: 'animalLimit', limit: 'highCritical', priority: null },
}

/** Index of the critical limit on a side, in the order of `limitNames`. */
const criticalOf = { low: 0, high: 3 } as const

/**
 * Brings the alarms of place `p` in line with what its curves say. What warns of a critical limit is neither raised nor
 * ended while that stands: nobody is told that something is over in the middle of it.
 */
export function settleThermal(
  draft: Draft,
  p: number,
  at: Instant,
  changes: readonly ConditionChange[],
): void {
  const place = draft.state.layout.places[p]
  if (place === undefined) return
  for (const name of conditionNames) {
    const raisedBy = raisedIn(draft, p, name)
    const rule = rules[name]
    const subject = subjectOf(draft, p, name)
    const alarm = draft.state.alarms.get(alarmIdOf(subject))
    const isOut = alarm !== undefined && isConditionOut(alarm.state)
    if ((raisedBy !== null) === isOut || isQuiet(draft, p, name)) continue
    if (raisedBy !== null && isOnPurpose(draft, p, name, at)) continue
    const change = changes.findLast((one) => one.name === name)
    const when = change?.at ?? at
    if (raisedBy === null) {
      const text = change === undefined ? say('No curve here says so any more.') : undefined
      const back = { kind: 'cameBack', at: when, value: null } as const
      turnAlarm(draft, subject, text === undefined ? back : { ...back, text })
      continue
    }
    const limits = draft.state.places[p]?.rules.limits.temperature ?? []
    const words = wordsOf(name, raisedBy, limits, when)
    const threshold = rule.limit === null ? words.threshold : (limits[criticalIn(rule.limit)]?.value ?? null)
    turnAlarm(draft, subject, {
      kind: 'wentOut',
      at: when,
      value: words.value,
      threshold,
      priority: subject.priority,
      ...(words.text === null ? {} : { text: words.text }),
    })
  }
}

const criticalIn = (limit: LimitName): number => (limit === 'lowCritical' ? criticalOf.low : criticalOf.high)

/** Whether the alarm about this stands. */
export function isTold(draft: Pick<Draft, 'state'>, p: number, name: ConditionName): boolean {
  const alarm = draft.state.alarms.get(alarmIdOf(subjectOf(draft, p, name)))
  return alarm !== undefined && isConditionOut(alarm.state)
}

/** Whether the critical limit of this side stands in place `p`; a doubt that is clear and only waits to return hides nothing. */
export const isCriticalHere = (draft: Pick<Draft, 'state'>, p: number, side: 'low' | 'high'): boolean =>
  isMetHere(draft, p, 'temperature', criticalOf[side])

/** The curve of place `p` that has this raised; null where none has. */
function raisedIn(draft: Pick<Draft, 'state'>, p: number, name: ConditionName): ThermalWatch | null {
  for (const s of draft.state.layout.places[p]?.sensors ?? []) {
    const series = draft.state.sensors[s]?.series
    for (const one of [series?.temperature, series?.door]) {
      const state = one?.thermal?.conditions[name]
      if (one?.thermal !== undefined && state !== undefined && isRaised(state)) return one.thermal
    }
  }
  return null
}

function isQuiet(draft: Pick<Draft, 'state'>, p: number, name: ConditionName): boolean {
  const side = warnsOf[name]
  if (side === null) return false
  if (isCriticalHere(draft, p, side)) return true
  // The animal's own side stands for what warns of it.
  return name.startsWith('ahead') && raisedIn(draft, p, side === 'low' ? 'animalLow' : 'animalHigh') !== null
}

/** A compressor waits some minutes before it starts again, and the air falls some minutes later (values from memory). */
const backOnGrace = minutes(30)

/** The keeper pulled the plug here, or of what is around, for a trial run: nobody is told that it does not cool (L12). */
function isOnPurpose(draft: Pick<Draft, 'state'>, p: number, name: ConditionName, at: Instant): boolean {
  if (name !== 'notCooling' && name !== 'drifting') return false
  const { places } = draft.state.layout
  const here = places[p]
  if (here === undefined) return false
  const isEmpty = !here.tenants.some(({ animal }) => coldPhases.includes(phaseAt(animal, at).phase))
  return isEmpty && [p, ...here.around].some((q) => isPlugOut(places[q]?.place.trial, at, backOnGrace))
}

const coldPhases: readonly string[] = ['coolDown', 'hold', 'warmUp']

function subjectOf(draft: Pick<Draft, 'state'>, p: number, name: ConditionName): AlarmSubject {
  const here = draft.state.layout.places[p]
  const { kind, limit, priority } = rules[name]
  const own = limit === null ? null : draft.state.places[p]?.rules.limits.temperature?.[criticalIn(limit)]
  const [full = own?.priority ?? 'high', lesser = full] = priority ?? []
  return {
    kind,
    place: here?.place.id ?? null,
    sensor: null,
    quantity: 'temperature',
    limit,
    priority: (here?.tenants.length ?? 0) > 0 ? full : lesser,
  }
}

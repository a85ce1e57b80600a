import type { Limit } from '../../schemas/band.ts'
import { hours, millis, minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { openTooLong } from '../thermal/door-contact.ts'
import { stepJudged } from './guarded-limit.ts'
import { type JudgedLimit, type LimitEvent, startInside } from './limit.ts'
import type { ConditionName, Conditions } from './thermal-state.ts'

/** A condition of the curve that was raised or came back. */
export interface ConditionChange {
  readonly name: ConditionName
  readonly event: 'raised' | 'returned'
  readonly at: Instant
}

export type ConditionStep = readonly [conditions: Conditions, changes: readonly ConditionChange[]]

/** Those that are said or not, rather than measured: their limit is a half. */
type Said = Exclude<ConditionName, 'animalLow' | 'animalHigh'>

const said = (onDelay: Millis, offDelay: Millis): Limit => ({
  id: 'said',
  quantity: 'temperature',
  compare: 'above',
  value: 0.5,
  deadband: 0,
  for: onDelay,
  clearFor: offDelay,
  counting: 'continuous',
  priority: 'medium',
})

/** On- and off-delays, besides those that the analysis has in itself. All derived. */
const saidRules: Record<Said, Limit> = {
  // A defrosting heater warms for 10 to 30 min (value from memory), of which the usual warm phase hides the most.
  notCooling: said(minutes(10), minutes(5)),
  // The verdict has waited for twice the usual run already.
  alwaysCooling: said(millis(0), minutes(5)),
  // It is looked at once an hour, and what it rests on changes twice a day.
  drifting: said(millis(0), hours(12)),
  // The time within which the air should be back is the delay.
  doorAjar: said(millis(0), millis(0)),
  // Two looks in a row, five minutes apart; six to be quiet again.
  aheadLow: said(minutes(5), minutes(30)),
  aheadHigh: said(minutes(5), minutes(30)),
}

/** By a contact: exactly five minutes is not ajar. */
export const contactRule: Limit = said(millis(openTooLong + 1), millis(0))

/** Moves one condition; null: the curve cannot say, and what stood stands (L4). */
export function sayCondition(
  before: ConditionStep,
  name: Said,
  isSo: boolean | null,
  at: Instant,
  rule: Limit = saidRules[name],
): ConditionStep {
  if (isSo === null) return before
  return moveCondition(before, name, rule, { kind: 'reading', at, value: isSo ? 1 : 0 })
}

/** Moves one condition by one event of its limit; without a limit it is inside. */
export function moveCondition(
  before: ConditionStep,
  name: ConditionName,
  rule: JudgedLimit | null,
  event: LimitEvent,
): ConditionStep {
  const [conditions, changes] = before
  const state = conditions[name] ?? startInside
  if (rule === null) return state.name === 'inside' ? before : [withoutCondition(conditions, name), changes]
  const [after, transitions] = stepJudged(state, rule, event)
  if (after === state) return before
  const next = after.name === 'inside' ? withoutCondition(conditions, name) : { ...conditions, [name]: after }
  if (transitions.length === 0) return [next, changes]
  return [next, [...changes, ...transitions.map(({ event: what, at }) => ({ name, event: what, at }))]]
}

/** Lets the delays of those that `ruleOf` knows run until `at`. */
export function passConditions(
  conditions: Conditions,
  at: Instant,
  ruleOf: (name: ConditionName) => Limit | null,
): ConditionStep {
  let step: ConditionStep = [conditions, []]
  for (const name of namesIn(conditions)) {
    const rule = ruleOf(name)
    if (rule !== null) step = moveCondition(step, name, rule, { kind: 'timePassed', at })
  }
  return step
}

export const saidRuleOf = (name: ConditionName): Limit | null =>
  name === 'animalLow' || name === 'animalHigh' ? null : saidRules[name]

export const namesIn = (conditions: Conditions): readonly ConditionName[] =>
  Object.keys(conditions) as ConditionName[]

export function withoutCondition(conditions: Conditions, name: ConditionName): Conditions {
  const { [name]: _, ...others } = conditions
  return others
}

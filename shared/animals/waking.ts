import type { MassNow } from '../../schemas/condition.ts'
import type { WakeNow, WakeReason } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { coldOf } from './cold.ts'
import { activeReason, massReason, signReason, urinatedReason } from './waking/seen-reasons.ts'
import { capReason, plannedReason, tooColdReason, tooWarmReason, type Reason } from './waking/time-reasons.ts'
import type { Subject } from './subject.ts'

export { wakingStepsOf } from './waking/steps.ts'

/** What its place did to it since it went down. */
export interface PlaceHarm {
  /** First instant at which a believed value was at or below the low critical limit of its hold; null: never. */
  readonly tooColdAt: Instant | null
  /** Since when it is above the high critical limit without a break; null: it is not. */
  readonly tooWarmSince: Instant | null
}

/** Whether the hold should end, and why; the weightiest reason first. */
export function wakeOf(subject: Subject, mass: MassNow | null, harm: PlaceHarm): WakeNow {
  const cold = coldOf(subject)
  if (cold === null) return { standing: 'no', reasons: [] }
  const held = cold.holdFrom !== null && cold.holdFrom <= subject.now ? cold.holdFrom : null
  const found = [
    signReason(subject, cold.downAt),
    tooColdReason(subject, harm.tooColdAt),
    massReason(subject, mass),
    tooWarmReason(subject, harm.tooWarmSince),
    plannedReason(subject, cold.endsAt),
    ...(held === null
      ? []
      : [urinatedReason(subject, held), activeReason(subject, held), capReason(subject, held)]),
  ].filter((reason) => reason !== null)
  const reasons = found.toSorted(
    (a, b) => Number(b.isNow) - Number(a.isNow) || weight[a.reason] - weight[b.reason],
  )
  return { standing: standingOf(reasons), reasons }
}

/**
 * The most pressing first: to be woken now before soon, by the weightiest reason, then by how many, then by the
 * longest.
 */
export function wakeOrder<Row extends { readonly wake: WakeNow }>(rows: readonly Row[]): readonly Row[] {
  return rows.toSorted((a, b) => {
    const [one, other] = [pressing(a.wake), pressing(b.wake)]
    const differs = one.findIndex((value, i) => value !== other[i])
    return differs < 0 ? 0 : (one[differs] ?? 0) - (other[differs] ?? 0)
  })
}

/** Derived: what harms by the hour before what harms by the day. */
const weight: Readonly<Record<WakeReason, number>> = {
  sign: 0,
  tooCold: 1,
  urinated: 2,
  mass: 3,
  tooWarm: 4,
  active: 5,
  cap: 6,
  planned: 7,
}

const standingOf = (reasons: readonly Reason[]): WakeNow['standing'] =>
  reasons.some(({ isNow }) => isNow) ? 'now' : reasons.length > 0 ? 'soon' : 'no'

const rank: Readonly<Record<WakeNow['standing'], number>> = { now: 0, soon: 1, no: 2 }

/** Smaller is more pressing, from the left. */
function pressing({ standing, reasons }: WakeNow): readonly number[] {
  const counted = reasons.filter(({ isNow }) => isNow || standing !== 'now')
  const weightiest = Math.min(...counted.map(({ reason }) => weight[reason]), Object.keys(weight).length)
  return [
    rank[standing],
    weightiest,
    -counted.length,
    Math.min(...counted.map(({ at }) => at), Number.MAX_SAFE_INTEGER),
  ]
}

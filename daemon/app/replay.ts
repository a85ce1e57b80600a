import type { Limit } from '../../schemas/band.ts'
import type { Household } from '../../schemas/household.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Reading } from '../../schemas/reading.ts'
import type { ReplayLine, Rules } from '../../schemas/rules.ts'
import { later, seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  isRaised,
  type LimitEvent,
  type LimitState,
  type LimitTransition,
  startInside,
  stepLimit,
} from '../../shared/judging/limit.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { startWatch, stepWatch } from '../../shared/judging/watch.ts'
import type { WatchEffect } from '../../shared/judging/watch-state.ts'

/** One line of `brumal replay --household`: everything that the whole engine would have journalled. */
export interface HouseholdLine {
  readonly at: string
  readonly kind: string
  readonly event: JournalEntry['kind']
  readonly place?: string
  readonly sensor?: string
  readonly quantity?: string
  readonly limit?: string
  readonly priority?: string
  readonly value?: number
}

/**
 * Judges readings in order of arrival by bare limits (no quality, no places). The clock runs with the readings and
 * stops at the newest; each sensor is judged for itself.
 */
export function* replayRules(rules: Rules, readings: readonly Reading[]): Generator<ReplayLine> {
  const judged = new Set(rules.limits.map((limit) => limit.quantity))
  const names = new Set(
    readings.filter((reading) => judged.has(reading.quantity)).map((reading) => reading.sensor),
  )
  const isNamed = names.size > 1
  const runs = new Map<string, Run>()
  let clock = 0 as Instant
  for (const reading of readings) {
    if (reading.at > clock) {
      // Everything due before this instant happens first; what is due at it waits for its readings (L2).
      yield* inOrder([...runs.values()].flatMap((run) => letPass(run, rules, later(reading.at, -1), isNamed)))
      clock = reading.at
    }
    const key = `${reading.sensor} ${reading.quantity}`
    const run = runs.get(key) ?? newRun(reading, rules.limits)
    runs.set(key, run)
    yield* hear(run, reading, isNamed)
  }
  yield* inOrder([...runs.values()].flatMap((run) => letPass(run, rules, clock, isNamed)))
}

/** Judges readings with the whole engine: bands from species and plans, quality, silence. */
export function* replayHousehold(
  household: Household,
  readings: readonly Reading[],
  profileOf: ProfileOf,
): Generator<HouseholdLine> {
  const [first] = readings
  if (first === undefined) return
  let state = startWatch(household, profileOf, first.at)
  let ticked = first.at
  let clock = first.at
  const run = (event: Parameters<typeof stepWatch>[1]): readonly HouseholdLine[] => {
    const [next, effects] = stepWatch(state, event)
    state = next
    return effects.flatMap(lineOf)
  }
  for (const reading of readings) {
    if (reading.at > clock) clock = reading.at
    if (clock >= later(ticked, tickEvery)) {
      yield* run({ kind: 'timePassed', at: later(clock, -1) })
      ticked = clock
    }
    yield* run({ kind: 'reading', reading, heardAt: clock })
  }
  yield* run({ kind: 'timePassed', at: clock })
}

/** Timers carry their own instants, so a coarse tick only delays the finding of them. */
const tickEvery = seconds(10)

interface Run {
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly limits: readonly Limit[]
  readonly states: LimitState[]
  last: { readonly at: Instant; readonly value: number } | null
  isSilent: boolean
}

function newRun(reading: Reading, limits: readonly Limit[]): Run {
  const mine = limits.filter((limit) => limit.quantity === reading.quantity)
  const states = mine.map((): LimitState => startInside)
  return {
    sensor: reading.sensor,
    quantity: reading.quantity,
    limits: mine,
    states,
    last: null,
    isSilent: false,
  }
}

function* hear(run: Run, reading: Reading, isNamed: boolean): Generator<ReplayLine> {
  // Late readings and repeats move nothing (L5).
  if (run.last !== null && reading.at <= run.last.at) return
  if (run.isSilent) {
    run.isSilent = false
    for (const limit of run.limits) yield line(run, limit, 'heard', reading, isNamed)
  }
  run.last = reading
  yield* stepAll(run, { kind: 'reading', at: reading.at, value: reading.value }, isNamed)
}

function letPass(run: Run, rules: Rules, at: Instant, isNamed: boolean): ReplayLine[] {
  if (run.last === null || run.isSilent) return []
  const staleAt = rules.stale === undefined ? null : later(run.last.at, rules.stale)
  if (staleAt === null || staleAt > at) return [...stepAll(run, { kind: 'timePassed', at }, isNamed)]
  const { value } = run.last
  const raised = [...stepAll(run, { kind: 'fellSilent', at: staleAt }, isNamed)]
  run.isSilent = true
  return [
    ...raised,
    ...run.limits.map((limit) => line(run, limit, 'silent', { at: staleAt, value }, isNamed)),
  ]
}

function* stepAll(run: Run, event: LimitEvent, isNamed: boolean): Generator<ReplayLine> {
  for (const [n, limit] of run.limits.entries()) {
    const before = run.states[n] ?? startInside
    if (event.kind !== 'reading' && before.name !== 'delaying' && !isRaised(before)) continue
    const [after, transitions] = stepLimit(before, limit, event)
    run.states[n] = after
    for (const transition of transitions) yield line(run, limit, transition.event, transition, isNamed)
  }
}

function line(
  run: Run,
  limit: Limit,
  event: ReplayLine['event'],
  when: Pick<LimitTransition, 'at' | 'value'>,
  isNamed: boolean,
): ReplayLine {
  const at = new Date(when.at).toISOString()
  return { at, limit: limit.id, event, value: when.value, ...(isNamed ? { sensor: run.sensor } : {}) }
}

function inOrder(lines: ReplayLine[]): ReplayLine[] {
  return lines.sort((one, other) => (one.at < other.at ? -1 : one.at > other.at ? 1 : 0))
}

function lineOf(effect: WatchEffect): readonly HouseholdLine[] {
  if (effect.kind !== 'journal') return []
  const { entry } = effect
  return [
    {
      at: new Date(entry.at).toISOString(),
      kind: entry.alarmKind ?? 'sensor',
      event: entry.kind,
      ...(entry.place === undefined ? {} : { place: entry.place }),
      ...(entry.sensor === undefined ? {} : { sensor: entry.sensor }),
      ...(entry.quantity === undefined ? {} : { quantity: entry.quantity }),
      ...(entry.limit === undefined ? {} : { limit: entry.limit }),
      ...(entry.priority === undefined ? {} : { priority: entry.priority }),
      ...(entry.value === undefined ? {} : { value: entry.value }),
    },
  ]
}

import type { AlarmKind } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import { Stage } from '../../schemas/stage.ts'
import { later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { type AlarmSubject, alarmIdOf, type Draft, turnAlarm } from './raising.ts'
import type { StageWatch, WatchState } from './watch-state.ts'

/** A stage says how it is (N1). `text`: one sentence, for people. */
export interface StageEvent {
  readonly kind: 'stage'
  readonly stage: Stage
  readonly isWell: boolean
  readonly at: Instant
  readonly text: string
}

/** The longest that a broker which comes and goes excuses a silent sensor, so that it cannot hide one for ever. */
const longestExcuse: Millis = minutes(30)

/** Takes a stage's report in. What a stage says twice is news only in its words. */
export function noteStage(draft: Draft, { stage, isWell, at, text }: StageEvent): void {
  const known = draft.state.stages[stage]
  if (known === undefined && isWell) return
  if (known?.isWell === isWell) {
    if (known.text !== text) put(draft, stage, { ...known, text })
    return
  }
  put(draft, stage, {
    isWell,
    reportedAt: at,
    isOut: known?.isOut ?? false,
    since: known?.since ?? at,
    isRaised: known?.isRaised ?? false,
    text,
  })
  passStage(draft, stage, at)
}

/** Lets the delays of every stage run up to `at`. */
export function passStages(draft: Draft, at: Instant): void {
  for (const stage of Stage.options) if (draft.state.stages[stage] !== undefined) passStage(draft, stage, at)
}

/**
 * Whether nothing can be heard because the broker is away: then no single sensor is to blame, and one alarm about the
 * broker stands for all of them. Not where people have taken that alarm out of service: somebody has to ring.
 */
export function isDeaf(state: WatchState): boolean {
  const broker = state.stages.broker
  if (broker === undefined || !broker.isOut) return false
  return state.alarms.get(alarmIdOf(subjectOf('broker', state)))?.state.name !== 'outOfService'
}

/** Since when a sensor last heard at `heardAt` counts as silent: our own downtime and the broker's are not its fault (L7). */
export function silenceFrom(state: WatchState, heardAt: Instant): Instant {
  const from = laterOf(heardAt, state.listeningSince)
  const broker = state.stages.broker
  if (broker === undefined || broker.isOut) return from
  return laterOf(from, earlierOf(broker.since, later(from, longestExcuse)))
}

interface StageRule {
  readonly kind: AlarmKind
  /** How long it must be unwell before that is an alarm, and well before the alarm returns. */
  readonly for: Millis
  readonly clearFor: Millis
  readonly priority: (state: WatchState) => Priority
}

const always = (priority: Priority) => (): Priority => priority

/** All of them derived; none is a limit of an animal. */
const rules: Record<Stage, StageRule> = {
  // A broker or router starts again within two minutes or so; a fridge that fails into a 20 °C room passes 8 °C after 27.
  broker: {
    kind: 'brokerLost',
    for: minutes(5),
    clearFor: minutes(1),
    priority: ({ layout }) =>
      layout.household.animals.some(({ place }) => place !== null) ? 'high' : 'medium',
  },
  // These are over when they are told; ten minutes let the eye find them.
  history: { kind: 'databaseSetAside', for: millis(0), clearFor: minutes(10), priority: always('medium') },
  session: { kind: 'sessionLost', for: millis(0), clearFor: minutes(10), priority: always('low') },
  loop: { kind: 'stalled', for: millis(0), clearFor: minutes(10), priority: always('low') },
  // Tried again every second; one slow write is no failure.
  store: { kind: 'storeFailing', for: seconds(30), clearFor: seconds(10), priority: always('medium') },
  disk: { kind: 'diskNearlyFull', for: minutes(1), clearFor: minutes(1), priority: always('low') },
  // A board without a clock of its own has the time from the network within a minute or two of its start.
  clock: { kind: 'clockImplausible', for: minutes(5), clearFor: minutes(1), priority: always('medium') },
  backup: { kind: 'backupFailing', for: millis(0), clearFor: millis(0), priority: always('low') },
}

function passStage(draft: Draft, stage: Stage, at: Instant): void {
  const before = draft.state.stages[stage]
  if (before === undefined) return
  const rule = rules[stage]
  let now = before
  if (!now.isWell && !now.isOut) now = { ...now, isOut: true, since: now.reportedAt }
  const raisedAt = later(now.since, rule.for)
  if (now.isOut && !now.isRaised && at >= raisedAt && (!now.isWell || raisedAt <= now.reportedAt)) {
    now = { ...now, isRaised: true }
    turnAlarm(draft, subjectOf(stage, draft.state), {
      kind: 'wentOut',
      at: now.isWell ? raisedAt : laterOf(raisedAt, now.reportedAt),
      value: null,
      threshold: null,
      priority: rule.priority(draft.state),
      text: now.text,
    })
  }
  const clearAt = later(now.reportedAt, rule.clearFor)
  if (now.isOut && now.isWell && at >= clearAt) {
    if (now.isRaised)
      turnAlarm(draft, subjectOf(stage, draft.state), {
        kind: 'cameBack',
        at: clearAt,
        value: null,
        text: now.text,
      })
    // What was said needs no excuse any more: the sensors' patience begins with the broker's return.
    if (stage === 'broker' && now.isRaised)
      draft.state = { ...draft.state, listeningSince: laterOf(draft.state.listeningSince, now.reportedAt) }
    now = { ...now, isOut: false, isRaised: false, since: now.reportedAt }
  }
  if (now !== before) put(draft, stage, now)
}

const subjectOf = (stage: Stage, state: WatchState): AlarmSubject => ({
  kind: rules[stage].kind,
  place: null,
  sensor: null,
  quantity: null,
  limit: null,
  priority: rules[stage].priority(state),
})

function put(draft: Draft, stage: Stage, watch: StageWatch): void {
  draft.state = { ...draft.state, stages: { ...draft.state.stages, [stage]: watch } }
}

const laterOf = (one: Instant, other: Instant): Instant => (one > other ? one : other)
const earlierOf = (one: Instant, other: Instant): Instant => (one < other ? one : other)

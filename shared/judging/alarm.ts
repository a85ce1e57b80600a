import type { Alarm, AlarmState } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'

export type AlarmEvent =
  | {
      readonly kind: 'wentOut'
      readonly at: Instant
      readonly value: number | null
      readonly threshold: number | null
      readonly guarded?: number
      readonly expanded?: number
      readonly priority: Priority
      readonly text?: string
    }
  | { readonly kind: 'cameBack'; readonly at: Instant; readonly value: number | null; readonly text?: string }
  | { readonly kind: 'acknowledge'; readonly at: Instant; readonly by: string }
  | {
      readonly kind: 'shelve'
      readonly at: Instant
      readonly until: Instant
      readonly by: string
      readonly reason: string
    }
  | { readonly kind: 'unshelve'; readonly at: Instant; readonly by: string }
  | { readonly kind: 'suppress'; readonly at: Instant; readonly until: Instant; readonly by: string }
  | { readonly kind: 'unsuppress'; readonly at: Instant }
  | { readonly kind: 'takeOutOfService'; readonly at: Instant; readonly by: string; readonly reason: string }
  | { readonly kind: 'returnToService'; readonly at: Instant; readonly by: string }
  | { readonly kind: 'timePassed'; readonly at: Instant }

type AlarmEffect =
  | { readonly kind: 'journal'; readonly entry: JournalEntry }
  | { readonly kind: 'tell'; readonly why: 'raised' | 'returned'; readonly at: Instant }

export type AlarmStep = readonly [alarm: Alarm, effects: readonly AlarmEffect[]]

/** Whether the condition holds underneath, whatever the state shows. */
export function isConditionOut(state: AlarmState): boolean {
  switch (state.name) {
    case 'normal':
    case 'returnedUnacknowledged':
      return false
    case 'unacknowledged':
    case 'acknowledged':
      return true
    case 'shelved':
    case 'suppressed':
    case 'outOfService':
      return state.out
    default:
      return state satisfies never
  }
}

/**
 * Moves one alarm by one event (A1): the states and transitions of IEC 62682 / ISA-18.2 without latching. Total: an
 * event that a state has no use for changes nothing. Whether a person may do it is decided before, in policy.ts.
 */
export function stepAlarm(alarm: Alarm, event: AlarmEvent): AlarmStep {
  const { state } = alarm
  const out = isConditionOut(state)
  switch (event.kind) {
    case 'wentOut':
      if (out) return [alarm, none]
      if (isHidden(state))
        return [withState(noting(alarm, event), { ...state, out: true, since: event.at }), none]
      return raise(noting(alarm, event), event.at, event.text)
    case 'cameBack':
      if (!out) return [alarm, none]
      if (isHidden(state)) return [withState(alarm, { ...state, out: false, since: null }), none]
      return comeBack(alarm, event.at, event.value, event.text)
    case 'acknowledge':
      return acknowledge(alarm, event.at, event.by)
    case 'shelve':
      if (state.name === 'suppressed' || state.name === 'outOfService') return [alarm, none]
      return hide(
        alarm,
        { name: 'shelved', until: event.until, by: event.by, reason: event.reason, ...kept(state) },
        {
          at: event.at,
          kind: 'shelved',
          by: event.by,
          until: event.until,
          text: event.reason,
        },
      )
    case 'unshelve':
      return state.name === 'shelved'
        ? resume(alarm, out, event.at, { kind: 'unshelved', by: event.by })
        : [alarm, none]
    case 'suppress':
      if (state.name === 'outOfService') return [alarm, none]
      return hide(
        alarm,
        { name: 'suppressed', until: event.until, by: event.by, ...kept(state) },
        {
          at: event.at,
          kind: 'suppressed',
          by: event.by,
          until: event.until,
        },
      )
    case 'unsuppress':
      return state.name === 'suppressed'
        ? resume(alarm, out, event.at, { kind: 'unsuppressed', by: 'brumal' })
        : [alarm, none]
    case 'takeOutOfService':
      return hide(
        alarm,
        { name: 'outOfService', by: event.by, reason: event.reason, at: event.at, ...kept(state) },
        {
          at: event.at,
          kind: 'tookOutOfService',
          by: event.by,
          text: event.reason,
        },
      )
    case 'returnToService':
      if (state.name !== 'outOfService') return [alarm, none]
      return resume(alarm, out, event.at, { kind: 'returnedToService', by: event.by })
    case 'timePassed':
      if (state.name === 'shelved' && event.at >= state.until)
        return resume(alarm, out, state.until, { kind: 'unshelved', by: 'brumal' })
      if (state.name === 'suppressed' && event.at >= state.until)
        return resume(alarm, out, state.until, { kind: 'unsuppressed', by: 'brumal' })
      return [alarm, none]
    default:
      return event satisfies never
  }
}

type Hidden = Extract<AlarmState, { out: boolean }>

const none: readonly AlarmEffect[] = []

const isHidden = (state: AlarmState): state is Hidden =>
  state.name === 'shelved' || state.name === 'suppressed' || state.name === 'outOfService'

const withState = (alarm: Alarm, state: AlarmState): Alarm => ({ ...alarm, state })

const noting = (
  { text: _, guarded: __, expanded: ___, ...alarm }: Alarm,
  event: Extract<AlarmEvent, { kind: 'wentOut' }>,
): Alarm => ({
  ...alarm,
  value: event.value,
  threshold: event.threshold,
  priority: event.priority,
  ...(event.guarded === undefined ? {} : { guarded: event.guarded }),
  ...(event.expanded === undefined ? {} : { expanded: event.expanded }),
  ...(event.text ? { text: event.text } : {}),
})

/** What hiding keeps of the state underneath. */
function kept(state: AlarmState): { readonly out: boolean; readonly since: Instant | null } {
  if (isHidden(state)) return { out: state.out, since: state.since }
  return { out: isConditionOut(state), since: 'since' in state ? state.since : null }
}

function raise(alarm: Alarm, at: Instant, text?: string): AlarmStep {
  const raised: Alarm = {
    ...alarm,
    occurrence: alarm.occurrence + 1,
    state: { name: 'unacknowledged', since: at },
  }
  return [
    raised,
    [
      journal(raised, { at, kind: 'raised', by: 'brumal', ...(text ? { text } : {}) }),
      { kind: 'tell', why: 'raised', at },
    ],
  ]
}

function comeBack(alarm: Alarm, at: Instant, value: number | null, text?: string): AlarmStep {
  const { state } = alarm
  const entry = journal(alarm, {
    at,
    kind: 'returned',
    by: 'brumal',
    ...(value === null ? {} : { value }),
    ...(text ? { text } : {}),
  })
  const told: AlarmEffect = { kind: 'tell', why: 'returned', at }
  if (state.name !== 'unacknowledged') return [withState(alarm, { name: 'normal' }), [entry, told]]
  return [
    withState(alarm, { name: 'returnedUnacknowledged', since: state.since, returnedAt: at }),
    [entry, told],
  ]
}

function acknowledge(alarm: Alarm, at: Instant, by: string): AlarmStep {
  const { state } = alarm
  const entry = journal(alarm, { at, kind: 'acknowledged', by })
  if (state.name === 'unacknowledged')
    return [withState(alarm, { name: 'acknowledged', since: state.since, by, acknowledgedAt: at }), [entry]]
  if (state.name === 'returnedUnacknowledged') return [withState(alarm, { name: 'normal' }), [entry]]
  return [alarm, none]
}

function hide(alarm: Alarm, state: Hidden, entry: JournalEntry): AlarmStep {
  return [withState(alarm, state), [journal(alarm, entry)]]
}

/** Out of hiding: raised afresh when the condition still holds, so that people are told again (A2). */
function resume(alarm: Alarm, out: boolean, at: Instant, how: Pick<JournalEntry, 'kind' | 'by'>): AlarmStep {
  const entry = journal(alarm, { at, ...how })
  if (!out) return [withState(alarm, { name: 'normal' }), [entry]]
  const [raised, effects] = raise(alarm, at)
  return [raised, [entry, ...effects]]
}

function journal(alarm: Alarm, entry: JournalEntry): AlarmEffect {
  return {
    kind: 'journal',
    entry: {
      alarm: alarm.id,
      alarmKind: alarm.kind,
      priority: alarm.priority,
      ...(alarm.place === null ? {} : { place: alarm.place }),
      ...(alarm.sensor === null ? {} : { sensor: alarm.sensor }),
      ...(alarm.contact === null ? {} : { contact: alarm.contact }),
      ...(alarm.quantity === null ? {} : { quantity: alarm.quantity }),
      ...(alarm.limit === null ? {} : { limit: alarm.limit }),
      ...(alarm.value === null ? {} : { value: alarm.value }),
      ...(alarm.threshold === null ? {} : { threshold: alarm.threshold }),
      ...(alarm.guarded === undefined ? {} : { guarded: alarm.guarded }),
      ...(alarm.expanded === undefined ? {} : { expanded: alarm.expanded }),
      ...entry,
    },
  }
}

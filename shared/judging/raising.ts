import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import type { LimitName, Priority } from '../../schemas/band.ts'
import type { AlarmId, ContactId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { type AlarmEvent, stepAlarm } from './alarm.ts'
import { isSuppressible } from './policy.ts'
import type { WatchEffect, WatchState } from './watch-state.ts'

/** What an alarm is about; its id follows from it. */
export interface AlarmSubject {
  readonly kind: AlarmKind
  readonly place: PlaceId | null
  readonly sensor: SensorId | null
  readonly contact?: ContactId | null
  readonly quantity: Quantity | null
  readonly limit: LimitName | null
  readonly priority: Priority
}

/** A draft gathers one step's changes; it lives no longer than the step that made it. */
export interface Draft {
  state: WatchState
  readonly effects: WatchEffect[]
}

export function alarmIdOf(subject: AlarmSubject): AlarmId {
  const parts =
    subject.limit !== null && oneForEachLimit.includes(subject.kind)
      ? [subject.kind, subject.place, subject.quantity, subject.limit]
      : [subject.kind, subject.contact ?? subject.sensor ?? subject.place ?? 'house']
  return parts.filter((part) => part !== null).join(':') as AlarmId
}

/** Of these a place may have several, one for each limit. */
const oneForEachLimit: readonly AlarmKind[] = ['limit', 'animalLimit', 'limitAhead']

/** Sends one event to the alarm about `subject`, making the alarm the first time. */
export function turnAlarm(draft: Draft, subject: AlarmSubject, event: AlarmEvent): void {
  const id = alarmIdOf(subject)
  const known = draft.state.alarms.get(id)
  if (known === undefined && event.kind !== 'wentOut') return
  let alarm: Alarm = known ?? {
    id,
    ...subject,
    contact: subject.contact ?? null,
    occurrence: 0,
    value: null,
    threshold: null,
    state: { name: 'normal' },
  }
  if (event.kind === 'wentOut' && alarm.state.name === 'normal') {
    const tending = tendingOver(draft.state, alarm, event.at)
    if (tending !== null) alarm = applyTo(draft, alarm, { kind: 'suppress', at: event.at, ...tending })
  }
  applyTo(draft, alarm, event)
}

/** Steps `alarm` and puts it back, with its effects, when something changed. */
export function applyTo(draft: Draft, alarm: Alarm, event: AlarmEvent): Alarm {
  const [next, effects] = stepAlarm(alarm, event)
  if (next === alarm) return alarm
  const alarms = new Map(draft.state.alarms)
  alarms.set(next.id, next)
  draft.state = { ...draft.state, alarms }
  for (const effect of effects)
    draft.effects.push(
      effect.kind === 'journal' ? effect : { kind: 'tell', alarm: next, why: effect.why, at: effect.at },
    )
  draft.effects.push({ kind: 'alarm', alarm: next })
  return next
}

/** The tending that hides this alarm at `at`, if any: of its own place or of one around it (A3). */
function tendingOver(
  state: WatchState,
  alarm: Alarm,
  at: Instant,
): { readonly until: Instant; readonly by: string } | null {
  if (alarm.place === null || !isSuppressible(alarm)) return null
  const i = state.layout.placeIndex.get(alarm.place)
  const here = i === undefined ? undefined : state.layout.places[i]
  if (here === undefined) return null
  const covering = [alarm.place, ...here.around.flatMap((a) => state.layout.places[a]?.place.id ?? [])]
  const found = state.tendings.find((tending) => covering.includes(tending.place) && tending.until > at)
  return found === undefined ? null : { until: found.until, by: found.by }
}

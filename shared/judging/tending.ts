import type { Alarm } from '../../schemas/alarm.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { isSuppressible } from './policy.ts'
import { applyTo, type Draft } from './raising.ts'

/** Somebody opens a place, or is done with it where `until` is not after `at` (A3). */
export interface TendEvent {
  readonly kind: 'tend'
  readonly place: PlaceId
  readonly at: Instant
  readonly until: Instant
  readonly by: string
}

/** Hides what opening a place sets off, there and in what is inside it; at its end shows it again. */
export function tend(draft: Draft, event: TendEvent): void {
  const i = draft.state.layout.placeIndex.get(event.place)
  const here = i === undefined ? undefined : draft.state.layout.places[i]
  if (here === undefined) return
  const others = draft.state.tendings.filter((tending) => tending.place !== event.place)
  const ending = event.until <= event.at
  const { at, until, by, place } = event
  const tendings = ending ? others : [...others, { place, until, by }]
  draft.state = { ...draft.state, tendings }
  const covered = here.within.flatMap((w) => draft.state.layout.places[w]?.place.id ?? [])
  draft.effects.push({
    kind: 'journal',
    entry: { at, kind: ending ? 'tended' : 'tending', by, place, ...(ending ? {} : { until }) },
  })
  for (const alarm of draft.state.alarms.values()) {
    if (alarm.place === null || !covered.includes(alarm.place) || !isSuppressible(alarm)) continue
    if (ending) applyTo(draft, alarm, { kind: 'unsuppress', at })
    else if (isShown(alarm)) applyTo(draft, alarm, { kind: 'suppress', at, until, by })
  }
}

const isShown = (alarm: Alarm): boolean =>
  alarm.state.name !== 'normal' && alarm.state.name !== 'outOfService'

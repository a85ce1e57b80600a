import type { Instant } from '../../schemas/units.ts'
import { moveAlarm, movingBy } from '../judging/clock-jump.ts'
import type { TellingState, Told } from './telling-state.ts'

/** The clock was set: what was `was` a moment ago is `at` now. Whatever was said keeps its age, so that nothing rings sooner or later for it (N3). */
export function jumpTelling(state: TellingState, was: Instant, at: Instant): TellingState {
  const move = movingBy(at - was)
  return {
    told: mapValues(
      state.told,
      (told): Told => ({
        ...told,
        alarm: moveAlarm(told.alarm, move),
        since: move(told.since),
        lastAt: move(told.lastAt),
      }),
    ),
    low: state.low.map((low) => ({ alarm: moveAlarm(low.alarm, move), at: move(low.at) })),
    raises: state.raises.map((raise) => ({ ...raise, at: move(raise.at) })),
    flood:
      state.flood === null
        ? null
        : { ...state.flood, since: move(state.flood.since), lastAt: move(state.flood.lastAt) },
    chattering: mapValues(state.chattering, move),
  }
}

const mapValues = <V>(
  record: { readonly [key: string]: V | undefined },
  map: (value: V) => V,
): { readonly [key: string]: V } =>
  Object.fromEntries(
    Object.entries(record).flatMap(([key, value]) => (value === undefined ? [] : [[key, map(value)]])),
  )

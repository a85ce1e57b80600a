import type { Alarm } from '../../schemas/alarm.ts'
import type { PlaceNow, Standing } from '../../schemas/api.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Signal } from '../../schemas/signal.ts'
import type { Instant } from '../../schemas/units.ts'
import { isConditionOut } from '../judging/alarm.ts'
import { alarmHeadline, type Names } from './alarm-words.ts'
import { say, sayCount } from '../words/say.ts'

/**
 * What lamps and sirens are told of each place. A place speaks for everything inside it: a lamp on the fridge door that
 * stays dark while a box in the fridge freezes would be the worst of lamps, and one too loud costs a walk. What a person
 * has hidden (shelved, tended, out of service) stays `out` but rings nothing, as on a phone (A2, A3).
 *
 * Nothing in it moves with a reading while the place's state stays the same: `alarms` carry the value that raised them.
 */
export function signalsOf(
  places: readonly PlaceNow[],
  alarms: readonly Alarm[],
  names: Names,
  at: Instant,
): readonly Signal[] {
  const inside = new Map<PlaceId, PlaceNow[]>()
  for (const place of places)
    if (place.parent !== null) inside.set(place.parent, [...(inside.get(place.parent) ?? []), place])
  const byId = new Map(alarms.map((alarm) => [alarm.id, alarm]))
  return places.map((place) => signalOf(withInside(place, inside), byId, names, at))
}

type Group = readonly [place: PlaceNow, ...inside: PlaceNow[]]

function withInside(place: PlaceNow, inside: ReadonlyMap<PlaceId, readonly PlaceNow[]>): Group {
  // a set takes each place once, so that a ring of places would end too
  const found = new Set([place])
  for (const one of found) for (const child of inside.get(one.id) ?? []) found.add(child)
  found.delete(place)
  return [place, ...found]
}

function signalOf(group: Group, byId: ReadonlyMap<string, Alarm>, names: Names, at: Instant): Signal {
  const [place] = group
  const ids = new Set(group.flatMap((one) => one.alarms))
  const alarms = [...ids].flatMap((id) => byId.get(id) ?? []).sort(worstFirst)
  const state = worst.find((standing) => group.some((one) => one.standing === standing)) ?? 'idle'
  const ringing = alarms.find((alarm) => isConditionOut(alarm.state) && !isHidden(alarm))
  return {
    place: place.id,
    name: place.name,
    state,
    priority: ringing?.priority ?? null,
    unacknowledged: alarms.some(isUnacknowledged),
    sentence: sentenceOf(state, group, alarms, names),
    at: new Date(at).toISOString(),
  }
}

function sentenceOf(state: Standing, group: Group, alarms: readonly Alarm[], names: Names): string {
  const [place] = group
  const where = group.find((one) => one.standing === state)?.name ?? place.name
  switch (state) {
    case 'out': {
      const [first, ...others] = alarms.filter((alarm) => isConditionOut(alarm.state))
      if (first === undefined) return say('An alarm stands in {where}.', { where })
      const hidden = isHidden(first) ? say(', hidden for now') : ''
      const more =
        others.length === 0 ? '' : sayCount(others.length, ' And one more alarm.', ' And {n} more alarms.')
      return `${alarmHeadline(first, names)}${hidden}.${more}`
    }
    case 'leaving':
      return say('{where} is past a limit; its delay still runs.', { where })
    case 'unsure':
      return say('No fresh value to judge {where} by.', { where })
    case 'safe':
    case 'idle': {
      const over = alarms.find(isUnacknowledged)
      if (over !== undefined)
        return say('{alarmHeadline}; it is over, and nobody has acknowledged it.', {
          alarmHeadline: alarmHeadline(over, names),
        })
      return state === 'safe'
        ? say('{where} is inside its limits.', { where })
        : say('There is nothing to judge in {where}.', { where })
    }
    default:
      return state satisfies never
  }
}

/** Doubt comes before a limit whose delay runs: the delay still leads to an alarm, doubt may lead to none. */
const worst: readonly Standing[] = ['out', 'unsure', 'leaving', 'safe', 'idle']

const rank = { high: 0, medium: 1, low: 2 } as const

/** Hidden ones last; then by priority, and of equals the one that waits for an answer. */
function worstFirst(one: Alarm, other: Alarm): number {
  return (
    Number(isHidden(one)) - Number(isHidden(other)) ||
    rank[one.priority] - rank[other.priority] ||
    Number(isUnacknowledged(other)) - Number(isUnacknowledged(one))
  )
}

const isHidden = ({ state }: Alarm): boolean =>
  state.name === 'shelved' || state.name === 'suppressed' || state.name === 'outOfService'

const isUnacknowledged = ({ state }: Alarm): boolean =>
  state.name === 'unacknowledged' || state.name === 'returnedUnacknowledged'

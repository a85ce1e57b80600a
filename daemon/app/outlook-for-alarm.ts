import type { Alarm } from '../../schemas/alarm.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import type { StaysSo } from '../../shared/telling/stays-so.ts'
import { isPlugOut } from '../../shared/thermal/trial-acts.ts'
import { type CooledPlace, cooledPlace } from './cooled-place.ts'
import { type OutlookMemory, outlookOf } from './outlook-now.ts'

/** Kinds of alarm that tell of a place that is getting worse; each names the limit that it is about, or its side. */
const worsening: readonly Alarm['kind'][] = [
  'limit',
  'limitAhead',
  'animalLimit',
  'notCooling',
  'alwaysCooling',
]

/**
 * When the alarm's place meets its dangerous limit if what stands now goes on: known only where the cooling is known to have
 * stopped, or not to stop, and the place has been learnt.
 */
export function staysSo(
  watch: WatchState,
  memory: OutlookMemory | null,
  alarm: Alarm,
  at: Instant,
): StaysSo | null {
  const learnt = alarm.place === null ? undefined : memory?.get(alarm.place)
  const cooled = cooledPlace(watch.layout, watch.layout.placeIndex.get(alarm.place as PlaceId) ?? -1)
  if (learnt === undefined || cooled === null || alarm.place === null || !worsening.includes(alarm.kind))
    return null
  if (alarm.quantity !== null && alarm.quantity !== 'temperature') return null
  const standing = coolingOf(watch, cooled, alarm, at)
  if (standing === null) return null
  const outlook = outlookOf(watch, alarm.place, learnt, at)
  const scenario = standing === 'stopped' ? outlook.powerFails : outlook.stuckOn
  if (!scenario.isKnown || outlook.room === null || outlook.now === null) return null
  const isTowardsLow = scenario.towards.celsius < outlook.now.celsius
  const of = (names: readonly LimitName[]) =>
    names.flatMap((name) => scenario.limits.filter(({ limit }) => limit === name))
  const [limit] = of(isTowardsLow ? ['lowCritical', 'low'] : ['highCritical', 'high'])
  if (limit === undefined || limit.time.likely === 0) return null
  // An alarm about one side is not answered with the other.
  const isLowAlarm = alarm.limit === 'low' || alarm.limit === 'lowCritical'
  if (alarm.limit !== null && isLowAlarm !== isTowardsLow) return null
  return { ...limit, towards: scenario.towards.celsius, room: standing === 'stopped' ? outlook.room : null }
}

/** What the alarms of the place and of the fridge around it say about its compressor. */
function coolingOf(
  watch: WatchState,
  cooled: CooledPlace,
  alarm: Alarm,
  at: Instant,
): 'stopped' | 'neverStops' | null {
  const places = cooled.shell.flatMap((q) => watch.layout.places[q]?.place ?? [])
  const stands = (kind: Alarm['kind']): boolean =>
    alarm.kind === kind ||
    [...watch.alarms.values()].some(
      (one) => one.kind === kind && places.some(({ id }) => id === one.place) && isConditionOut(one.state),
    )
  if (stands('notCooling') || places.some(({ trial }) => isPlugOut(trial, at, 0))) return 'stopped'
  return stands('alwaysCooling') ? 'neverStops' : null
}

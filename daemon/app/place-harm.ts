import { days, later } from '../../schemas/amounts.ts'
import type { JournalLine } from '../../schemas/api.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { SourcedLimit } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Subject } from '../../shared/animals/subject.ts'
import { figureOf } from '../../shared/animals/subject.ts'
import type { PlaceHarm } from '../../shared/animals/waking.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import { valuesOf } from '../../shared/judging/place-now.ts'
import { judgeOf } from '../../shared/judging/silence.ts'
import type { Store } from '../ports/store.ts'
import { calibratedHistory } from './calibrated-history.ts'
import type { House } from './house.ts'

interface World {
  readonly house: Pick<House, 'state'>
  readonly store: Pick<Store, 'journal' | 'readings' | 'columns' | 'summaries'>
}

/** Raisings looked through, newest first (X3): one an hour for a whole hold. */
const mostRaisings = 2500
/** How long after a raising its readings are looked through; longer, and somebody has long been there (X3). */
const longestLook = days(3)

/** What its place did to the animal since it went down, by the alarms of the place and of the one that judges it. */
export function placeHarmOf({ house, store }: World, subject: Subject, since: Instant): PlaceHarm {
  const { animal, profile, guidance, now } = subject
  const state = house.state()
  const { layout } = state
  const p = animal.place === null ? undefined : layout.placeIndex.get(animal.place)
  if (p === undefined || profile.hold === undefined) return { tooColdAt: null, tooWarmSince: null }
  const judge = judgeOf(state, p)
  const places = [p, ...(judge === null || judge === p ? [] : [judge])]
  const ids = places.flatMap((one) => layout.places[one]?.place.id ?? [])
  const limitOf = (name: SourcedLimit['limit']) => {
    const limit = profile.hold?.temperature.find((one) => one.limit === name)
    return limit === undefined ? null : { inclusive: limit.inclusive, value: figureOf(limit, guidance) }
  }

  function tooColdAt(): Instant | null {
    const limit = limitOf('lowCritical')
    if (limit === null) return null
    const isTooCold = (value: number): boolean =>
      limit.inclusive ? value <= limit.value : value < limit.value
    const raised = store
      .journal({ places: ids, kinds: ['raised'], from: since, limit: mostRaisings })
      .filter(isLowCritical)
      .toReversed()
    for (const line of raised) {
      if (line.value !== undefined && isTooCold(line.value)) return line.at
      // A raising by the sensor's doubt alone (L9), or of a plan's band on its way down: what came after it counts.
      const at = firstReading(line, isTooCold)
      if (at !== null) return at
    }
    return null
  }

  function firstReading(line: JournalLine, isTooCold: (value: number) => boolean): Instant | null {
    const here = layout.places[layout.placeIndex.get(line.place ?? ('' as PlaceId)) ?? -1]
    if (here === undefined || line.alarmKind !== 'limit') return null
    const history = calibratedHistory(
      store,
      (sensor) => layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? [],
    )
    const until = Math.min(later(line.at, longestLook), later(now, 1)) as Instant
    const firsts = here.sensors.flatMap((s) => {
      const spec = layout.sensors[s]
      if (spec === undefined || line.at >= until) return []
      const readings = history.readings(spec.id, 'temperature', line.at, until)
      return readings.find(({ quality, value }) => quality === 'good' && isTooCold(value))?.at ?? []
    })
    return firsts.length === 0 ? null : (Math.min(...firsts) as Instant)
  }

  function tooWarmSince(): Instant | null {
    const limit = limitOf('highCritical')
    if (limit === null || judge === null) return null
    const newest = (layout.places[judge]?.sensors ?? [])
      .flatMap((s) => valuesOf(state, s, now))
      .filter(
        ({ quantity, quality, lastKnown }) => quantity === 'temperature' && quality === 'good' && !lastKnown,
      )
    const isTooWarm = ({ value }: { value: number }): boolean =>
      limit.inclusive ? value >= limit.value : value > limit.value
    if (!newest.some(isTooWarm)) return null
    const sinces = [...state.alarms.values()].flatMap((alarm) =>
      alarm.limit === 'highCritical' &&
      alarm.quantity === 'temperature' &&
      isAbout(alarm.place, ids) &&
      isConditionOut(alarm.state) &&
      'since' in alarm.state &&
      alarm.state.since !== null
        ? [alarm.state.since]
        : [],
    )
    return sinces.length === 0 ? null : (Math.min(...sinces) as Instant)
  }

  return { tooColdAt: tooColdAt(), tooWarmSince: tooWarmSince() }
}

const isLowCritical = (line: JournalLine): boolean =>
  line.limit === 'lowCritical' &&
  line.quantity === 'temperature' &&
  (line.alarmKind === 'limit' || line.alarmKind === 'animalLimit')

const isAbout = (place: PlaceId | null, ids: readonly PlaceId[]): boolean =>
  place !== null && ids.includes(place)

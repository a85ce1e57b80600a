import { Quantity } from '../../schemas/quantity.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { silentAfter } from '../sensing/freshness.ts'
import { checkHolds, isAboutPlace } from '../sensing/under-check.ts'
import { isClear, isTimed } from './guarded-limit.ts'
import { limitsFor } from './limits-here.ts'
import { judgeLimits, putSeries } from './place-rules.ts'
import { type AlarmSubject, type Draft, turnAlarm } from './raising.ts'
import { passThermal } from './thermal-judge.ts'
import { isDeaf, silenceFrom } from './stages.ts'
import type { SensorWatch, SeriesWatch, WatchState } from './watch-state.ts'

/** A place that is being set up may be without a sensor this long before that is an alarm. */
const settingUp = minutes(10)
/**
 * Silence after which nobody watches, where the last values were safe; the sensor's own silence is told before. Derived:
 * of simulated winters none came to harm sooner than 27 min after a fault, and radios of battery sensors are gone for
 * minutes every other night. Past a limit, nobody watches as soon as the value is stale.
 */
const unwatchedAfter = minutes(30)

/** Judges one sensor's timers and silence up to `at` (L2, L4, N1). */
export function passTimeFor(draft: Draft, s: number, at: Instant): void {
  const spec = draft.state.layout.sensors[s]
  if (spec === undefined) return
  const patience = silentAfter(spec)
  for (const quantity of Quantity.options) {
    const series = draft.state.sensors[s]?.series[quantity]
    if (series === undefined || series.good === null || series.stale) continue
    // Taken elsewhere, it no longer holds what it said of its place: as if it had fallen silent then (L4, L10).
    const taken = checkHolds(spec.check, at) && isAboutPlace(quantity) ? spec.check.since : null
    const goneAt = series.good.at + patience
    const staleAt = (taken === null ? goneAt : Math.max(series.good.at, Math.min(goneAt, taken))) as Instant
    if (at < staleAt) {
      if (series.limits.some(isTimed)) judgeLimits(draft, s, quantity, { kind: 'timePassed', at })
      if (series.thermal !== undefined) passThermal(draft, s, quantity, at, false)
      continue
    }
    judgeLimits(draft, s, quantity, { kind: 'fellSilent', at: staleAt })
    if (series.thermal !== undefined) passThermal(draft, s, quantity, staleAt, true)
    if (
      taken !== null ||
      (!isDeaf(draft.state) && at >= silenceFrom(draft.state, series.good.at) + patience)
    ) {
      const now = draft.state.sensors[s]
      const still = now?.series[quantity]
      if (now !== undefined && still !== undefined)
        putSeries(draft, s, now, quantity, { ...still, stale: true })
    }
  }
  passSilence(draft, s, at, patience)
}

/** A sensor is heard again, or says something believable again. */
export function noteHeard(draft: Draft, s: number, at: Instant): void {
  const sensor = draft.state.sensors[s]
  if (sensor === undefined || !sensor.silent) return
  draft.state = { ...draft.state, sensors: draft.state.sensors.with(s, { ...sensor, silent: false }) }
  turnAlarm(draft, silenceOf(sensor), { kind: 'cameBack', at, value: null })
}

/** Raises and ends the alarms about a sensor that speaks but is not believed. */
export function noteBelief(draft: Draft, s: number, series: SeriesWatch, at: Instant): void {
  const sensor = draft.state.sensors[s]
  const spec = draft.state.layout.sensors[s]
  if (sensor === undefined || spec === undefined) return
  const stuck = faultOf(sensor, 'stuck')
  const faulty = faultOf(sensor, 'faulty')
  if (series.last.quality === 'good') {
    if (draft.state.alarms.size === 0) return
    turnAlarm(draft, stuck, { kind: 'cameBack', at, value: series.last.value })
    turnAlarm(draft, faulty, { kind: 'cameBack', at, value: series.last.value })
  } else if (series.last.quality === 'stuck') {
    turnAlarm(draft, stuck, {
      kind: 'wentOut',
      at,
      value: series.last.value,
      threshold: null,
      priority: 'medium',
    })
  } else if (at >= silenceFrom(draft.state, series.good?.at ?? sensor.since) + silentAfter(spec)) {
    turnAlarm(draft, faulty, {
      kind: 'wentOut',
      at,
      value: series.last.value,
      threshold: null,
      priority: 'medium',
    })
  }
}

/** Raises and ends "nobody watches these animals" for every place that holds some (L10). */
export function passWatching(draft: Draft, at: Instant): void {
  draft.state.places.forEach((place, p) => {
    const here = draft.state.layout.places[p]
    if (here === undefined) return
    const subject: AlarmSubject = {
      kind: 'unwatched',
      place: place.id,
      sensor: null,
      quantity: null,
      limit: null,
      priority: 'high',
    }
    if (here.own.length === 0 || judgeOf(draft.state, p) !== null) {
      const wasWatched = here.own.length > 0
      if (place.unwatchedSince === null && place.wasWatched === wasWatched) return
      draft.state = {
        ...draft.state,
        places: draft.state.places.with(p, { ...place, unwatchedSince: null, wasWatched }),
      }
      turnAlarm(draft, subject, { kind: 'cameBack', at, value: null })
      return
    }
    if (isDeaf(draft.state)) return
    const since = place.unwatchedSince ?? at
    if (place.unwatchedSince === null)
      draft.state = {
        ...draft.state,
        places: draft.state.places.with(p, { ...place, unwatchedSince: since }),
      }
    const due = place.wasWatched ? unwatchedFrom(draft.state, p, since) : ((since + settingUp) as Instant)
    if (at >= due)
      turnAlarm(draft, subject, { kind: 'wentOut', at: due, value: null, threshold: null, priority: 'high' })
  })
}

/** From when a place whose sensors have all fallen silent at `since` counts as watched by nobody. */
function unwatchedFrom(state: WatchState, p: number, since: Instant): Instant {
  const here = state.layout.places[p]
  const all = [p, ...(here?.around ?? [])].flatMap((q) => state.layout.places[q]?.sensors ?? [])
  if (!all.every((s) => isClearOf(state, s, since))) return since
  const last = Math.max(...all.map((s) => state.sensors[s]?.series.temperature?.good?.at ?? 0))
  return Math.max(since, last + unwatchedAfter) as Instant
}

/** Whether the last believed temperature of a sensor was past none of its limits. */
function isClearOf(state: WatchState, s: number, at: Instant): boolean {
  const limits = limitsFor(state, s, 'temperature', at) ?? []
  const states = state.sensors[s]?.series.temperature?.limits ?? []
  return states.every((one, n) => isClear(one, limits[n] ?? null))
}

/** Index of the place whose sensors judge place `p`: itself, or the nearest around it with a working one (L10). */
export function judgeOf(state: WatchState, p: number): number | null {
  const here = state.layout.places[p]
  if (here === undefined) return null
  return (
    [p, ...here.around].find((q) => state.layout.places[q]?.sensors.some((s) => isWorking(state, s))) ?? null
  )
}

/** Whether a sensor gives a temperature that can be judged by. */
export function isWorking(state: WatchState, s: number): boolean {
  const series = state.sensors[s]?.series.temperature
  return series !== undefined && series.good !== null && !series.stale
}

function passSilence(draft: Draft, s: number, at: Instant, patience: number): void {
  const sensor = draft.state.sensors[s]
  if (sensor === undefined || sensor.silent || isDeaf(draft.state)) return
  const silentAt = (silenceFrom(draft.state, sensor.heardAt ?? sensor.since) + patience) as Instant
  if (at < silentAt) return
  draft.state = { ...draft.state, sensors: draft.state.sensors.with(s, { ...sensor, silent: true }) }
  const subject = silenceOf(sensor)
  turnAlarm(draft, subject, {
    kind: 'wentOut',
    at: silentAt,
    value: null,
    threshold: null,
    priority: subject.priority,
  })
}

const silenceOf = (sensor: SensorWatch): AlarmSubject => ({
  kind: 'silent',
  place: sensor.place,
  sensor: sensor.id,
  quantity: null,
  limit: null,
  priority: sensor.place === null ? 'low' : 'medium',
})

const faultOf = (sensor: SensorWatch, kind: 'stuck' | 'faulty'): AlarmSubject => ({
  kind,
  place: sensor.place,
  sensor: sensor.id,
  quantity: null,
  limit: null,
  priority: 'medium',
})

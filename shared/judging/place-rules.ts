import type { Limit } from '../../schemas/band.ts'
import { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { asLimit, bandsAt } from './band.ts'
import { limitNames } from './limit-names.ts'
import type { PlaceLayout } from './layout.ts'
import { isConditionOut } from './alarm.ts'
import { isPastRaised, stepJudged } from './guarded-limit.ts'
import { isOut, type JudgedLimit, type LimitEvent, startInside } from './limit.ts'
import { isRaisedHere, limitsFor } from './limits-here.ts'
import { alarmIdOf, type Draft, turnAlarm } from './raising.ts'
import { withTried } from './tried-limits.ts'
import type { PlaceRules, SensorWatch, SeriesWatch } from './watch-state.ts'
import { say } from '../words/say.ts'

/** The rules of a place from `at` on. */
export function rulesAt(here: PlaceLayout, guidance: 'strict' | 'lenient', at: Instant): PlaceRules {
  const inForce = bandsAt(here.place, here.tenants, guidance, at)
  const now = here.tried === undefined ? inForce : withTried(inForce, here.tried)
  const limits: { [quantity in Quantity]?: readonly (Limit | null)[] } = {}
  for (const quantity of Quantity.options) {
    const band = now.bands[quantity]
    if (band === undefined) continue
    limits[quantity] = limitNames.map((name) => {
      const limit = band[name]
      return limit === null ? null : asLimit(quantity, name, limit)
    })
  }
  return { bands: now.bands, limits, until: now.until, conflict: now.conflict, guarded: now.guarded }
}

/** Brings every place's rules up to `at`, judging the held values by each new band from its first instant (L8). */
export function renewRules(draft: Draft, at: Instant): void {
  draft.state.places.forEach((_, p) => renewRulesOf(draft, p, at))
}

/** The same for one place. */
export function renewRulesOf(draft: Draft, p: number, at: Instant): void {
  for (;;) {
    const place = draft.state.places[p]
    const here = draft.state.layout.places[p]
    if (place === undefined || here === undefined || place.rules.until === null || place.rules.until > at)
      return
    const from = place.rules.until
    const rules = rulesAt(here, draft.state.layout.household.guidance, from)
    draft.state = { ...draft.state, places: draft.state.places.with(p, { ...place, rules }) }
    holdBy(draft, p, from)
  }
}

/** Judges the values that hold in place `p` by its rules, from `at`; alarms of limits that are gone come back. */
export function holdBy(draft: Draft, p: number, at: Instant): void {
  const here = draft.state.layout.places[p]
  if (here === undefined) return
  for (const s of here.sensors) {
    const sensor = draft.state.sensors[s]
    if (sensor === undefined) continue
    for (const quantity of Quantity.options) {
      const series = sensor.series[quantity]
      if (!series?.good || series.stale) continue
      const from = series.good.at > at ? series.good.at : at
      judgeLimits(draft, s, quantity, { kind: 'reading', at: from, value: series.good.value })
    }
  }
  settleAlarms(draft, p, at)
}

/** Moves the limits of one series by one event, and the place's alarms with them. */
export function judgeLimits(draft: Draft, s: number, quantity: Quantity, event: LimitEvent): void {
  const sensor = draft.state.sensors[s]
  const series = sensor?.series[quantity]
  const p = draft.state.layout.placeOfSensor[s] ?? -1
  const limits = limitsFor(draft.state, s, quantity, event.at)
  if (sensor === undefined || series === undefined || limits === undefined) return
  // Every limit first, then the alarms: the lesser ones must not be looked at as they were before this event.
  const moves = criticalFirst.flatMap((n) => {
    const limit = limits[n] ?? null
    const before = draft.state.sensors[s]?.series[quantity]?.limits[n] ?? startInside
    // A basking spot is meant to be hotter than the air that `high` is about; what harms there is critical.
    if (limit === null || (limit.id === 'high' && draft.state.layout.sensors[s]?.spot === 'basking'))
      return []
    const [after, transitions] = stepJudged(before, limit, event)
    if (after !== before) putLimit(draft, s, quantity, n, after)
    return transitions.length > 0 || after.name === 'out' ? [{ n, limit, before, after, transitions }] : []
  })
  for (const { n, limit, before, after, transitions } of moves) {
    for (const { event: change, at, value, isDoubt } of transitions) {
      if (change === 'raised') {
        // One message for one danger: the lesser limit is quiet while the critical one beyond it stands.
        const critical = criticalBeyond[n]
        if (critical !== undefined && isRaisedHere(draft, p, quantity, critical)) continue
        if (isDoubt) raiseLimit(draft, p, quantity, n, at, value, limit.guard)
        else {
          if (!isPastRaised(before)) endDoubt(draft, p, quantity, n, s, { at, value }, limit)
          raiseLimit(draft, p, quantity, n, at, value)
        }
      } else if (!isRaisedHere(draft, p, quantity, n)) {
        turnAlarm(draft, subjectOf(draft, p, quantity, n, limit), { kind: 'cameBack', at, value })
        const lesser = criticalBeyond.indexOf(n)
        if (lesser >= 0) speakUp(draft, p, quantity, lesser, at)
      }
    }
    if (after.name === 'out' && event.kind === 'reading' && criticalBeyond[n] !== undefined)
      speakUp(draft, p, quantity, n, event.at)
  }
}

/**
 * Raises a lesser limit that was quiet under its critical one, once that one no longer stands: where some value is past
 * it still. One that is already on its way back through the deadband is not announced as news.
 */
function speakUp(draft: Draft, p: number, quantity: Quantity, n: number, at: Instant): void {
  const limit = draft.state.places[p]?.rules.limits[quantity]?.[n]
  const critical = criticalBeyond[n]
  if (!limit || critical === undefined || isRaisedHere(draft, p, quantity, critical)) return
  for (const s of draft.state.layout.places[p]?.sensors ?? []) {
    const state = draft.state.sensors[s]?.series[quantity]?.limits[n]
    const own = limitsFor(draft.state, s, quantity, at)?.[n] ?? limit
    if (state?.name === 'out' && (own.counting === 'cumulative' || isOut(own, state.value)))
      return raiseLimit(draft, p, quantity, n, at, state.value)
  }
}

/**
 * Ends an alarm that stands for nothing but doubt, before it is raised afresh: some value is past the limit itself now
 * (L9), and whoever answered the one has not heard of the other.
 */
function endDoubt(
  draft: Draft,
  p: number,
  quantity: Quantity,
  n: number,
  by: number,
  { at, value }: { readonly at: Instant; readonly value: number },
  limit: JudgedLimit,
): void {
  const subject = subjectOf(draft, p, quantity, n, limit)
  const alarm = draft.state.alarms.get(alarmIdOf(subject))
  if (alarm === undefined || !isConditionOut(alarm.state)) return
  const others = (draft.state.layout.places[p]?.sensors ?? []).filter((s) => s !== by)
  const isKnown = others.some((s) => {
    const state = draft.state.sensors[s]?.series[quantity]?.limits[n]
    return state !== undefined && isPastRaised(state)
  })
  if (isKnown) return
  const text = say('What was in doubt is past the limit now.')
  turnAlarm(draft, subject, { kind: 'cameBack', at, value, text })
}

/** Indexes of the limits, the critical ones first. */
const criticalFirst = [0, 3, 1, 2] as const
/** For each limit the critical one beyond it on the same side. */
const criticalBeyond: readonly (number | undefined)[] = [undefined, 0, 3, undefined]

function raiseLimit(
  draft: Draft,
  p: number,
  quantity: Quantity,
  n: number,
  at: Instant,
  value: number,
  guard?: JudgedLimit['guard'],
): void {
  const limit = draft.state.places[p]?.rules.limits[quantity]?.[n]
  if (!limit) return
  const common = { kind: 'wentOut', at, value, threshold: limit.value, priority: limit.priority } as const
  const event = guard === undefined ? common : { ...common, guarded: guard.value, expanded: guard.expanded }
  turnAlarm(draft, subjectOf(draft, p, quantity, n, limit), event)
}

/** A limit that no longer exists cannot be out. */
function dropGoneLimits(draft: Draft, s: number, quantity: Quantity): void {
  const p = draft.state.layout.placeOfSensor[s] ?? -1
  const limits = draft.state.places[p]?.rules.limits[quantity]
  for (let n = 0; n < limitNames.length; n++) {
    const state = draft.state.sensors[s]?.series[quantity]?.limits[n] ?? startInside
    if ((limits?.[n] ?? null) === null && state.name !== 'inside')
      putLimit(draft, s, quantity, n, startInside)
  }
}

/** Ends the alarms of place `p` whose limit is gone or whose every sensor is inside. */
function settleAlarms(draft: Draft, p: number, at: Instant): void {
  const here = draft.state.layout.places[p]
  if (here === undefined) return
  for (const s of here.sensors) for (const quantity of Quantity.options) dropGoneLimits(draft, s, quantity)
  for (const alarm of draft.state.alarms.values()) {
    if (
      alarm.kind !== 'limit' ||
      alarm.place !== here.place.id ||
      alarm.quantity === null ||
      alarm.limit === null
    )
      continue
    const n = limitNames.indexOf(alarm.limit)
    if (isRaisedHere(draft, p, alarm.quantity, n)) continue
    const limit = draft.state.places[p]?.rules.limits[alarm.quantity]?.[n] ?? null
    const text = limit === null ? say('The limit no longer applies.') : say('No sensor here is out any more.')
    turnAlarm(draft, alarm, { kind: 'cameBack', at, value: null, text })
  }
}

function subjectOf(draft: Draft, p: number, quantity: Quantity, n: number, limit: Limit) {
  return {
    kind: 'limit' as const,
    place: draft.state.layout.places[p]?.place.id ?? null,
    sensor: null,
    quantity,
    limit: limitNames[n] ?? null,
    priority: limit.priority,
  }
}

function putLimit(
  draft: Draft,
  s: number,
  quantity: Quantity,
  n: number,
  limit: SeriesWatch['limits'][number],
): void {
  const sensor = draft.state.sensors[s]
  const series = sensor?.series[quantity]
  if (sensor === undefined || series === undefined) return
  putSeries(draft, s, sensor, quantity, { ...series, limits: series.limits.with(n, limit) })
}

/** Puts a sensor's series back into the draft. */
export function putSeries(
  draft: Draft,
  s: number,
  sensor: SensorWatch,
  quantity: Quantity,
  series: SeriesWatch,
): void {
  draft.state = {
    ...draft.state,
    sensors: draft.state.sensors.with(s, { ...sensor, series: { ...sensor.series, [quantity]: series } }),
  }
}

import type { Night } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Quality, Reading } from '../../schemas/reading.ts'
import type { TriedPlace } from '../../schemas/what-if.ts'
import { Quantity } from '../../schemas/quantity.ts'
import { hours, later, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { limitNames } from '../judging/limit-names.ts'
import type { ProfileOf } from '../judging/layout.ts'
import { isOut } from '../judging/limit.ts'
import { rulesAt } from '../judging/place-rules.ts'
import { startWatch, stepWatch, type WatchEvent } from '../judging/watch.ts'
import type { WatchState } from '../judging/watch-state.ts'
import { silentAfter } from '../sensing/freshness.ts'
import { isAboutPlace } from '../sensing/under-check.ts'
import { noteLine, type SpellLog, startLog } from './spells.ts'
import { addOutside, noneOutside, type OutsideTally } from './outside.ts'
import type { Stretch } from './tally.ts'

/** What else happened then, as the journal has it. */
export type Happened =
  | Extract<WatchEvent, { kind: 'tend' | 'listening' | 'stage' }>
  /** Brumal stopped: until it listens again nobody judges (L7). */
  | { readonly kind: 'stopped'; readonly at: Instant }

/** A past time, judged again by the engine itself. It changes with each reading and keeps its size. */
export interface WhatIfWalk {
  readonly log: SpellLog
  readonly outside: OutsideTally
  state: WatchState
  clock: Instant
  ticked: Instant
  isDown: boolean
  readings: number
  /** For each sensor and quantity, until when its value in force is past a limit. */
  readonly outUntil: number[]
}

export interface WhatIfRules {
  /** Only what matters to the places: theirs, those around and inside, with the plans of that winter. */
  readonly household: Household
  readonly profileOf: ProfileOf
  readonly tried: readonly TriedPlace[]
  /** Whose alarms count. */
  readonly places: ReadonlySet<PlaceId>
  readonly stretch: Stretch
  readonly nights: readonly Night[]
  /** From when on it is judged: a while before the stretch, so that what stands then is known. */
  readonly begins: Instant
  /** When each sensor was first heard, ever: before, nobody expected it. */
  readonly firstHeard: ReadonlyMap<SensorId, Instant>
}

export function startWhatIf(rules: WhatIfRules): WhatIfWalk {
  const { tried, profileOf, begins } = rules
  const state = startWatch(asTried(rules.household, tried), profileOf, begins)
  const sensors = state.sensors.map((sensor) => {
    const since = rules.firstHeard.get(sensor.id) ?? rules.stretch.to
    return since > begins ? { ...sensor, since } : sensor
  })
  return {
    log: startLog(rules.places),
    outside: noneOutside(rules.stretch, rules.nights),
    state: withLimits({ ...state, sensors }, tried, begins),
    clock: begins,
    ticked: begins,
    isDown: false,
    readings: 0,
    outUntil: state.layout.sensors.flatMap(() => Quantity.options.map(() => 0)),
  }
}

/** Takes the next reading as it was stored, in order of time. Whether it is believed is judged again, but for checks. */
export function hearStored(walk: WhatIfWalk, stored: Reading & { readonly quality: Quality }): void {
  const { quality, ...reading } = stored
  const s = walk.state.layout.sensorIndex.get(reading.sensor)
  if (s === undefined) return
  passUntil(walk, reading.at)
  putCheck(walk, s, reading, quality)
  // Kept by the broker while nobody listened: whoever sent it was not silent (L7).
  if (walk.isDown) run(walk, { kind: 'listening', at: reading.at })
  run(walk, { kind: 'reading', reading, heardAt: reading.at })
  walk.readings += 1
  noteOutside(walk, s, reading.quantity)
}

/** Takes in what else happened, in order of time with the readings. */
export function hearHappened(walk: WhatIfWalk, happened: Happened): void {
  // After a stop that nobody noted, time went on without us.
  passUntil(walk, happened.at, walk.isDown || happened.kind === 'listening')
  switch (happened.kind) {
    case 'stopped':
      if (!walk.isDown) tick(walk, happened.at)
      walk.isDown = true
      break
    case 'listening':
      walk.isDown = false
      walk.ticked = happened.at
      run(walk, happened)
      break
    case 'tend':
    case 'stage':
      run(walk, happened)
      break
    default:
      happened satisfies never
  }
}

/** Time goes on to the end. */
export function endWhatIf(walk: WhatIfWalk, at: Instant): void {
  passUntil(walk, at)
  if (!walk.isDown) tick(walk, at)
}

/**
 * Timers carry their own instants, so a coarse tick only delays the finding of them; what dates from the tick that finds
 * it, such as that nobody watches, is this exact.
 */
const usualTick = minutes(1)
/** A silence longer than this tells nothing new. */
const longestSilence = hours(3)
const coarseTick = minutes(10)

/** Judges the time before `at`; what is due at that instant waits for its readings (L2). */
function passUntil(walk: WhatIfWalk, at: Instant, isGap = walk.isDown): void {
  if (at <= walk.clock) return
  addOutside(walk.outside, walk.clock, Math.min(at, Math.max(walk.clock, ...walk.outUntil)))
  const from = walk.clock
  walk.clock = at
  if (isGap) return
  while (at - walk.ticked > 2 * usualTick) {
    const step = walk.ticked - from < longestSilence ? usualTick : coarseTick
    tick(walk, later(walk.ticked, Math.min(step, at - walk.ticked - 1)))
  }
  if (at >= walk.ticked + usualTick) {
    tick(walk, later(at, -1))
    walk.ticked = at
  }
}

function tick(walk: WhatIfWalk, at: Instant): void {
  run(walk, { kind: 'timePassed', at })
  walk.ticked = at
}

function run(walk: WhatIfWalk, event: WatchEvent): void {
  const [next, effects] = stepWatch(walk.state, event)
  walk.state = next
  for (const effect of effects) if (effect.kind === 'journal') noteLine(walk.log, effect.entry)
}

function noteOutside(walk: WhatIfWalk, s: number, quantity: Quantity): void {
  const { layout, sensors, places } = walk.state
  const spec = layout.sensors[s]
  const p = layout.placeOfSensor[s] ?? -1
  const place = places[p]
  const good = sensors[s]?.series[quantity]?.good
  if (spec === undefined || place === undefined || !good || !walk.log.places.has(place.id)) return
  const limits = place.rules.limits[quantity] ?? []
  const isPast = limitNames.some((name, n) => {
    const limit = limits[n] ?? null
    // A basking spot is meant to be hotter than the air that `high` is about.
    return limit !== null && !(name === 'high' && spec.spot === 'basking') && isOut(limit, good.value)
  })
  walk.outUntil[s * Quantity.options.length + Quantity.options.indexOf(quantity)] = isPast
    ? good.at + silentAfter(spec)
    : 0
}

/** What of a wish is of the household: how long a value holds, and whether the sensor's doubt counts. */
function asTried(household: Household, tried: readonly TriedPlace[]): Household {
  if (tried.length === 0) return household
  const wishOf = (id: PlaceId | null) => tried.find(({ place }) => place === id)
  return {
    ...household,
    places: household.places.map((place) => {
      const guard = wishOf(place.id)?.guard
      if (guard === undefined) return place
      const { guardBand: _, ...rest } = place
      return guard === 'on' ? rest : { ...rest, guardBand: 'off' as const }
    }),
    sensors: household.sensors.map((sensor) => {
      const silence = wishOf(sensor.place)?.silentAfter
      return silence === undefined ? sensor : { ...sensor, silentAfter: silence }
    }),
  }
}

function withLimits(state: WatchState, tried: readonly TriedPlace[], at: Instant): WatchState {
  const layout = {
    ...state.layout,
    places: state.layout.places.map((here) => {
      const limits = tried.find(({ place }) => place === here.place.id)?.limits ?? []
      return limits.length === 0 ? here : { ...here, tried: limits }
    }),
  }
  const places = state.places.map((place, p) => {
    const here = layout.places[p]
    return here?.tried === undefined
      ? place
      : { ...place, rules: rulesAt(here, layout.household.guidance, at) }
  })
  return { ...state, layout, places }
}

/** A check is known by what was stored while it ran. */
function putCheck(walk: WhatIfWalk, s: number, { at, sensor, quantity }: Reading, quality: Quality): void {
  const { layout } = walk.state
  const spec = layout.sensors[s]
  if (spec === undefined || !isAboutPlace(quantity)) return
  const isChecking = quality === 'checking'
  const isMarked = spec.check?.by === ofLog && at < spec.check.until
  if (isChecking === isMarked) return
  const check = isChecking
    ? { since: at, until: later(at, hours(24 * 365)), by: ofLog }
    : { since: spec.check?.since ?? at, until: at, by: ofLog }
  const sensors = layout.sensors.map((one) => (one.id === sensor ? { ...one, check } : one))
  walk.state = { ...walk.state, layout: { ...layout, sensors } }
}

const ofLog = 'the log'

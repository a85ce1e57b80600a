import type { Alarm, AlarmState } from '../../schemas/alarm.ts'
import { instant, seconds } from '../../schemas/amounts.ts'
import { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { noHistory, type QualityState } from '../sensing/quality.ts'
import { withChecksMoved } from '../sensing/under-check.ts'
import { type Move, moveLimit } from './move-limit.ts'
import { rulesAt } from './place-rules.ts'
import { moveThermal } from './thermal-move.ts'
import type { PlaceRules, PlaceWatch, SensorWatch, SeriesWatch, WatchState } from './watch-state.ts'

/**
 * The clock was set: what was `was` a moment ago is `at` now. Everything that the watch remembers keeps its age, so
 * that no delay ends sooner or later for it (N3). Series that a sensor stamps by a right clock of its own stay.
 * Bands follow the calendar instead: where the new date has others, they are in force when time is next judged.
 */
export function jumpWatch(state: WatchState, was: Instant, at: Instant): WatchState {
  const jump: Jump = { was, at, move: movingBy(at - was) }
  const { move } = jump
  const sensors = state.sensors.map((sensor) => jumpSensor(sensor, jump))
  const household = withChecksMoved(state.layout.household, was, at)
  return {
    ...state,
    layout:
      household === state.layout.household
        ? state.layout
        : { ...state.layout, household, sensors: household.sensors },
    at: move(state.at),
    listeningSince: move(state.listeningSince),
    sensors,
    places: state.places.map((place, p) => {
      const here = state.layout.places[p]?.sensors ?? []
      // All that agree or disagree here are looked at together, so one that follows our clock decides.
      const stampOf = (watches: readonly SensorWatch[], s: number) => watches[s]?.series.temperature?.last.at
      const follows = here.some((s) => stampOf(state.sensors, s) !== stampOf(sensors, s))
      return { ...jumpPlace(place, jump, follows || here.length === 0), rules: rulesAfter(state, p, at) }
    }),
    alarms: new Map([...state.alarms].map(([id, alarm]) => [id, moveAlarm(alarm, move)])),
    tendings: state.tendings.map((tending) => ({ ...tending, until: move(tending.until) })),
    stages: mapValues(state.stages, (stage) => ({
      ...stage,
      reportedAt: move(stage.reportedAt),
      since: move(stage.since),
    })),
  }
}

/** The epoch is the beginning of time, and what no instant is yet (`noHistory`): it stays. */
export const movingBy =
  (by: number): Move =>
  (one) =>
    one === noHistory.at ? one : instant(Math.max(0, one + by))

export function moveAlarm(alarm: Alarm, move: Move): Alarm {
  return { ...alarm, state: moveAlarmState(alarm.state, move) }
}

interface Jump {
  readonly was: Instant
  readonly at: Instant
  readonly move: Move
}

/** As far as a reading may be stamped ahead of the clock (L5). What lay farther ahead would make every new one late. */
const toleratedAhead = seconds(60)
/** A stamp by our own clock is no farther from the time at which it came. Derived: the same tolerance, to both sides. */
const stampedWithin = toleratedAhead

/** Whether the readings are stamped by the clock that was set, rather than by a clock of the sensor's own. Snapshots before version 3 do not say when a reading came. */
function isByOurClock(last: SeriesWatch['last'], { was, at }: Jump): boolean {
  const by = at - was
  const lag = (last.heardAt ?? was) - last.at
  if (last.heardAt !== undefined && Math.abs(lag) > stampedWithin) return false
  return Math.abs(lag) <= Math.abs(lag + by)
}

function jumpSensor(sensor: SensorWatch, jump: Jump): SensorWatch {
  const { move } = jump
  const series = mapValues(sensor.series, (one) => jumpSeries(one, jump))
  const stamps = Quantity.options.flatMap((quantity) => series[quantity]?.last.at ?? [])
  const power = series.battery === undefined ? 'voltage' : 'battery'
  const isPowerMoved =
    series[power] === undefined || series[power].good?.at !== sensor.series[power]?.good?.at
  const { battery, clockAhead, heardAt } = sensor
  return {
    ...sensor,
    since: move(sensor.since),
    // Last heard is the newest stamp, so it goes where that went.
    heardAt: heardAt === null || stamps.length > 0 ? newest(stamps) : move(heardAt),
    series,
    clockAhead: clockAhead && { ...clockAhead, since: move(clockAhead.since) },
    ...(battery === undefined ? {} : { battery: isPowerMoved ? moveLimit(battery, move) : battery }),
  }
}

function jumpSeries(series: SeriesWatch, jump: Jump): SeriesWatch {
  const { last } = series
  const heard = last.heardAt === undefined ? {} : { heardAt: jump.move(last.heardAt) }
  if (!isByOurClock(last, jump) && last.at <= jump.at + toleratedAhead)
    return last.heardAt === undefined ? series : { ...series, last: { ...last, ...heard } }
  return moveSeries({ ...series, last: { ...last, ...heard } }, jump.move)
}

function moveSeries(series: SeriesWatch, move: Move): SeriesWatch {
  return {
    ...series,
    last: { ...series.last, at: move(series.last.at) },
    good: series.good && { ...series.good, at: move(series.good.at) },
    history: moveHistory(series.history, move),
    limits: series.limits.map((limit) => moveLimit(limit, move)),
    ...(series.thermal === undefined ? {} : { thermal: moveThermal(series.thermal, move) }),
  }
}

const moveHistory = (history: QualityState, move: Move): QualityState => ({
  ...history,
  goodAt: move(history.goodAt),
  runSince: move(history.runSince),
  at: move(history.at),
})

/** The rules of the new date. Where they differ, the old ones end at once, so that held values and alarms are judged by the new. */
function rulesAfter(state: WatchState, p: number, at: Instant): PlaceRules {
  const [place, here] = [state.places[p], state.layout.places[p]]
  if (place === undefined || here === undefined) throw new Error(`There is no place ${p}.`)
  const { until: _, ...before } = place.rules
  const { until, ...after } = rulesAt(here, state.layout.household.guidance, at)
  return JSON.stringify(before) === JSON.stringify(after) ? { ...before, until } : { ...before, until: at }
}

function jumpPlace(place: PlaceWatch, { move }: Jump, isApartMoved: boolean): PlaceWatch {
  const { apart, unwatchedSince } = place
  return {
    ...place,
    unwatchedSince: unwatchedSince === null ? null : move(unwatchedSince),
    ...(apart === undefined
      ? {}
      : { apart: isApartMoved ? mapValues(apart, (limit) => moveLimit(limit, move)) : apart }),
  }
}

function moveAlarmState(state: AlarmState, move: Move): AlarmState {
  switch (state.name) {
    case 'normal':
      return state
    case 'unacknowledged':
      return { ...state, since: move(state.since) }
    case 'acknowledged':
      return { ...state, since: move(state.since), acknowledgedAt: move(state.acknowledgedAt) }
    case 'returnedUnacknowledged':
      return { ...state, since: move(state.since), returnedAt: move(state.returnedAt) }
    case 'shelved':
    case 'suppressed':
      return { ...state, until: move(state.until), since: state.since && move(state.since) }
    case 'outOfService':
      return { ...state, at: move(state.at), since: state.since && move(state.since) }
    default:
      return state satisfies never
  }
}

const newest = (stamps: readonly Instant[]): Instant | null =>
  stamps.reduce<Instant | null>((one, other) => (one !== null && one > other ? one : other), null)

/** The same record with every value that is there changed. */
function mapValues<K extends string, V>(
  record: { readonly [key in K]?: V },
  map: (value: V) => V,
): { readonly [key in K]?: V } {
  const entries = Object.entries(record) as [K, V | undefined][]
  return Object.fromEntries(
    entries.flatMap(([key, value]) => (value === undefined ? [] : [[key, map(value)]])),
  ) as { readonly [key in K]?: V }
}

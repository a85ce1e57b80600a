import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Reading } from '../../schemas/reading.ts'
import type { Scenario, ScenarioEvent, SensorModel, TruthLine } from '../../schemas/scenario.ts'
import { later } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { localParts } from '../../shared/time/wall.ts'
import { createWorld, type Conditions, type WorldState } from './physics.ts'
import { seededRandom } from './random.ts'
import { simulateSensor, type Sent, type Surroundings, type TimedFault } from './sensor-model.ts'

/** A reading as it arrives (in order of arrival), or a line of the truth behind it. */
export type SimulationEvent =
  | { readonly kind: 'reading'; readonly arrives: Instant; readonly reading: Reading }
  | { readonly kind: 'truth'; readonly line: TruthLine }

/** Everything that happens in a scenario, in order of arrival. The same scenario and seed give the same events. */
export function* simulate(scenario: Scenario, seed: number): Generator<SimulationEvent, void, undefined> {
  yield* startSimulation(scenario, seed).until(later(scenario.start, scenario.lasts))
}

export interface Simulation {
  now(): Instant
  /** What happens after `now` and up to `to` (included). What has not arrived by then is still under way. */
  until(to: Instant): Generator<SimulationEvent, void, undefined>
  /** From `now` on: physics in steps of `step`, readings at the sensor's interval in `everyOf`. */
  pace(step: Millis, everyOf: (sensor: SensorId) => Millis): void
  /** Time passes unobserved and the places stay as they are. */
  skipTo(at: Instant): void
}

export interface SimulationOptions {
  readonly adjust?: Adjust
  /** Leave out the truth's states, which cost more than the physics. */
  readonly readingsOnly?: boolean
}

/** Bends the temperature of a place as sensors feel it, for a scripted show; physics goes on underneath. */
type Adjust = (place: PlaceId, at: Instant, celsius: number) => number

export function startSimulation(
  scenario: Scenario,
  seed: number,
  { adjust, readingsOnly = false }: SimulationOptions = {},
): Simulation {
  const { start } = scenario
  const chance = seededRandom(seed)
  const weather = chance.fork('weather')
  const world = createWorld(scenario.places, start, zoneOffset(start, scenario.timeZone))
  const timed = scenario.events.map((event): Timed => {
    const from = later(start, event.after)
    return { event, from, to: later(from, event.lasts) }
  })
  const sensors = scenario.sensors.map((model) => {
    const place = scenario.places.findIndex(({ id }) => id === model.place)
    const faults = timed.filter(
      (one): one is TimedFault => 'sensor' in one.event && one.event.sensor === model.id,
    )
    const edges = timed
      .filter(
        ({ event }) =>
          event.kind === 'powerCut' || (event.kind === 'doorOpen' && event.place === model.place),
      )
      .flatMap(({ from, to }) => [from, to])
      .sort((a, b) => a - b)
    return { model, place, sensor: simulateSensor(model, faults, start, edges, chance.fork(model.id)) }
  })
  const ahead = timed.toSorted((a, b) => a.from - b.from)
  /** What holds, or held a moment ago: everything later waits in `ahead`, so that a step costs what is going on. */
  let near: Timed[] = []
  let everyOf = (sensor: SensorModel): Millis => sensor.every
  let underway: (Sent & { readonly order: number })[] = []
  let order = 0
  let state = world.start
  let stepMs: number = scenario.step

  function* until(to: Instant): Generator<SimulationEvent, void, undefined> {
    while (state.at < to) {
      const before = state
      const until = later(before.at, Math.min(stepMs, to - before.at))
      near = near.filter((one) => one.to > before.at)
      while (ahead[0] !== undefined && ahead[0].from <= until) {
        const next = ahead.shift() as Timed
        near.push(next)
        yield { kind: 'truth', line: faultLine(next) }
      }
      const after = world.step(before, until - before.at, conditionsAt(near, before.at), weather)
      state = after
      for (const { model, place, sensor } of sensors) {
        const around = (at: Instant) => surroundings(near, before, after, place, model.place, at, adjust)
        for (const sent of sensor.until(after.at, around)) underway.push({ ...sent, order: order++ })
      }
      const arrived = underway.filter((sent) => sent.arrives <= after.at)
      underway = underway.filter((sent) => sent.arrives > after.at)
      arrived.sort((a, b) => a.arrives - b.arrives || a.order - b.order)
      for (const { arrives, reading } of arrived) yield { kind: 'reading', arrives, reading }
      if (!readingsOnly) yield { kind: 'truth', line: stateLine(scenario, near, after) }
    }
  }

  return {
    now: () => state.at,
    until,
    pace(step, every) {
      stepMs = step
      everyOf = (sensor) => every(sensor.id)
      for (const { model, sensor } of sensors) sensor.pace(everyOf(model), state.at)
    },
    skipTo(at) {
      state = { ...state, at }
      for (const { model, sensor } of sensors) sensor.pace(everyOf(model), at)
    },
  }
}

interface Timed {
  readonly from: Instant
  readonly to: Instant
  readonly event: ScenarioEvent
}

const holdsAt = (at: Instant) => (one: Timed) => one.from <= at && at < one.to

const calm: Conditions = { powered: true, open: new Set(), stuck: new Map(), colder: new Map() }

function conditionsAt(timed: readonly Timed[], at: Instant): Conditions {
  if (timed.length === 0) return calm
  const open = new Set<PlaceId>()
  const stuck = new Map<PlaceId, boolean>()
  const colder = new Map<PlaceId, number>()
  let powered = true
  for (const one of timed) {
    if (!holdsAt(at)(one)) continue
    const { event } = one
    if (event.kind === 'powerCut') powered = false
    if (event.kind === 'doorOpen') open.add(event.place)
    if (event.kind === 'thermostatStuck') stuck.set(event.place, event.running)
    if (event.kind === 'coldSpell') {
      // comes and goes as a sine squared, so that a room never jumps
      const depth = event.by * Math.sin((Math.PI * (at - one.from)) / (one.to - one.from)) ** 2
      colder.set(event.place, (colder.get(event.place) ?? 0) + depth)
    }
  }
  return { powered, open, stuck, colder }
}

/** Between the ends of a step temperatures and humidity are taken as straight lines; contacts are exact. */
function surroundings(
  timed: readonly Timed[],
  before: WorldState,
  after: WorldState,
  place: number,
  id: PlaceId,
  at: Instant,
  adjust: Adjust | undefined,
): Surroundings {
  const share = (at - before.at) / (after.at - before.at)
  const between = (values: 'celsius' | 'humidity'): number => {
    const from = before[values][place] ?? 0
    return from + ((after[values][place] ?? 0) - from) * share
  }
  const { open, powered } = conditionsAt(timed, at)
  const degrees = between('celsius')
  return {
    celsius: adjust?.(id, at, degrees) ?? degrees,
    humidity: between('humidity'),
    open: open.has(id),
    powered,
  }
}

function faultLine({ event, from, to }: Timed): TruthLine {
  const amount =
    'by' in event ? event.by : 'perDay' in event ? event.perDay : 'to' in event ? event.to : undefined
  const fault =
    event.kind === 'thermostatStuck'
      ? event.running
        ? 'thermostatStuckOn'
        : 'thermostatStuckOff'
      : event.kind
  return {
    kind: 'fault',
    fault,
    ...('sensor' in event ? { sensor: event.sensor } : {}),
    ...('place' in event ? { place: event.place } : {}),
    from: new Date(from).toISOString(),
    to: new Date(to).toISOString(),
    ...(amount === undefined ? {} : { amount }),
  }
}

function stateLine({ places }: Scenario, timed: readonly Timed[], state: WorldState): TruthLine {
  const { powered, open } = conditionsAt(timed, state.at)
  const column = (values: readonly number[], digits: number) =>
    Object.fromEntries(places.map(({ id }, i) => [id, Number((values[i] ?? 0).toFixed(digits))])) as Record<
      PlaceId,
      number
    >
  return {
    kind: 'state',
    at: new Date(state.at).toISOString(),
    power: powered,
    open: [...open].sort(),
    running: places.flatMap(({ id }, i) => (state.running[i] === true ? [id] : [])),
    celsius: column(state.celsius, 4),
    humidity: column(state.humidity, 2),
  }
}

/** Milliseconds that the zone's clock is ahead of UTC at an instant. */
function zoneOffset(at: Instant, timeZone: string): number {
  const { year, month, day, hour, minute, second } = localParts(at, timeZone)
  return Date.UTC(year, month - 1, day, hour, minute, second) - Math.floor(at / 1000) * 1000
}

import type { PlaceId } from '../../schemas/ids.ts'
import type { PlaceModel } from '../../schemas/scenario.ts'
import { celsius, later } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { nextNoise } from './drifting-noise.ts'
import { nextVapour, relativeHumidity, vapourAtStart } from './moisture.ts'
import type { Random } from './random.ts'
import { thermalStep, type Link, type ThermalStep } from './thermal-network.ts'

/** Everything that the next step needs to know; lists follow the order of the places. */
export interface WorldState {
  readonly at: Instant
  /** °C of the air, or of the one lump, of each place. */
  readonly celsius: readonly number[]
  /** °C of the liner of each fridge; the place's own elsewhere. */
  readonly liner: readonly number[]
  /** %RH over water. */
  readonly humidity: readonly number[]
  /** kPa. */
  readonly vapour: readonly number[]
  /** Whether the compressor or heater runs. */
  readonly running: readonly boolean[]
  /** K of weather in rooms, %RH of wetness elsewhere. */
  readonly noise: readonly number[]
}

/** What holds throughout one step. */
export interface Conditions {
  readonly powered: boolean
  readonly open: ReadonlySet<PlaceId>
  /** Thermostats that no longer switch, and whether they are on. */
  readonly stuck: ReadonlyMap<PlaceId, boolean>
  /** Rooms colder than their mean by this many kelvin. */
  readonly colder: ReadonlyMap<PlaceId, number>
}

export interface World {
  readonly start: WorldState
  /** The state `stepMs` later. Thermostats switch at the start of a step, so a step is as long as they may be late. */
  step(state: WorldState, stepMs: number, conditions: Conditions, random: Random): WorldState
}

/** `zoneOffset`: milliseconds that the places' clock is ahead of UTC; the daily swing follows it. */
export function createWorld(places: readonly PlaceModel[], at: Instant, zoneOffset: number): World {
  const layout = layOut(places)
  const steps = new Map<string, ThermalStep>()

  const solved = (stepMs: number, open: ReadonlySet<PlaceId>): ThermalStep => {
    const key = `${stepMs} ${[...open].sort().join(' ')}`
    const known = steps.get(key)
    if (known !== undefined) return known
    if (steps.size >= MOST_STEPS) steps.clear()
    const made = thermalStep({ ...layout, links: linksOf(places, layout, open) }, stepMs / 1000)
    steps.set(key, made)
    return made
  }

  return {
    start: startOf(places, layout, at, zoneOffset),
    step(state, stepMs, conditions, random) {
      const to = later(state.at, stepMs)
      const noise = places.map((place, i) => nextNoise(state.noise[i] ?? 0, noiseOf(place), stepMs, random))
      const running = places.map((place, i) =>
        isRunning(
          place,
          state.celsius[i] ?? 0,
          state.running[i] ?? false,
          hourOf(state.at, zoneOffset),
          conditions,
        ),
      )
      const rooms = layout.rooms.map((i) =>
        roomCelsius(places[i], to, zoneOffset, noise[i] ?? 0, conditions.colder),
      )
      const nodes = solved(stepMs, conditions.open)(
        layout.holder.map((i, node) => (layout.isLiner[node] ? state.liner[i] : state.celsius[i]) ?? 0),
        rooms,
        layout.holder.map((i, node) =>
          wattsInto(places[i], layout.isLiner[node] === true, running[i] === true),
        ),
      )
      const temperatures = placed(places, layout, nodes, rooms)
      const vapour = nextVapour(
        places,
        layout.parentOf,
        { ...temperatures, noise, vapour: state.vapour },
        stepMs,
        conditions.open,
      )
      const humidity = vapour.map((kPa, i) => relativeHumidity(kPa, temperatures.celsius[i] ?? 0))
      return { at: to, ...temperatures, humidity, vapour, running, noise }
    },
  }
}

/** Different sets of open doors whose solution is kept: a matrix of 120 nodes is 100 kB (X3). */
const MOST_STEPS = 64

interface Layout {
  readonly capacities: readonly number[]
  readonly fixed: number
  /** Place of each node with a capacity, and whether the node is its liner. */
  readonly holder: readonly number[]
  readonly isLiner: readonly boolean[]
  /** Places that are rooms, in the order of the fixed nodes. */
  readonly rooms: readonly number[]
  /** Node of each place's air or lump, and of its liner. */
  readonly nodeOf: readonly number[]
  readonly linerOf: readonly number[]
  readonly parentOf: readonly number[]
}

function layOut(places: readonly PlaceModel[]): Layout {
  const capacities: number[] = []
  const holder: number[] = []
  const isLiner: boolean[] = []
  const add = (place: number, capacity: number, liner: boolean): number => {
    holder.push(place)
    isLiner.push(liner)
    return capacities.push(capacity) - 1
  }
  const nodeOf = places.map((place, i) => {
    if (place.kind === 'room') return -1
    return add(i, place.kind === 'fridge' ? place.airCapacity : place.capacity, false)
  })
  const linerOf = places.map((place, i) => (place.kind === 'fridge' ? add(i, place.linerCapacity, true) : -1))
  const rooms = places.flatMap((place, i) => (place.kind === 'room' ? [i] : []))
  rooms.forEach((place, i) => (nodeOf[place] = capacities.length + i))
  const indexOf = new Map(places.map((place, i) => [place.id, i]))
  const parentOf = places.map((place) => (place.kind === 'room' ? -1 : (indexOf.get(place.parent) ?? -1)))
  return { capacities, fixed: rooms.length, holder, isLiner, rooms, nodeOf, linerOf, parentOf }
}

function linksOf(places: readonly PlaceModel[], layout: Layout, open: ReadonlySet<PlaceId>): Link[] {
  return places.flatMap((place, i): Link[] => {
    if (place.kind === 'room') return []
    const own = layout.nodeOf[i] ?? 0
    const parent = layout.nodeOf[layout.parentOf[i] ?? 0] ?? 0
    const door: Link[] =
      open.has(place.id) && place.kind !== 'box'
        ? [{ between: [own, parent], conductance: place.openDoor }]
        : []
    if (place.kind !== 'fridge') return [{ between: [own, parent], conductance: place.conductance }, ...door]
    const liner = layout.linerOf[i] ?? 0
    return [
      { between: [own, liner], conductance: place.plate },
      { between: [liner, parent], conductance: place.walls },
      ...door,
    ]
  })
}

function isRunning(
  place: PlaceModel,
  degrees: number,
  before: boolean,
  hour: number,
  { powered, stuck }: Conditions,
): boolean {
  if (!powered || place.kind === 'room' || place.kind === 'box') return false
  if (place.kind !== 'fridge' && place.heater === undefined) return false
  const forced = stuck.get(place.id)
  if (forced !== undefined) return forced
  if (place.kind === 'fridge') {
    const over = degrees - place.setPoint
    return over >= place.hysteresis / 2 || (before && over > -place.hysteresis / 2)
  }
  const heater = place.heater
  if (heater === undefined) return false
  const isNight = hour >= 20 || hour < 8
  const under = (isNight ? (heater.nightSetPoint ?? heater.setPoint) : heater.setPoint) - degrees
  return under >= heater.hysteresis / 2 || (before && under > -heater.hysteresis / 2)
}

function wattsInto(place: PlaceModel | undefined, liner: boolean, running: boolean): number {
  if (!running || place === undefined) return 0
  if (place.kind === 'fridge') return liner ? -place.cooling : 0
  return place.kind === 'room' || place.kind === 'box' ? 0 : (place.heater?.watts ?? 0)
}

function roomCelsius(
  place: PlaceModel | undefined,
  at: Instant,
  zoneOffset: number,
  weather: number,
  colder: ReadonlyMap<PlaceId, number>,
): number {
  if (place?.kind !== 'room') return 0
  const turn = (hourOf(at, zoneOffset) - place.warmestAt) / 24
  return place.mean + place.swing * Math.cos(2 * Math.PI * turn) + weather - (colder.get(place.id) ?? 0)
}

const hourOf = (at: Instant, zoneOffset: number): number => ((at + zoneOffset) / 3_600_000) % 24

/** How wet a substrate is wanders by 1.5 %RH within half a day (plausible, no source). */
const wetness = { sd: 1.5, memory: 12 * 3_600_000 }

const noiseOf = (place: PlaceModel) => (place.kind === 'room' ? place.weather : wetness)

function placed(
  places: readonly PlaceModel[],
  layout: Layout,
  nodes: readonly number[],
  rooms: readonly number[],
) {
  const all = [...nodes, ...rooms]
  const degrees = places.map((_, i) => all[layout.nodeOf[i] ?? 0] ?? 0)
  return {
    celsius: degrees,
    liner: places.map(
      (place, i) => (place.kind === 'fridge' ? all[layout.linerOf[i] ?? 0] : degrees[i]) ?? 0,
    ),
  }
}

function startOf(places: readonly PlaceModel[], layout: Layout, at: Instant, zoneOffset: number): WorldState {
  const degreesOf = (i: number): number => {
    const place = places[i]
    if (place === undefined) return 0
    if (place.kind === 'room') return roomCelsius(place, at, zoneOffset, 0, new Map())
    if (place.startsAt !== undefined) return place.startsAt
    if (place.kind === 'fridge') return place.setPoint
    const heater = place.kind === 'box' ? undefined : place.heater
    return heater?.setPoint ?? degreesOf(layout.parentOf[i] ?? -1)
  }
  const degrees = places.map((_, i) => celsius(degreesOf(i)))
  const vapour = vapourAtStart(places, layout.parentOf, degrees)
  return {
    at,
    celsius: degrees,
    liner: degrees,
    humidity: vapour.map((kPa, i) => relativeHumidity(kPa, degrees[i] ?? 0)),
    vapour,
    running: places.map(() => false),
    noise: places.map(() => 0),
  }
}

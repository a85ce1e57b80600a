import { days, later, millis } from '../../schemas/amounts.ts'
import type { PlaceAir } from '../../schemas/air.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Celsius, Instant } from '../../schemas/units.ts'
import { airPair, type AirPair } from '../../shared/air/air-sensor.ts'
import {
  type AirChannel,
  noWetting,
  startAirWalk,
  walkAirReading,
  walkAirTo,
} from '../../shared/air/air-walk.ts'
import { addDrying, meanDeficit } from '../../shared/air/evaporation.ts'
import { behindOneDoor, doorOf } from '../../shared/air/one-door.ts'
import { vapourPressureDeficit } from '../../shared/air/psychrometrics.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Store, Summary } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import { calibratedHistory, type History } from './calibrated-history.ts'
import type { House } from './house.ts'
import type { Pause } from './place-cost.ts'
import { say } from '../../shared/words/say.ts'

/** The past as it is to be shown: by the calibration of each reading's own time. */
type Past = Pick<History, 'readings' | 'summaries'>

export interface AirAsked {
  readonly place: PlaceId
  readonly from: Instant
  readonly to: Instant
  /** Null where nothing tells both temperature and humidity. */
  readonly pair: AirPair<Sensor> | null
  /** The other thermometers that share this air. */
  readonly surfaces: readonly Sensor[]
}

/** A month of moist air is what people look at, and what one weigh-in lies from the next (X3). */
const longestStretch = days(31)
/** More thermometers than any fridge holds; each makes every reading's turn longer (X3). */
const mostSurfaces = 16
const hourMs = 3_600_000
const dayMs = 24 * hourMs

/** What is told of the air of one place. */
export function drawAir(world: {
  readonly house: House
  readonly store: Store
  readonly clock: Clock
  readonly pause: Pause
}): Pick<Desk, 'air'> {
  const { house, store, clock } = world
  const history = calibratedHistory(store, (sensor) => {
    const { layout } = house.state()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })

  /** Sensors of one place that were ever heard with this quantity. */
  function heard(place: string, quantity: Quantity): Sensor[] {
    const { layout } = house.state()
    return (layout.places.find((one) => one.place.id === place)?.sensors ?? []).flatMap((s) => {
      const spec = layout.sensors[s]
      return spec === undefined || store.span(spec.id, quantity) === null ? [] : [spec]
    })
  }

  function pairAt(place: string): AirPair<Sensor> | null {
    const [damp, warm] = [heard(place, 'humidity'), heard(place, 'temperature')]
    const candidates = [...new Set([...damp, ...warm])].map((spec) => ({
      spec,
      spot: spec.spot,
      hasHumidity: damp.includes(spec),
      hasTemperature: warm.includes(spec),
    }))
    const pair = airPair(candidates)
    return pair && { humidity: pair.humidity.spec, temperature: pair.temperature.spec }
  }

  return {
    async air(place, from, asked) {
      const { layout } = house.state()
      if (!layout.placeIndex.has(place))
        return { ok: false, error: 'noSuchPlace', sentence: say('There is no place {place}.', { place }) }
      house.catchUp()
      const to = Math.min(asked, clock.now()) as Instant
      if (from >= to || to - from > longestStretch)
        return {
          ok: false,
          error: 'badStretch',
          sentence: say('The stretch must lie in the past, end after it begins and be at most 31 days long.'),
        }
      const places = layout.places.map((one) => one.place)
      const home = doorOf(place, places)?.id ?? place
      const inside = [...behindOneDoor(place, places)].flatMap((one) => heard(one, 'temperature'))
      const airBy = (pair: AirPair<Sensor> | null): Promise<PlaceAir> => {
        const surfaces = inside.filter((spec) => spec.id !== pair?.temperature.id).slice(0, mostSurfaces)
        return airOfPlace(history, house.zonesOf, { place, from, to, pair, surfaces }, world.pause)
      }
      const [own, around] = [pairAt(place), home === place ? null : pairAt(home)]
      const value = await airBy(own ?? around)
      // Its own may have been taken out long ago; the air around it is the next best.
      if (value.known === 0 && own !== null && around !== null)
        return { ok: true, value: await airBy(around) }
      return { ok: true, value }
    },
  }
}

interface Channel {
  readonly name: AirChannel
  readonly spec: Sensor
  readonly quantity: Quantity
}

interface Heard {
  readonly name: AirChannel
  readonly at: Instant
  readonly value: number
  readonly holds: number
}

/**
 * The air through a stretch, read from the store a day at a time with `pause` between, so that the judging of what comes meanwhile
 * waits for no month. Of hours whose single readings were thinned the means are taken: their deficit is near, not exact, for it
 * bends with the temperature; whether a surface was wet in them is unknown.
 */
export async function airOfPlace(
  store: Past,
  zonesOf: ZonesOf,
  { place, from, to, pair, surfaces }: AirAsked,
  pause: Pause,
): Promise<PlaceAir> {
  if (pair === null) {
    const nothing = { humidity: null, temperature: null, known: millis(0), unknown: millis(to - from) }
    return { place, from, to, ...nothing, fromHours: millis(0), meanDeficit: null, drying: 0, wetting: null }
  }
  const channels: readonly Channel[] = [
    { name: 'celsius', spec: pair.temperature, quantity: 'temperature' },
    { name: 'percent', spec: pair.humidity, quantity: 'humidity' },
    ...surfaces.map((spec, i): Channel => ({ name: i, spec, quantity: 'temperature' })),
  ]
  let walk = startAirWalk(from, surfaces.length)
  for (const channel of channels) {
    const holds = silentAfter(channel.spec)
    const before = heardIn(channel, later(from, -holds), from).at(-1)
    if (before !== undefined)
      walk = walkAirReading(walk, channel.name, from, before.value, holds - (from - before.at))
  }
  let fromHours = 0
  for (let day = from; day < to; day = later(day, dayMs)) {
    if (day > from) await pause()
    const end = Math.min(to, day + dayMs) as Instant
    const hours = hoursOf(day, end)
    const summaries = channels.map(({ spec, quantity }) => store.summaries(spec.id, quantity, hours, zonesOf))
    const heard = channels
      .flatMap((channel) => heardIn(channel, day, end))
      .sort((one, other) => one.at - other.at)
    let next = 0
    hours.forEach((hour, i) => {
      const first = next
      while (next < heard.length && (heard[next]?.at ?? 0) < hour.to) next++
      const inHour = heard.slice(first, next)
      const isThinned = channels.some(
        ({ name }, c) =>
          (summaries[c]?.[i]?.readings ?? 0) > inHour.reduce((n, one) => (one.name === name ? n + 1 : n), 0),
      )
      if (!isThinned) {
        for (const { name, at, value, holds } of inHour) walk = walkAirReading(walk, name, at, value, holds)
        walk = walkAirTo(walk, hour.to)
        return
      }
      const lasted = hour.to - hour.from
      const { known, deficit } = ofMeans(summaries[0]?.[i], summaries[1]?.[i], lasted)
      fromHours += known
      const drying = addDrying(addDrying(walk.drying, deficit, millis(known)), null, millis(lasted - known))
      const wetting = { ...walk.wetting, unknown: walk.wetting.unknown + lasted }
      // The last values of a thinned hour are not known here: after it time is unknown until the next ones.
      walk = { ...startAirWalk(hour.to, surfaces.length), drying, wetting }
    })
  }
  const { drying, wetting } = walk
  return {
    place,
    from,
    to,
    humidity: pair.humidity.id,
    temperature: pair.temperature.id,
    known: whole(drying.known),
    unknown: whole(drying.unknown),
    fromHours: whole(fromHours),
    meanDeficit: meanDeficit(drying),
    drying: drying.sum / hourMs,
    wetting:
      surfaces.length === 0
        ? null
        : {
            ...noWetting,
            wet: whole(wetting.wet),
            near: whole(wetting.near),
            dry: whole(wetting.dry),
            unknown: whole(wetting.unknown),
          },
  }

  function heardIn({ name, spec, quantity }: Channel, begin: Instant, end: Instant): Heard[] {
    const holds = silentAfter(spec)
    return store
      .readings(spec.id, quantity, begin, end)
      .filter(({ quality }) => quality === 'good')
      .map(({ at, value }) => ({ name, at, value, holds }))
  }
}

/** The deficit of an hour by its mean temperature and humidity, and for how much of it both are known. */
function ofMeans(warm: Summary | undefined, damp: Summary | undefined, lasted: number) {
  const [celsius, percent] = [warm?.mean ?? null, damp?.mean ?? null]
  if (warm === undefined || damp === undefined || celsius === null || percent === null)
    return { known: 0, deficit: null }
  const known = Math.max(0, lasted - Math.max(warm.zones.unknown, damp.zones.unknown))
  return { known, deficit: vapourPressureDeficit(celsius as Celsius, percent) }
}

/** Cut at whole hours UTC, as the store keeps them. */
export function hoursOf(from: Instant, to: Instant): { readonly from: Instant; readonly to: Instant }[] {
  const hours = []
  for (let at = from; at < to; ) {
    const next = Math.min(to, (Math.floor(at / hourMs) + 1) * hourMs) as Instant
    hours.push({ from: at, to: next })
    at = next
  }
  return hours
}

const whole = (ms: number) => millis(Math.round(ms))

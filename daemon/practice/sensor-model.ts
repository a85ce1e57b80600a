import type { Quantity } from '../../schemas/quantity.ts'
import type { Reading } from '../../schemas/reading.ts'
import type { SensorFault, SensorModel } from '../../schemas/scenario.ts'
import { instant, later } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Random } from './random.ts'

/** What is really so round a sensor at an instant. */
export interface Surroundings {
  readonly celsius: number
  readonly humidity: number
  readonly open: boolean
  readonly powered: boolean
}

/** A reading as it was stamped by the sensor, and when it gets to us. */
export interface Sent {
  readonly arrives: Instant
  readonly reading: Reading
}

/** A fault with the instants between which it holds; `to` is left out. */
export interface TimedFault {
  readonly from: Instant
  readonly to: Instant
  readonly event: SensorFault
}

export interface SimulatedSensor {
  /** Everything sampled after the last call and up to `to` (included), in order of sampling. */
  until(to: Instant, around: (at: Instant) => Surroundings): Sent[]
  /** From `at` on, sample at this interval. */
  pace(every: Millis, at: Instant): void
}

/** `changes`: instants at which a contact in this place switches, ascending; a contact tells at once. */
export function simulateSensor(
  model: SensorModel,
  faults: readonly TimedFault[],
  start: Instant,
  changes: readonly Instant[],
  random: Random,
): SimulatedSensor {
  const isContact = model.measures.includes('door') || model.measures.includes('power')
  const last = new Map<Quantity, number>()
  const spiked = new Set<TimedFault>()
  let every: number = model.every
  let slot = start + Math.floor(random.uniform() * every)
  let due = instant(slot)
  let nextChange = 0
  let sampledAt = start - 1

  const at = (when: Instant, around: Surroundings): Sent[] => {
    const active = faults.filter((fault) => fault.from <= when && when < fault.to)
    const has = (kind: SensorFault['kind']) => active.find((fault) => fault.event.kind === kind)
    if (has('silent') || (model.mains && !around.powered)) return []
    const ahead = active.reduce((sum, { event }) => sum + (event.kind === 'clockAhead' ? event.by : 0), 0)
    const held = has('late')
    const sent = model.measures.map((quantity): Sent => {
      const fresh = measured(model, quantity, around, when, start, random)
      const value = has('stuck')
        ? (last.get(quantity) ?? fresh)
        : faulty(quantity, fresh, active, when, spiked, model)
      if (!has('stuck') || !last.has(quantity)) last.set(quantity, value)
      return {
        arrives: held ? held.to : when,
        reading: { sensor: model.id, quantity, at: later(when, ahead), value },
      }
    })
    for (const fault of active) if (fault.event.kind === 'spike') spiked.add(fault)
    return has('duplicates') ? [...sent, ...sent] : sent
  }

  return {
    until(to, around) {
      const out: Sent[] = []
      for (;;) {
        const change = isContact ? changes[nextChange] : undefined
        const when = change !== undefined && change < due ? change : due
        if (when > to) return out
        if (when === change) nextChange++
        if (when === due) {
          slot += every
          due = instant(Math.round(slot + model.jitter * (2 * random.uniform() - 1)))
        }
        if (when <= sampledAt) continue
        sampledAt = when
        out.push(...at(when, around(when)))
      }
    },
    pace(interval, from) {
      every = interval
      slot = from + Math.ceil(random.uniform() * interval)
      due = instant(slot)
      while ((changes[nextChange] ?? Infinity) < from) nextChange++
    },
  }
}

/** What a faultless sensor of this make shows. */
function measured(
  model: SensorModel,
  quantity: Quantity,
  around: Surroundings,
  at: Instant,
  start: Instant,
  random: Random,
): number {
  switch (quantity) {
    case 'temperature':
      return rounded(around.celsius + model.offset + model.noise * random.normal(), temperatureStep(model))
    case 'humidity': {
      const shown = around.humidity + model.humidityOffset + model.humidityNoise * random.normal()
      return rounded(Math.min(100, Math.max(0, shown)), model.type === 'dht22' ? 0.1 : 0.01)
    }
    case 'battery':
      return rounded(batteryPercent(model, start, at), 1)
    case 'voltage':
      return rounded(2 + batteryPercent(model, start, at) / 100, 0.01) // two alkaline cells: 3 V full, 2 V empty
    case 'door':
      return around.open ? 1 : 0
    case 'power':
      return around.powered ? 1 : 0
    default:
      return quantity satisfies never
  }
}

function faulty(
  quantity: Quantity,
  fresh: number,
  active: readonly TimedFault[],
  at: Instant,
  spiked: ReadonlySet<TimedFault>,
  model: SensorModel,
): number {
  let value = fresh
  for (const fault of active) {
    const { event } = fault
    if (event.kind === 'batteryLow') {
      if (quantity === 'battery') value = rounded(Math.min(value, event.to), 1)
      if (quantity === 'voltage') value = Math.min(value, rounded(2 + event.to / 100, 0.01))
    }
    if (quantity !== 'temperature') continue
    if (event.kind === 'spike' && !spiked.has(fault))
      value = rounded(value + event.by, temperatureStep(model))
    if (event.kind === 'drift') {
      value = rounded(value + (event.perDay * (at - fault.from)) / 86_400_000, temperatureStep(model))
    }
    if (event.kind === 'powerOn') value = 85
    if (event.kind === 'busOpen') value = -127
  }
  return value
}

const batteryPercent = ({ battery }: SensorModel, start: Instant, at: Instant): number =>
  Math.max(0, battery.start - (battery.perDay * (at - start)) / 86_400_000)

/** Data sheets: DS18B20 at 12 bit 0.0625 °C, DHT22 0.1 °C; the finer codes of the others are cut at 0.01. */
function temperatureStep({ resolution, type }: SensorModel): number {
  return resolution ?? (type === 'ds18b20' ? 0.0625 : type === 'dht22' ? 0.1 : 0.01)
}

const rounded = (value: number, step: number): number =>
  Number((Math.round(value / step) * step).toFixed(4)) + 0

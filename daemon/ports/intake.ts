import type { SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Found, Refusal } from '../../schemas/source.ts'
import type { Instant } from '../../schemas/units.ts'
import type { OnPacket, Settle } from './broker.ts'

/** One value from a claimed sensor; `at` is null when the message carried no time of its own. */
export interface Heard {
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly value: number
  readonly at: Instant | null
}

/** A packet after claiming and decoding: what it held for our sensors, what else was found, or why it was refused. */
export interface Arrival {
  readonly topic: string
  readonly payload: Uint8Array
  readonly retained: boolean
  readonly qos: 0 | 1 | 2
  readonly client?: string | undefined
  readonly claimedBy: readonly SensorId[]
  readonly heard: readonly Heard[]
  readonly found: readonly Found[]
  readonly refusal: Refusal | null
}

export type Intake = (arrival: Arrival, settle: Settle) => void

/** Turns packets into arrivals. Told anew whenever the claims change. */
export interface Listener {
  useSensors(sensors: readonly Sensor[]): void
  readonly onPacket: OnPacket
}

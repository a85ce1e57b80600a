import type { Quantity } from '../../../schemas/quantity.ts'

/** An object that a sensor here may send: its bytes are little-endian and its value is divided by `divisor`. */
export interface BthomeObject {
  readonly quantity: Quantity
  readonly bytes: 1 | 2
  readonly isSigned?: true
  readonly factor?: number
  readonly divisor: number
}

/** bthome.io/format, tables "Sensor data" and "Binary Sensor data". A window's contact guards a door as well. */
export const measured: ReadonlyMap<number, BthomeObject> = new Map<number, BthomeObject>([
  [0x01, { quantity: 'battery', bytes: 1, divisor: 1 }],
  [0x02, { quantity: 'temperature', bytes: 2, isSigned: true, divisor: 100 }],
  [0x03, { quantity: 'humidity', bytes: 2, divisor: 100 }],
  [0x0c, { quantity: 'voltage', bytes: 2, divisor: 1000 }],
  [0x10, { quantity: 'power', bytes: 1, divisor: 1 }],
  [0x11, { quantity: 'door', bytes: 1, divisor: 1 }], // opening
  [0x1a, { quantity: 'door', bytes: 1, divisor: 1 }],
  [0x1b, { quantity: 'door', bytes: 1, divisor: 1 }], // garage door
  [0x2d, { quantity: 'door', bytes: 1, divisor: 1 }], // window
  [0x2e, { quantity: 'humidity', bytes: 1, divisor: 1 }],
  [0x45, { quantity: 'temperature', bytes: 2, isSigned: true, divisor: 10 }],
  [0x4a, { quantity: 'voltage', bytes: 2, divisor: 10 }],
  [0x57, { quantity: 'temperature', bytes: 1, isSigned: true, divisor: 1 }],
  [0x58, { quantity: 'temperature', bytes: 1, isSigned: true, factor: 35, divisor: 100 }],
])

/**
 * How many bytes follow each published object id that is of no interest here, so that it can be stepped over;
 * `counted`: the next byte says how many. bthome.io/format; 0x61 to 0x63 from public test payloads.
 */
export const lengthOf = (id: number): number | 'counted' | undefined => lengths.get(id)

const lengths: ReadonlyMap<number, number | 'counted'> = new Map<number, number | 'counted'>([
  // packet id, small counts, the on/off sensors 0x15 to 0x2d, moisture, button, UV index
  ...ids(1, 0x00, 0x09, 0x0f, 0x2f, 0x3a, 0x46, 0x59),
  ...ids(1, ...Array.from({ length: 0x2d - 0x15 + 1 }, (_, i) => 0x15 + i)),
  // mass, dew point, particles, CO2, TVOC, moisture, dimmer, count, rotation, distance, current, speed, volume, …
  ...ids(2, 0x06, 0x07, 0x08, 0x0d, 0x0e, 0x12, 0x13, 0x14, 0x3c, 0x3d, 0x3f, 0x40, 0x41, 0x43, 0x44),
  ...ids(2, 0x47, 0x48, 0x49, 0x51, 0x52, 0x56, 0x5a, 0x5d, 0x5e, 0x5f, 0x61, 0xf0),
  // pressure, illuminance, energy, power in watt, duration, gas, firmware
  ...ids(3, 0x04, 0x05, 0x0a, 0x0b, 0x42, 0x4b, 0xf2),
  // count, gas, energy, volume, water, timestamp, storage, signed count and power, speed, acceleration, firmware
  ...ids(4, 0x3e, 0x4c, 0x4d, 0x4e, 0x4f, 0x50, 0x55, 0x5b, 0x5c, 0x62, 0x63, 0xf1),
  // text and raw
  ...ids('counted', 0x53, 0x54),
])

function ids(length: number | 'counted', ...of: readonly number[]): [number, number | 'counted'][] {
  return of.map((id) => [id, length])
}

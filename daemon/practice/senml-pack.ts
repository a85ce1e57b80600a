import type { Quantity } from '../../schemas/quantity.ts'
import type { Reading } from '../../schemas/reading.ts'

/** One device's readings as SenML JSON (RFC 8428 §5), each with its own time, oldest first. At least one reading. */
export function senmlPack(readings: readonly Reading[]): string {
  const sorted = readings.toSorted((a, b) => a.at - b.at)
  const [first] = sorted
  if (first === undefined) throw new Error('a SenML pack needs a reading')
  const records = sorted.map((reading, i) => ({
    ...(i === 0 ? { bn: `${reading.sensor}:`, bt: reading.at / 1000 } : {}),
    ...(reading.at === first.at ? {} : { t: (reading.at - first.at) / 1000 }),
    n: reading.quantity,
    ...valueOf(reading),
  }))
  return JSON.stringify(records)
}

function valueOf({ quantity, value }: Reading): object {
  const unit = units[quantity]
  return unit === null ? { vb: value === 1 } : { u: unit, v: value }
}

/** IANA registry "SenML Units"; states are booleans and have none. */
const units: Readonly<Record<Quantity, string | null>> = {
  temperature: 'Cel',
  humidity: '%RH',
  battery: '%EL',
  voltage: 'V',
  door: null,
  power: null,
}

import type { Reading } from '../../schemas/reading.ts'
import { senmlTime, valueLabels } from '../../shared/upstream/senml-records.ts'

/** One device's readings as SenML JSON (RFC 8428 §5), each with its own time, oldest first. At least one reading. */
export function senmlPack(readings: readonly Reading[]): string {
  const sorted = readings.toSorted((a, b) => a.at - b.at)
  const [first] = sorted
  if (first === undefined) throw new Error('a SenML pack needs a reading')
  const records = sorted.map((reading, i) => ({
    ...(i === 0 ? { bn: `${reading.sensor}:`, bt: senmlTime(reading.at) } : {}),
    ...(reading.at === first.at ? {} : { t: senmlTime(reading.at - first.at) }),
    n: reading.quantity,
    ...valueLabels(reading.quantity, reading.value),
  }))
  return JSON.stringify(records)
}

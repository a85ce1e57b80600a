import { parse } from 'csv-parse/sync'
import { SensorId, slugOf } from '../../schemas/ids.ts'
import { Quantity } from '../../schemas/quantity.ts'
import type { Reading } from '../../schemas/reading.ts'
import type { Instant } from '../../schemas/units.ts'

export interface CsvMistake {
  readonly line: number
  readonly message: string
}

/** Mistakes listed before giving up on a file: more would hide the first. */
const mostMistakes = 20

/**
 * Readings from CSV text (RFC 4180) with the header `at,sensor,quantity,value`, in order of arrival. `at` is ISO 8601
 * with an offset or `Z`, or Unix seconds. Columns may stand in any order.
 */
export function readingsFromCsv(text: string): {
  readonly readings: readonly Reading[]
  readonly mistakes: readonly CsvMistake[]
} {
  const readings: Reading[] = []
  const mistakes: CsvMistake[] = []
  let rows: { record: Record<string, string>; info: { lines: number } }[]
  try {
    rows = parse(text, { columns: header, info: true, bom: true, skip_empty_lines: true, trim: true })
  } catch (error) {
    return {
      readings,
      mistakes: [{ line: lineIn(error), message: error instanceof Error ? error.message : String(error) }],
    }
  }
  const sensors = new Map<string, SensorId>()
  for (const { record, info } of rows) {
    const at = instantOf(record.at ?? '')
    const quantity = Quantity.safeParse(record.quantity)
    const value = record.value === undefined || record.value === '' ? Number.NaN : Number(record.value)
    const problems = [
      ...(at === null ? [`"${record.at ?? ''}" is not ISO 8601 with an offset nor Unix seconds`] : []),
      ...(quantity.success
        ? []
        : [`"${record.quantity ?? ''}" is not a quantity (${Quantity.options.join(', ')})`]),
      ...(Number.isFinite(value) ? [] : [`"${record.value ?? ''}" is not a number`]),
      ...((record.sensor ?? '') === '' ? ['the sensor is missing'] : []),
    ]
    if (at !== null && quantity.success && problems.length === 0)
      readings.push({ at, sensor: sensorIn(sensors, record.sensor ?? ''), quantity: quantity.data, value })
    else if (mistakes.push({ line: info.lines, message: problems.join('; ') }) >= mostMistakes) break
  }
  return { readings, mistakes }
}

function header(found: string[]): string[] {
  const missing = ['at', 'sensor', 'quantity', 'value'].filter((name) => !found.includes(name))
  if (missing.length > 0)
    throw new Error(`the header must name at, sensor, quantity and value; missing: ${missing.join(', ')}`)
  return found
}

function sensorIn(known: Map<string, SensorId>, name: string): SensorId {
  const found = known.get(name)
  if (found !== undefined) return found
  const parsed = SensorId.safeParse(name)
  const id = parsed.success ? parsed.data : (slugOf(name) as SensorId)
  known.set(name, id)
  return id
}

const isoWithOffset = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?(?:Z|[+-]\d{2}:?\d{2})$/i

function instantOf(text: string): Instant | null {
  const ms = /^-?\d+(?:\.\d+)?$/.test(text)
    ? Math.round(Number(text) * 1000)
    : isoWithOffset.test(text)
      ? Date.parse(text.replace(',', '.'))
      : Number.NaN
  return Number.isFinite(ms) && ms >= 0 ? (ms as Instant) : null
}

const lineIn = (error: unknown): number =>
  typeof error === 'object' && error !== null && 'lines' in error && typeof error.lines === 'number'
    ? error.lines
    : 1

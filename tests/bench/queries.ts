import { statSync } from 'node:fs'
import { join } from 'node:path'
import type { JudgedReading } from '../../daemon/ports/store.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { days, hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { toSnapshot } from '../../shared/judging/snapshot.ts'
import { startWatch, stepWatch } from '../../shared/judging/watch.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { benchHousehold } from './household.ts'
import { report } from './report.ts'

const sensors = 20
const every = seconds(30)
const unjudged = () => ({ lowCritical: 0, low: 0, inside: hours(1), high: 0, highCritical: 0, unknown: 0 })

const start = (Date.UTC(2025, 9, 1) - (Date.UTC(2025, 9, 1) % 3_600_000)) as Instant

/** Fills a database in `folder` with `total` readings of twenty sensors at 30 s, hour by hour as the daemon does. */
export function fill(folder: string, total: number): void {
  const perSensor = Math.floor(total / sensors)
  const store = sqliteStore(openDatabase(folder))
  const began = performance.now()
  const perHour = 3_600_000 / every
  for (let first = 0; first < perSensor; first += perHour) {
    const readings: JudgedReading[] = []
    for (let i = first; i < Math.min(perSensor, first + perHour); i++)
      for (let s = 0; s < sensors; s++) readings.push(readingAt(s, i, start))
    for (let k = 0; k < readings.length; k += 600)
      store.commit({ readings: readings.slice(k, k + 600), journal: [] })
    if ((first / perHour) % 24 === 23) store.fold(later(start, (first + perHour) * every), unjudged, '{}')
  }
  store.fold(later(start, perSensor * every), unjudged, '{}')
  const household = benchHousehold()
  store.commit({ readings: [], journal: [], household, snapshot: asLeft(perSensor, perHour) })
  const rate = (total / (performance.now() - began)) * 1000
  report('store: commit in groups of 600 and fold', 'readings/s', total, [rate])
  store.close()
}

/** The watch as it is after the last hour, so that a daemon can start on this store. */
function asLeft(perSensor: number, perHour: number): string {
  let state = startWatch(benchHousehold(), profileOf, later(start, (perSensor - perHour) * every))
  for (let i = perSensor - perHour; i < perSensor; i++)
    for (let s = 0; s < sensors; s++) {
      const { quality: _, ...reading } = readingAt(s, i, start)
      state = stepWatch(state, { kind: 'reading', reading, heardAt: reading.at })[0]
    }
  return toSnapshot(state)
}

/** The two questions that the dashboard asks of it, in a process that has done nothing else. */
export function ask(folder: string, total: number, rounds: number): void {
  const opened = performance.now()
  const store = sqliteStore(openDatabase(folder))
  store.resume()
  report('restart: open and resume (aim 2,000)', 'ms', total, [performance.now() - opened])
  const sensor = 'probe-7' as SensorId
  const span = Math.floor(total / sensors) * every
  const end = later(start, span)
  const long = later(end, -Math.min(days(180), span))
  const night = later(end, -days(10))
  const time = (question: () => unknown) =>
    Array.from({ length: rounds * 5 }, () => {
      const began = performance.now()
      question()
      return performance.now() - began
    })
  const winter = () => store.columns(sensor, 'temperature', long, end, 1500, minutes(10))
  const oneNight = () =>
    store.columns(sensor, 'temperature', night, later(night, hours(12)), 1500, minutes(10))
  report('query: 180 days of one sensor, the very first', 'ms', 1, time(winter).slice(0, 1))
  const columns = winter().columns.at.length
  report(`query: 180 days of one sensor to ${columns} columns, warm (aim 10)`, 'ms', rounds * 5, time(winter))
  const rows = oneNight().columns.at.length
  report(`query: one night at full resolution, ${rows} rows (aim 10)`, 'ms', rounds * 5, time(oneNight))
  report('database', 'bytes/reading', total, [statSync(join(folder, 'brumal.db')).size / total])
  report('resident memory after it (aim 150)', 'MB', 1, [process.memoryUsage.rss() / 1e6])
  store.close()
}

/** A fridge's sawtooth with a sixteenth of a kelvin of step and a second of jitter. */
function readingAt(s: number, i: number, from: Instant): JudgedReading {
  const jitter = ((i * 7919 + s * 104_729) % 2000) - 1000
  const value = 5 + Math.round((1.2 * Math.sin((i + s * 11) / 13) + ((i * 31 + s * 17) % 7) / 40) * 16) / 16
  return {
    sensor: `probe-${s}` as SensorId,
    quantity: 'temperature',
    at: later(from, i * every + 1000 + jitter),
    value,
    quality: 'good',
  }
}

import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { JudgedReading, Store } from '../../daemon/ports/store.ts'
import type { ZonesOf, ZoneTimes } from '../../daemon/ports/zones.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { SensorId } from '../../schemas/ids.ts'
import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

export const probe = SensorId.parse('probe-1')
export const otherProbe = SensorId.parse('probe-2')

/** Midnight UTC of a winter's day. */
export const midnight = instant(Date.UTC(2026, 0, 10))
export const hour = 3_600_000
export const minute = 60_000

/** `hours` (fractions allowed) after midnight. */
export const clock = (hours: number): Instant => instant(midnight + Math.round(hours * hour))

export const aReading = (at: number, value: number, more: Partial<JudgedReading> = {}): JudgedReading => ({
  sensor: probe,
  quantity: 'temperature',
  at: instant(at),
  value,
  quality: 'good',
  ...more,
})

export const batchOf = (...readings: JudgedReading[]) => ({ readings, journal: [] })

/** A folder of its own that is gone after the test. */
export function temporaryFolder(): { path: string; remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), 'store-'))
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) }
}

export function openStore(folder: string): { db: Database; store: Store } {
  const db = openDatabase(folder)
  return { db, store: sqliteStore(db) }
}

/** How long a value counts in `zonesByHand`. */
const holdMs = 30 * minute

/** Zones by the plainest means: fixed limits at −1, 2, 8 and 12; a value holds for 30 min. */
export const zonesByHand: ZonesOf = (_sensor, _quantity, { from, to }, before, good): ZoneTimes => {
  const zones = { lowCritical: 0, low: 0, inside: 0, high: 0, highCritical: 0, unknown: to - from }
  const points = before ? [before, ...good] : good
  points.forEach(([at, value], i) => {
    const start = Math.max(at, from)
    const end = Math.min(points[i + 1]?.[0] ?? to, to, at + holdMs)
    if (end <= start) return
    zones[zoneOf(value)] += end - start
    zones.unknown -= end - start
  })
  return zones
}

function zoneOf(value: number): keyof ZoneTimes {
  if (value <= -1) return 'lowCritical'
  if (value <= 2) return 'low'
  if (value >= 12) return 'highCritical'
  return value >= 8 ? 'high' : 'inside'
}

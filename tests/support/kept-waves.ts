import { join } from 'node:path'
import type { JournalLine } from '../../schemas/api.ts'
import { SensorId } from '../../schemas/ids.ts'
import { instant } from '../../schemas/amounts.ts'
import { openStore } from './store-world.ts'
import { type Made, nameOf, waveSensors } from './waves.ts'

/** Everything that a daemon which has ended left behind. */
export interface KeptWaves {
  /** Value by the reading's name. */
  readonly values: ReadonlyMap<string, number>
  /** Rows on the disk beyond one for each reading, counted both by the store and in its tables. */
  readonly doubled: number
  readonly journal: readonly JournalLine[]
  readonly integrity: unknown
}

/** Opens the folder as the next start of the daemon would. */
export function readKept(folder: string): KeptWaves {
  const { db, store } = openStore(join(folder, 'data'))
  try {
    const rows = waveSensors.flatMap((sensor) =>
      store
        .readings(SensorId.parse(sensor), 'temperature', instant(0), instant(Date.now() + 86_400_000))
        .map(({ at, value }): Made => ({ sensor, at, value })),
    )
    const values = new Map(rows.map((row) => [nameOf(row), row.value]))
    const inTables = Number(
      db.prepare('SELECT (SELECT coalesce(sum(n), 0) FROM block) + (SELECT count(*) FROM hot)').pluck().get(),
    )
    return {
      values,
      doubled: Math.max(rows.length, inTables) - values.size,
      journal: store.journal({ limit: 1_000_000 }).toReversed(),
      integrity: db.pragma('integrity_check', { simple: true }),
    }
  } finally {
    store.close()
  }
}

/** Acknowledged readings that are not kept, and readings that are kept with another value than was measured. */
export function lostOf(kept: KeptWaves, acknowledged: Iterable<string>, made: readonly Made[]) {
  const measured = new Map(made.map((one) => [nameOf(one), one.value]))
  return {
    lost: [...acknowledged].filter((name) => !kept.values.has(name)),
    changed: [...kept.values].filter(([name, value]) => measured.get(name) !== value).map(([name]) => name),
  }
}

/**
 * `1700000000000 raised highCritical place-0 10.004`, in order of time. The value stands only where the alarm has no
 * delay: a delay that runs out between readings tells the newest value that had been read by then.
 */
export function alarmsOf(journal: readonly JournalLine[]): string[] {
  return journal
    .flatMap(({ kind, at, alarmKind, limit, place, value }) => {
      if (kind !== 'raised' && kind !== 'returned') return []
      const shown = limit === 'highCritical' ? ` ${value}` : ''
      return [`${at} ${kind} ${limit ?? alarmKind} ${place ?? ''}${shown}`]
    })
    .sort()
}

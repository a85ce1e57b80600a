import type { Database } from 'better-sqlite3'
import type { SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { StorageError } from './storage-error.ts'

/** One quantity of one sensor, with the short number that its rows carry. */
export interface OneSeries {
  readonly id: number
  readonly sensor: SensorId
  readonly quantity: Quantity
}

export type SeriesRegister = ReturnType<typeof seriesRegister>

/** All series, kept in memory: a household has at most a few thousand. */
export function seriesRegister(db: Database) {
  const insert = db.prepare<[number, SensorId, Quantity]>(
    'INSERT INTO series (id, sensor, quantity) VALUES (?, ?, ?)',
  )
  const bySensor = new Map<SensorId, Map<Quantity, OneSeries>>()
  const byId = new Map<number, OneSeries>()
  let newest = 0

  function remember(series: OneSeries): OneSeries {
    const ofSensor = bySensor.get(series.sensor) ?? new Map<Quantity, OneSeries>()
    ofSensor.set(series.quantity, series)
    bySensor.set(series.sensor, ofSensor)
    byId.set(series.id, series)
    newest = Math.max(newest, series.id)
    return series
  }

  for (const series of db.prepare<[], OneSeries>('SELECT id, sensor, quantity FROM series').all())
    remember(series)

  const find = (sensor: SensorId, quantity: Quantity): OneSeries | undefined =>
    bySensor.get(sensor)?.get(quantity)

  return {
    find,

    /** Makes the series when it is new: only inside a transaction. */
    ensure(sensor: SensorId, quantity: Quantity): OneSeries {
      const known = find(sensor, quantity)
      if (known) return known
      const series = { id: newest + 1, sensor, quantity }
      insert.run(series.id, sensor, quantity)
      return remember(series)
    },

    get(id: number): OneSeries {
      const series = byId.get(id)
      if (!series)
        throw new StorageError(
          'databaseIsDamaged',
          `The database holds readings of series ${id}, which it does not name.`,
        )
      return series
    },

    newest: () => newest,

    /** Forgets every series after `id`: the transaction that made them did not happen. */
    forgetAfter(id: number): void {
      for (const series of [...byId.values()]) {
        if (series.id <= id) continue
        byId.delete(series.id)
        bySensor.get(series.sensor)?.delete(series.quantity)
      }
      newest = id
    },
  }
}

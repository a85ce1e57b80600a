import type { Database } from 'better-sqlite3'
import type { SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { HotHour } from './hot-hour.ts'

/**
 * For the fold: notes the hours of which something has not gone on to the broker elsewhere, since the order of arrival
 * ends with it. Nothing where no such broker is set. Runs inside a transaction.
 */
export function oweHours(db: Database) {
  const sent = db.prepare<[], number>('SELECT seq FROM upstream').pluck()
  const owe = db.prepare<[number, SensorId, Quantity, number]>(
    `INSERT INTO upstream_owed (hour, sensor, quantity, seq) VALUES (?, ?, ?, ?)
     ON CONFLICT (hour, sensor, quantity) DO UPDATE SET seq = max(seq, excluded.seq)`,
  )

  return (folded: readonly FoldedHour[]): void => {
    const sentTo = sent.get()
    if (sentTo === undefined) return
    for (const { hour, sensor, quantity, waiting } of folded) {
      const newest = newestIn(waiting)
      if (newest > sentTo) owe.run(hour, sensor, quantity, newest)
    }
  }
}

interface FoldedHour {
  readonly hour: number
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly waiting: HotHour
}

function newestIn({ seq, length }: HotHour): number {
  let newest = 0
  for (let i = 0; i < length; i++) newest = Math.max(newest, seq[i] as number)
  return newest
}

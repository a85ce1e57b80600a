/**
 * A process to be killed: commits readings numbered from the first that the folder does not hold, seven, a journal line
 * and a message at a time, each message going out before the next commit, a snapshot with every third group, a fold now and then; prints the newest number that is committed.
 */
import { writeSync } from 'node:fs'
import { lockFolder } from '../../daemon/sqlite/lock-folder.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import type { JudgedReading } from '../../daemon/ports/store.ts'
import { SensorId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import { aReading, clock, openStore, zonesByHand } from './store-world.ts'
import { delivered, waitingParcel } from './waiting-parcel.ts'

export const groupSize = 7
export const sensors = ['probe-0', 'probe-1', 'probe-2'].map((id) => SensorId.parse(id))

/** The n-th reading: every 100 s, sensors taking turns, the value is the number. */
export const numbered = (n: number): JudgedReading =>
  aReading(clock(0) + n * 100_000, n, { sensor: sensors[n % 3] as SensorId })

/** The message that goes with the group of which reading `newest` is the last. */
export const messageOf = (newest: number): Parcel =>
  waitingParcel(String(newest), { bornAt: numbered(newest).at })

const folder = process.argv[2]
if (folder !== undefined && process.argv[3] === 'commit') commitForEver(folder, Number(process.argv[4]))

function commitForEver(path: string, firstNumber: number): void {
  lockFolder(path)
  const { db, store } = openStore(path)
  const outbox = sqliteOutbox(db)
  for (let n = firstNumber, group = n / groupSize; ; group++) {
    const readings = Array.from({ length: groupSize }, () => numbered(n++))
    const newest = n - 1
    store.commit({
      readings: [...readings, readings[0] as JudgedReading], // a repeat in every group
      journal: [{ at: numbered(newest).at, kind: 'returned', by: 'brumal', value: newest }],
      parcels: [messageOf(newest)],
      ...(group % 3 === 0 ? { snapshot: String(newest) } : {}),
    })
    writeSync(1, `${newest}\n`)
    outbox.save(delivered(messageOf(newest)))
    if (group % 10 === 9) store.fold(numbered(newest).at, zonesByHand, String(newest))
  }
}

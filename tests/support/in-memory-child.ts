/** A process to be killed while it watches from memory: commits one reading more than it finds, and says where. */
import { writeSync } from 'node:fs'
import { dirname } from 'node:path'
import { openOrRecover } from '../../daemon/sqlite/opening.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { aReading, batchOf, clock, minute, probe } from './store-world.ts'

const { db } = openOrRecover(process.argv[2] ?? '', { now: clock(31) })
const store = sqliteStore(db)
const found = store.readings(probe, 'temperature', clock(50), clock(60)).length
store.commit(batchOf(aReading(clock(50) + found * minute, found)))
writeSync(1, `${dirname(db.name)}\n`)
process.kill(process.pid, 'SIGKILL')

/**
 * Writes `fixtures/databases/v<schema>.db`, a small database of the newest schema: run it once for each new schema,
 * before release, and never again for an old one.
 */
import { copyFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { migrations } from '../../daemon/sqlite/migrations.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { Household } from '../../schemas/household.ts'
import { PersonId } from '../../schemas/ids.ts'
import { aReading, batchOf, clock, openStore, temporaryFolder, zonesByHand } from './store-world.ts'

const folder = temporaryFolder()
const { db, store } = openStore(folder.path)
const reading = (hours: number) => aReading(clock(hours), hours * 100)

store.commit({
  readings: [0, 0.5, 1, 1.5, 2, 2.5, 3].map(reading),
  journal: [
    { at: clock(0), kind: 'setUp', by: 'brumal' },
    { at: clock(0), kind: 'started', by: 'brumal' },
  ],
  household: Household.parse({
    version: 1,
    name: 'The house of the first schema',
    timeZone: 'Europe/Vienna',
  }),
})
store.fold(clock(3), zonesByHand, 'folded')
store.commit(batchOf(reading(3.5)))
sqlitePeople(db).savePerson({ id: PersonId.parse('ada'), name: 'Ada', role: 'keeper', passwordHash: 'none' })
store.close()

const target = new URL('../../fixtures/databases/', import.meta.url).pathname
mkdirSync(target, { recursive: true })
copyFileSync(join(folder.path, databaseName), join(target, `v${migrations.length}.db`))
folder.remove()

/**
 * Writes `fixtures/databases/v<schema>.db`, a small database of the newest schema: run it once for each new schema,
 * before release, and never again for an old one.
 */
import { copyFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { sqliteDevices } from '../../daemon/sqlite/devices.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { migrations } from '../../daemon/sqlite/migrations.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { Household } from '../../schemas/household.ts'
import { PersonId } from '../../schemas/ids.ts'
import { aPicture, feeding, weighIn } from './diary-lines.ts'
import { anImport } from './logger-tables.ts'
import { aReading, clock, openStore, otherProbe, temporaryFolder, zonesByHand } from './store-world.ts'
import { delivered, phone, waitingParcel } from './waiting-parcel.ts'

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
    name: `The house of schema ${migrations.length}`,
    timeZone: 'Europe/Vienna',
  }),
})
store.fold(clock(3), zonesByHand, 'folded')
store.commit({
  readings: [reading(3.5)],
  journal: [],
  parcels: [waitingParcel('waits'), waitingParcel('went')],
})

const outbox = sqliteOutbox(db)
outbox.save(delivered(waitingParcel('went')))
outbox.saveChannelSecret(phone, { kind: 'relay', token: 'a relay token' })
outbox.saveRing(phone, clock(2))

const people = sqlitePeople(db)
const person = PersonId.parse('ada')
people.savePerson({ id: person, name: 'Ada', role: 'keeper', passwordHash: 'none' })
people.saveSession({
  tokenHash: 'hash of a session',
  person,
  createdAt: clock(1),
  seenAt: clock(2),
  expiresAt: clock(24),
  agent: 'a phone',
})
people.saveInvitation({
  id: 'hash of an invit',
  tokenHash: 'hash of an invitation',
  name: 'Cy',
  role: 'sitter',
  by: 'Ada',
  expiresAt: clock(24),
})
people.saveToken({
  tokenHash: 'hash of a token',
  name: 'fan',
  scope: 'look',
  person,
  createdAt: clock(1),
  usedAt: clock(2),
  expiresAt: null,
})
people.secret('linkKey', () => 'a key')

const devices = sqliteDevices(db)
devices.saveDevice({
  name: 'probe-1',
  kind: 'sensor',
  topics: ['tele/+/SENSOR'],
  createdAt: clock(1),
  seenAt: null,
  passwordHash: 'hash of a password',
})
devices.setSharedLogin(false)

const diary = sqliteDiary(db)
diary.saveEntries([weighIn(812), feeding])
diary.saveEntries([weighIn(821)])
diary.removeEntries([feeding.id], 'Ada', clock(3))
diary.savePicture(aPicture.id, aPicture, clock(2))
store.saveImport(anImport)
const hourOfImport = {
  sensor: otherProbe,
  quantity: 'temperature',
  at: [clock(1), clock(1.5)],
  value: [4.5, 4.25],
  quality: [0, 0],
} as const
store.takeIn(anImport.id, [hourOfImport], (taken) => ({ ...anImport, ...taken }), zonesByHand)
store.close()

const target = new URL('../../fixtures/databases/', import.meta.url).pathname
mkdirSync(target, { recursive: true })
copyFileSync(join(folder.path, databaseName), join(target, `v${migrations.length}.db`))
folder.remove()

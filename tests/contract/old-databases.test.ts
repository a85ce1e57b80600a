import { copyFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite, { type Database } from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { sqliteDevices } from '../../daemon/sqlite/devices.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { migrations } from '../../daemon/sqlite/migrations.ts'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { ChannelId, PersonId } from '../../schemas/ids.ts'
import { aPicture, feeding, weighIn } from '../support/diary-lines.ts'
import { anImport } from '../support/logger-tables.ts'
import {
  aReading,
  clock,
  openStore,
  otherProbe,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'
import { delivered, phone, waitingParcel } from '../support/waiting-parcel.ts'

const past = new URL('../../fixtures/databases/', import.meta.url)
const ada = { id: PersonId.parse('ada'), name: 'Ada', role: 'keeper', passwordHash: 'none' } as const

let folder: ReturnType<typeof temporaryFolder>
let db: Database | null = null

beforeEach(() => {
  folder = temporaryFolder()
})

afterEach(() => {
  db?.close()
  db = null
  folder.remove()
})

function put(version: number): string {
  const path = join(folder.path, databaseName)
  copyFileSync(new URL(`v${version}.db`, past), path)
  return path
}

function openAll(version: number) {
  put(version)
  const opened = openStore(folder.path)
  db = opened.db
  return {
    ...opened,
    people: sqlitePeople(db),
    outbox: sqliteOutbox(db),
    devices: sqliteDevices(db),
    diary: sqliteDiary(db),
  }
}

const schemaOf = (of: Database) => of.prepare('SELECT name, sql FROM sqlite_schema ORDER BY name').all()
const versions = migrations.map((_, i) => i + 1)

test('there is a database of every schema that there has been', () => {
  expect(readdirSync(past).sort()).toEqual(versions.map((version) => `v${version}.db`).sort())
})

test.each(versions)(
  'a database written with schema %i opens whole, with the schema of a new one',
  (version) => {
    const path = put(version)
    const before = new BetterSqlite(path, { readonly: true })
    expect(before.pragma('user_version', { simple: true })).toBe(version)
    before.close()

    db = openDatabase(folder.path)
    const fresh = temporaryFolder()
    const made = openDatabase(fresh.path)
    expect(schemaOf(db)).toEqual(schemaOf(made))
    made.close()
    fresh.remove()
    expect(db.pragma('user_version', { simple: true })).toBe(migrations.length)
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok')
    expect(db.pragma('foreign_key_check')).toEqual([])
  },
)

test.each(versions)(
  'a database written with schema %i keeps its household, readings and journal',
  (version) => {
    const { store } = openAll(version)
    const word = version === 1 ? 'the first schema' : `schema ${version}`
    expect(store.household()?.name).toBe(`The house of ${word}`)
    expect(store.resume()).toEqual({ snapshot: 'folded', since: [aReading(clock(3.5), 350)] })
    expect(store.readings(probe, 'temperature', clock(0), clock(9)).map(({ value }) => value)).toEqual([
      0, 50, 100, 150, 200, 250, 300, 350,
    ])
    expect(store.journal({ limit: 9 }).map(({ kind }) => kind)).toEqual(['started', 'setUp'])
  },
)

test.each(versions.filter((version) => version >= 5))(
  'a database written with schema %i keeps what came with a table, and it goes out again',
  (version) => {
    const { store } = openAll(version)
    expect(store.imports()).toEqual([{ ...anImport, added: 2 }])
    expect(store.span(otherProbe, 'temperature')).toEqual({ first: clock(1), last: clock(1.5) })
    expect(store.takeOut(anImport.id, 9, zonesByHand)).toEqual({ removed: 2, left: 0, isDone: true })
    expect(store.span(otherProbe, 'temperature')).toBeNull()
  },
)

describe('a database written with schema 1', () => {
  test('keeps who may come in, and has nobody told, no devices and the shared login open as it was', () => {
    const { people, outbox, devices } = openAll(1)
    expect(people.people()).toEqual([ada])
    expect([people.sessions(), people.invitations(), people.tokens()]).toEqual([[], [], []])
    expect(outbox.recent(9)).toEqual([])
    expect(outbox.channelSecret(phone)).toBeNull()
    expect(outbox.rungAt(phone)).toBeNull()
    expect(devices.devices()).toEqual([])
    expect(devices.isSharedLoginOpen()).toBe(true)
  })

  test('takes messages with the next alarm, and tokens of the person it held', () => {
    const { store, people, outbox } = openAll(1)
    store.commit({ readings: [aReading(clock(4), 1)], journal: [], parcels: [waitingParcel('one')] })
    expect(outbox.waiting()).toEqual([waitingParcel('one')])
    const { id: person } = ada
    const token = { tokenHash: 'hash', name: 'fan', scope: 'look', person, createdAt: clock(4) } as const
    people.saveToken({ ...token, usedAt: null, expiresAt: null })
    people.removePerson(person)
    expect(people.tokens()).toEqual([])
  })

  test('is left as it was when it cannot be brought up to date, and opens once it can', () => {
    const path = put(1)
    const inTheWay = new BetterSqlite(path)
    inTheWay.exec('CREATE TABLE device (name TEXT)') // the last table that schema 2 makes
    const before = schemaOf(inTheWay)
    expect(() => openDatabase(folder.path)).toThrow(/device already exists/)
    expect(inTheWay.pragma('user_version', { simple: true })).toBe(1)
    expect(schemaOf(inTheWay)).toEqual(before)
    inTheWay.exec('DROP TABLE device')
    inTheWay.close()
    db = openDatabase(folder.path)
    expect(sqlitePeople(db).people()).toEqual([ada])
    expect(sqliteDevices(db).devices()).toEqual([])
  })
})

describe.each(versions.filter((version) => version >= 2))('a database written with schema %i', (version) => {
  test('A4: keeps what waits, what went out, the secrets of channels and when they rang', () => {
    const { outbox } = openAll(version)
    expect(outbox.waiting()).toEqual([waitingParcel('waits')])
    expect(outbox.recent(9)).toEqual([delivered(waitingParcel('went')), waitingParcel('waits')])
    expect(outbox.channelSecret(phone)).toEqual({ kind: 'relay', token: 'a relay token' })
    expect(outbox.channelSecret(ChannelId.parse('ben-phone'))).toBeNull()
    expect(outbox.rungAt(phone)).toBe(clock(2))
  })

  test('X1: keeps who may come in, and by what', () => {
    const { people } = openAll(version)
    const person = ada.id
    expect(people.people()).toEqual([ada])
    expect(people.sessions()).toEqual([
      {
        tokenHash: 'hash of a session',
        person,
        createdAt: clock(1),
        seenAt: clock(2),
        expiresAt: clock(24),
        agent: 'a phone',
      },
    ])
    expect(people.invitations()).toEqual([
      {
        id: 'hash of an invit',
        tokenHash: 'hash of an invitation',
        name: 'Cy',
        role: 'sitter',
        by: 'Ada',
        expiresAt: clock(24),
      },
    ])
    expect(people.tokens()).toEqual([
      {
        tokenHash: 'hash of a token',
        name: 'fan',
        scope: 'look',
        person,
        createdAt: clock(1),
        usedAt: clock(2),
        expiresAt: null,
      },
    ])
    expect(people.secret('linkKey', () => 'another')).toBe('a key')
  })

  test('X2: keeps devices, and the shared login closed', () => {
    const { devices } = openAll(version)
    expect(devices.devices()).toEqual([
      {
        name: 'probe-1',
        kind: 'sensor',
        topics: ['tele/+/SENSOR'],
        createdAt: clock(1),
        seenAt: null,
        passwordHash: 'hash of a password',
      },
    ])
    expect(devices.isSharedLoginOpen()).toBe(false)
  })
})

describe('the diary', () => {
  test.each([1, 2])('is empty in a database written with schema %i, and takes entries', (version) => {
    const { diary } = openAll(version)
    expect(diary.entries({})).toEqual([])
    expect(diary.pictures()).toEqual({ count: 0, bytes: 0 })
    diary.saveEntries([feeding])
    expect(diary.entries({})).toEqual([feeding])
  })

  test('of a database written with schema 3 stands as it was last written, what was removed is hidden and comes back', () => {
    const { diary } = openAll(3)
    expect(diary.entries({})).toEqual([weighIn(821)])
    expect(diary.entry(feeding.id)).toBeNull()
    expect(diary.picture(aPicture.id)).toEqual({ type: 'image/png', bytes: Buffer.from(aPicture.bytes) })
    diary.saveEntries([feeding])
    expect(diary.entries({})).toEqual([feeding, weighIn(821)])
  })
})

import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { Database } from 'better-sqlite3'
import type { PeopleStore, StoredPerson, StoredSession } from '../../daemon/ports.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { PersonId } from '../../schemas/ids.ts'
import { instant } from '../../schemas/amounts.ts'
import { clock, temporaryFolder } from '../support/store-world.ts'

const ada: StoredPerson = {
  id: PersonId.parse('ada'),
  name: 'Ada',
  role: 'keeper',
  passwordHash: 'hash of a long sentence',
}
const ben: StoredPerson = { ...ada, id: PersonId.parse('ben'), name: 'Ben', role: 'sitter' }

const aSession = (tokenHash: string, more: Partial<StoredSession> = {}): StoredSession => ({
  tokenHash,
  person: ada.id,
  createdAt: clock(0),
  seenAt: clock(1),
  expiresAt: clock(24),
  agent: 'a phone',
  ...more,
})

let folder: ReturnType<typeof temporaryFolder>
let db: Database
let people: PeopleStore

const reopen = (): void => {
  db.close()
  db = openDatabase(folder.path)
  people = sqlitePeople(db)
}

beforeEach(() => {
  folder = temporaryFolder()
  db = openDatabase(folder.path)
  people = sqlitePeople(db)
})

afterEach(() => {
  db.close()
  folder.remove()
})

describe('people', () => {
  test('X1: people are kept in the order in which they came, over a restart too', () => {
    expect(people.people()).toEqual([])
    people.savePerson(ben)
    people.savePerson(ada)
    reopen()
    expect(people.people()).toEqual([ben, ada])
  })

  test('X1: a person saved again has the new password and keeps their sessions', () => {
    people.savePerson(ada)
    people.saveSession(aSession('one'))
    people.savePerson({ ...ada, name: 'Ada B.', passwordHash: 'another' })
    expect(people.people()).toEqual([{ ...ada, name: 'Ada B.', passwordHash: 'another' }])
    expect(people.session('one')).not.toBeNull()
  })
})

describe('sessions', () => {
  beforeEach(() => {
    people.savePerson(ada)
    people.savePerson(ben)
  })

  test('X1: a session is found by the hash of its token only, over a restart too', () => {
    people.saveSession(aSession('one'))
    reopen()
    expect(people.session('one')).toEqual(aSession('one'))
    expect(people.session('two')).toBeNull()
  })

  test('X1: a session seen again is the same session with a later end', () => {
    people.saveSession(aSession('one'))
    people.saveSession(aSession('one', { seenAt: clock(2), expiresAt: clock(48) }))
    expect(people.session('one')).toEqual(aSession('one', { seenAt: clock(2), expiresAt: clock(48) }))
  })

  test('X1: ending one session leaves the others; ending all of one person leaves those of another', () => {
    people.saveSession(aSession('one'))
    people.saveSession(aSession('two'))
    people.saveSession(aSession('bens', { person: ben.id }))
    people.endSession('one')
    expect(people.session('one')).toBeNull()
    expect(people.session('two')).not.toBeNull()
    people.endSessionsOf(ada.id)
    expect(people.session('two')).toBeNull()
    expect(people.session('bens')).not.toBeNull()
  })

  test('X1: a session is over at its very end and not a millisecond sooner', () => {
    people.saveSession(aSession('one', { expiresAt: clock(24) }))
    people.endExpired(instant(clock(24) - 1))
    expect(people.session('one')).not.toBeNull()
    people.endExpired(clock(24))
    expect(people.session('one')).toBeNull()
  })

  test('X1: nobody has a session who is not a person here', () => {
    expect(() => people.saveSession(aSession('one', { person: PersonId.parse('nobody') }))).toThrow()
    expect(people.session('one')).toBeNull()
  })
})

describe('secrets', () => {
  test('X4: a secret is made once and stays the same over a restart', () => {
    let made = 0
    const make = (): string => `secret ${++made}`
    expect(people.secret('links', make)).toBe('secret 1')
    expect(people.secret('links', make)).toBe('secret 1')
    reopen()
    expect(people.secret('links', make)).toBe('secret 1')
    expect(people.secret('push', make)).toBe('secret 2')
  })

  test('X4: a forgotten secret is made anew', () => {
    people.secret('links', () => 'old')
    people.forgetSecret('links')
    people.forgetSecret('links')
    expect(people.secret('links', () => 'new')).toBe('new')
  })
})

import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { Database } from 'better-sqlite3'
import type {
  PeopleStore,
  StoredInvitation,
  StoredPerson,
  StoredSession,
  StoredToken,
} from '../../daemon/ports/people.ts'
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

/** As the hash of a token reads: 43 signs of base64url. */
const aHash = (name: string): string => name.padEnd(43, '-')

const anInvitation = (name: string, more: Partial<StoredInvitation> = {}): StoredInvitation => ({
  id: aHash(name).slice(0, 16),
  tokenHash: aHash(name),
  name,
  role: 'sitter',
  by: 'Ada',
  expiresAt: clock(24),
  ...more,
})

const aToken = (name: string, more: Partial<StoredToken> = {}): StoredToken => ({
  tokenHash: aHash(name),
  name,
  scope: 'look',
  person: ada.id,
  createdAt: clock(1),
  usedAt: null,
  expiresAt: clock(24),
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

  test('X1: a person who is removed goes with sessions and tokens; those of others and invitations stay', () => {
    for (const person of [ada, ben]) {
      people.savePerson(person)
      people.saveSession(aSession(`session of ${person.name}`, { person: person.id }))
      people.saveToken(aToken(`token of ${person.name}`, { person: person.id }))
    }
    people.saveInvitation(anInvitation('Cy'))
    people.removePerson(ada.id)
    people.removePerson(PersonId.parse('nobody'))
    reopen()
    expect(people.people()).toEqual([ben])
    expect(people.sessions().map(({ tokenHash }) => tokenHash)).toEqual(['session of Ben'])
    expect(people.tokens().map(({ name }) => name)).toEqual(['token of Ben'])
    expect(people.invitations()).toEqual([anInvitation('Cy')])
  })

  test('X1: whoever comes later under the name of a removed person has nothing of theirs', () => {
    people.savePerson(ada)
    people.saveSession(aSession('one'))
    people.saveToken(aToken('one'))
    people.removePerson(ada.id)
    people.savePerson(ada)
    expect(people.session('one')).toBeNull()
    expect(people.token(aHash('one'))).toBeNull()
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

  test('X1: all sessions are listed, the one used last in front', () => {
    expect(people.sessions()).toEqual([])
    people.saveSession(aSession('early', { seenAt: clock(1) }))
    people.saveSession(aSession('late', { seenAt: clock(3) }))
    people.saveSession(aSession('between', { seenAt: clock(2), person: ben.id }))
    people.saveSession(aSession('early again', { seenAt: clock(1), createdAt: clock(0.5) }))
    expect(people.sessions()).toEqual([
      aSession('late', { seenAt: clock(3) }),
      aSession('between', { seenAt: clock(2), person: ben.id }),
      aSession('early again', { seenAt: clock(1), createdAt: clock(0.5) }),
      aSession('early', { seenAt: clock(1) }),
    ])
    people.saveSession(aSession('early', { seenAt: clock(4) }))
    expect(people.sessions()[0]?.tokenHash).toBe('early')
  })

  test("X1: all of a person's sessions but one are ended, and nobody else's", () => {
    people.saveSession(aSession('this'))
    people.saveSession(aSession('that'))
    people.saveSession(aSession('bens', { person: ben.id }))
    people.endSessionsOf(ada.id, 'this')
    expect(people.session('this')).not.toBeNull()
    expect(people.session('that')).toBeNull()
    expect(people.session('bens')).not.toBeNull()
    people.endSessionsOf(ada.id, 'bens')
    expect(people.session('this')).toBeNull()
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

describe('invitations', () => {
  test('X1: are kept in the order in which they were made, over a restart too', () => {
    expect(people.invitations()).toEqual([])
    people.saveInvitation(anInvitation('Dee', { expiresAt: clock(48) }))
    people.saveInvitation(anInvitation('Cy', { role: 'keeper' }))
    people.saveInvitation(anInvitation('Dee', { expiresAt: clock(72) }))
    reopen()
    expect(people.invitations()).toEqual([
      anInvitation('Dee', { expiresAt: clock(72) }),
      anInvitation('Cy', { role: 'keeper' }),
    ])
  })

  test('X1: one is taken once: of two who use it at once, the first gets it', () => {
    people.saveInvitation(anInvitation('Cy'))
    people.saveInvitation(anInvitation('Dee'))
    const other = openDatabase(folder.path)
    const taken = [people, sqlitePeople(other), people].map((store) => store.takeInvitation(aHash('Cy')))
    other.close()
    expect(taken).toEqual([true, false, false])
    expect(people.takeInvitation(aHash('never made'))).toBe(false)
    expect(people.invitations()).toEqual([anInvitation('Dee')])
  })

  test('X1: one is over at its very end and not a millisecond sooner', () => {
    people.saveInvitation(anInvitation('Cy', { expiresAt: clock(24) }))
    people.endExpired(instant(clock(24) - 1))
    expect(people.invitations()).toHaveLength(1)
    people.endExpired(clock(24))
    expect(people.invitations()).toEqual([])
  })
})

describe('tokens', () => {
  beforeEach(() => {
    people.savePerson(ada)
    people.savePerson(ben)
  })

  test('X1: are found by their hash only, and kept over a restart', () => {
    people.saveToken(aToken('fan', { scope: 'act', expiresAt: null }))
    reopen()
    expect(people.token(aHash('fan'))).toEqual(aToken('fan', { scope: 'act', expiresAt: null }))
    expect(people.token('fan')).toBeNull()
  })

  test('X1: stand in the order in which they were made, whichever was used last', () => {
    people.saveToken(aToken('zeta'))
    people.saveToken(aToken('alpha', { createdAt: clock(0) }))
    people.saveToken(aToken('zeta', { usedAt: clock(5) }))
    expect(people.tokens()).toEqual([
      aToken('zeta', { usedAt: clock(5) }),
      aToken('alpha', { createdAt: clock(0) }),
    ])
  })

  test('X1: one that is ended is gone, the others stay', () => {
    people.saveToken(aToken('one'))
    people.saveToken(aToken('two'))
    people.endToken(aHash('one'))
    people.endToken(aHash('one'))
    expect(people.tokens()).toEqual([aToken('two')])
  })

  test('X1: one is over at its very end and not a millisecond sooner; one without an end stays', () => {
    people.saveToken(aToken('ends', { expiresAt: clock(24) }))
    people.saveToken(aToken('stays', { expiresAt: null }))
    people.endExpired(instant(clock(24) - 1))
    expect(people.tokens().map(({ name }) => name)).toEqual(['ends', 'stays'])
    people.endExpired(clock(24))
    expect(people.tokens().map(({ name }) => name)).toEqual(['stays'])
    people.endExpired(clock(999_999))
    expect(people.tokens().map(({ name }) => name)).toEqual(['stays'])
  })

  test('X1: nobody has a token who is not a person here; a keeper who is saved again keeps theirs', () => {
    expect(() => people.saveToken(aToken('one', { person: PersonId.parse('nobody') }))).toThrow()
    people.saveToken(aToken('two'))
    people.savePerson({ ...ada, passwordHash: 'another' })
    expect(people.tokens()).toEqual([aToken('two')])
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

import type { Database } from 'better-sqlite3'
import type { PeopleStore, StoredPerson, StoredSession } from '../ports.ts'
import { tried } from './storage-error.ts'

/** People, sessions and secrets over an open database, which somebody else closes. */
export function sqlitePeople(db: Database): PeopleStore {
  const people = db.prepare<[], StoredPerson>(
    'SELECT id, name, role, password_hash AS passwordHash FROM person ORDER BY rowid',
  )
  // an update in place: replacing the row would end the person's sessions
  const savePerson = db.prepare<[StoredPerson]>(
    `INSERT INTO person (id, name, role, password_hash) VALUES (@id, @name, @role, @passwordHash)
    ON CONFLICT (id) DO UPDATE SET name = @name, role = @role, password_hash = @passwordHash`,
  )
  const session = db.prepare<[string], StoredSession>(
    `SELECT token_hash AS tokenHash, person, created_at AS createdAt, seen_at AS seenAt, expires_at AS expiresAt, agent
    FROM session WHERE token_hash = ?`,
  )
  const saveSession = db.prepare<[StoredSession]>(
    `INSERT OR REPLACE INTO session (token_hash, person, created_at, seen_at, expires_at, agent)
    VALUES (@tokenHash, @person, @createdAt, @seenAt, @expiresAt, @agent)`,
  )
  const endSession = db.prepare<[string]>('DELETE FROM session WHERE token_hash = ?')
  const endSessionsOf = db.prepare<[string]>('DELETE FROM session WHERE person = ?')
  const endExpired = db.prepare<[number]>('DELETE FROM session WHERE expires_at <= ?')
  const secret = db.prepare<[string], string>('SELECT value FROM secret WHERE name = ?').pluck()
  const saveSecret = db.prepare<[string, string]>('INSERT INTO secret (name, value) VALUES (?, ?)')
  const forgetSecret = db.prepare<[string]>('DELETE FROM secret WHERE name = ?')

  return {
    people: () => tried('reading people', () => people.all()),
    savePerson: (person) => tried('saving a person', () => void savePerson.run(person)),
    session: (tokenHash) => tried('reading a session', () => session.get(tokenHash) ?? null),
    saveSession: (stored) => tried('saving a session', () => void saveSession.run(stored)),
    endSession: (tokenHash) => tried('ending a session', () => void endSession.run(tokenHash)),
    endSessionsOf: (person) => tried('ending sessions', () => void endSessionsOf.run(person)),
    /** A session is over at the instant of `expiresAt` itself. */
    endExpired: (now) => tried('ending old sessions', () => void endExpired.run(now)),
    secret: (name, make) =>
      tried('reading a secret', () => {
        const known = secret.get(name)
        if (known !== undefined) return known
        const made = make()
        saveSecret.run(name, made)
        return made
      }),
    forgetSecret: (name) => tried('forgetting a secret', () => void forgetSecret.run(name)),
  }
}

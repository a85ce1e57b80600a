import type { Database } from 'better-sqlite3'
import type {
  PeopleStore,
  StoredInvitation,
  StoredPerson,
  StoredSession,
  StoredToken,
} from '../ports/people.ts'
import { tried } from './storage-error.ts'

/** People, what lets them in, and secrets, over an open database, which somebody else closes. */
export function sqlitePeople(db: Database): PeopleStore {
  const people = db.prepare<[], StoredPerson>(
    'SELECT id, name, role, password_hash AS passwordHash FROM person ORDER BY rowid',
  )
  // an update in place: replacing the row would end the person's sessions
  const savePerson = db.prepare<[StoredPerson]>(
    `INSERT INTO person (id, name, role, password_hash) VALUES (@id, @name, @role, @passwordHash)
    ON CONFLICT (id) DO UPDATE SET name = @name, role = @role, password_hash = @passwordHash`,
  )
  // sessions and tokens go with the row: ON DELETE CASCADE
  const removePerson = db.prepare<[string]>('DELETE FROM person WHERE id = ?')

  const session = db.prepare<[string], StoredSession>(`${selectSession} WHERE token_hash = ?`)
  const sessions = db.prepare<[], StoredSession>(
    `${selectSession} ORDER BY seen_at DESC, created_at DESC, token_hash`,
  )
  const saveSession = db.prepare<[StoredSession]>(
    `INSERT OR REPLACE INTO session (token_hash, person, created_at, seen_at, expires_at, agent)
    VALUES (@tokenHash, @person, @createdAt, @seenAt, @expiresAt, @agent)`,
  )
  const endSession = db.prepare<[string]>('DELETE FROM session WHERE token_hash = ?')
  const endSessionsOf = db.prepare<[string, string | null]>(
    'DELETE FROM session WHERE person = ? AND token_hash IS NOT ?',
  )

  const invitations = db.prepare<[], StoredInvitation>(
    `SELECT substr(token_hash, 1, 16) AS id, token_hash AS tokenHash, name, role, invited_by AS "by",
    expires_at AS expiresAt FROM invitation ORDER BY rowid`,
  )
  const saveInvitation = db.prepare<[StoredInvitation]>(
    `INSERT INTO invitation (token_hash, name, role, invited_by, expires_at)
    VALUES (@tokenHash, @name, @role, @by, @expiresAt)
    ON CONFLICT (token_hash) DO UPDATE SET name = @name, role = @role, invited_by = @by, expires_at = @expiresAt`,
  )
  const takeInvitation = db.prepare<[string]>('DELETE FROM invitation WHERE token_hash = ?')

  const tokens = db.prepare<[], StoredToken>(`${selectToken} ORDER BY rowid`)
  const token = db.prepare<[string], StoredToken>(`${selectToken} WHERE token_hash = ?`)
  // in place too: a token that is used keeps its row, and so its place in the list
  const saveToken = db.prepare<[StoredToken]>(
    `INSERT INTO access_token (token_hash, name, scope, person, created_at, used_at, expires_at)
    VALUES (@tokenHash, @name, @scope, @person, @createdAt, @usedAt, @expiresAt)
    ON CONFLICT (token_hash) DO UPDATE SET name = @name, scope = @scope, person = @person,
      created_at = @createdAt, used_at = @usedAt, expires_at = @expiresAt`,
  )
  const endToken = db.prepare<[string]>('DELETE FROM access_token WHERE token_hash = ?')

  // a token without an end holds NULL there, which is never <= anything
  const expiring = ['session', 'invitation', 'access_token'].map((table) =>
    db.prepare<[number]>(`DELETE FROM ${table} WHERE expires_at <= ?`),
  )
  const endExpired = db.transaction((now: number) => {
    for (const statement of expiring) statement.run(now)
  })

  const secret = db.prepare<[string], string>('SELECT value FROM secret WHERE name = ?').pluck()
  const saveSecret = db.prepare<[string, string]>('INSERT INTO secret (name, value) VALUES (?, ?)')
  const forgetSecret = db.prepare<[string]>('DELETE FROM secret WHERE name = ?')

  return {
    people: () => tried('reading people', () => people.all()),
    savePerson: (person) => tried('saving a person', () => void savePerson.run(person)),
    removePerson: (person) => tried('removing a person', () => void removePerson.run(person)),

    session: (tokenHash) => tried('reading a session', () => session.get(tokenHash) ?? null),
    sessions: () => tried('reading sessions', () => sessions.all()),
    saveSession: (stored) => tried('saving a session', () => void saveSession.run(stored)),
    endSession: (tokenHash) => tried('ending a session', () => void endSession.run(tokenHash)),
    endSessionsOf: (person, except) =>
      tried('ending sessions', () => void endSessionsOf.run(person, except ?? null)),
    /** Each is over at the instant of `expiresAt` itself. */
    endExpired: (now) => tried('ending what has expired', () => endExpired.immediate(now)),

    /** In the order in which they were made. */
    invitations: () => tried('reading invitations', () => invitations.all()),
    saveInvitation: (invitation) => tried('saving an invitation', () => void saveInvitation.run(invitation)),
    takeInvitation: (tokenHash) =>
      tried('taking an invitation', () => takeInvitation.run(tokenHash).changes === 1),

    /** In the order in which they were made. */
    tokens: () => tried('reading tokens', () => tokens.all()),
    token: (tokenHash) => tried('reading a token', () => token.get(tokenHash) ?? null),
    saveToken: (stored) => tried('saving a token', () => void saveToken.run(stored)),
    endToken: (tokenHash) => tried('ending a token', () => void endToken.run(tokenHash)),

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

const selectSession = `SELECT token_hash AS tokenHash, person, created_at AS createdAt, seen_at AS seenAt,
  expires_at AS expiresAt, agent FROM session`

const selectToken = `SELECT token_hash AS tokenHash, name, scope, person, created_at AS createdAt, used_at AS usedAt,
  expires_at AS expiresAt FROM access_token`

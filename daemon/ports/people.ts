import type { InvitationNow, TokenScope } from '../../schemas/access.ts'
import type { PersonId } from '../../schemas/ids.ts'
import type { Person } from '../../schemas/person.ts'
import type { Instant } from '../../schemas/units.ts'

export interface StoredPerson extends Person {
  readonly passwordHash: string
}

export interface StoredSession {
  readonly tokenHash: string
  readonly person: PersonId
  readonly createdAt: Instant
  readonly seenAt: Instant
  readonly expiresAt: Instant
  readonly agent: string
}

/** `id` is the first 16 signs of `tokenHash`. */
export interface StoredInvitation extends InvitationNow {
  readonly tokenHash: string
}

export interface StoredToken {
  readonly tokenHash: string
  readonly name: string
  readonly scope: TokenScope
  /** The keeper who made it; it ends with the keeper. */
  readonly person: PersonId
  readonly createdAt: Instant
  readonly usedAt: Instant | null
  readonly expiresAt: Instant | null
}

/** People, their sessions, invitations and tokens, and the daemon's own secrets. Lives in the same database. */
export interface PeopleStore {
  people(): readonly StoredPerson[]
  savePerson(person: StoredPerson): void
  /** With everything of theirs: sessions and tokens. */
  removePerson(person: PersonId): void
  session(tokenHash: string): StoredSession | null
  /** Newest use first. */
  sessions(): readonly StoredSession[]
  saveSession(session: StoredSession): void
  endSession(tokenHash: string): void
  /** All but the session of `except`, where one is named. */
  endSessionsOf(person: PersonId, except?: string): void
  /** Sessions, invitations and tokens whose end has come. */
  endExpired(now: Instant): void
  invitations(): readonly StoredInvitation[]
  saveInvitation(invitation: StoredInvitation): void
  /** Says whether it was still there: of two who use it at once, one gets true. */
  takeInvitation(tokenHash: string): boolean
  tokens(): readonly StoredToken[]
  token(tokenHash: string): StoredToken | null
  saveToken(token: StoredToken): void
  endToken(tokenHash: string): void
  /** A named secret, made by `make` the first time. */
  secret(name: string, make: () => string): string
  forgetSecret(name: string): void
}

import { createHash } from 'node:crypto'
import type { PersonId } from '../../../schemas/ids.ts'
import type { Person } from '../../../schemas/person.ts'
import { days, hours, later } from '../../../schemas/amounts.ts'
import type { Instant } from '../../../schemas/units.ts'
import type { Clock, PeopleStore, RandomBytes, StoredSession } from '../../ports.ts'

/** A session ends 90 days after its last use: a phone that is looked at once a winter month stays signed in. */
export const sessionLasts = days(90)
/** Use is written down at most hourly: an SD card wears with every write. */
const touchEvery = hours(1)
/** Enough of the browser's name to know it again. */
const longestAgent = 120

export interface SignedIn {
  readonly person: Person
  readonly tokenHash: string
  /** The session has moved on, so its cookie must too. */
  readonly touched: boolean
}

export interface Sessions {
  /** Starts a session and returns its token; only the token's hash is kept. */
  start(person: PersonId, agent: string): string
  /** Who this token belongs to, or null; notes that it was used. */
  find(token: string): SignedIn | null
  /** Whether it still stands, without counting as use. */
  stands(tokenHash: string): boolean
  end(token: string): void
}

export function sessions(people: PeopleStore, clock: Clock, random: RandomBytes): Sessions {
  const standing = (tokenHash: string): { session: StoredSession; person: Person } | null => {
    const session = people.session(tokenHash)
    // An ended session is left for the next sign-in to clear: a clock that jumped may yet come back (N3)
    if (session === null || session.expiresAt <= clock.now()) return null
    const person = people.people().find(({ id }) => id === session.person)
    return person ? { session, person: { id: person.id, name: person.name, role: person.role } } : null
  }

  const touch = (session: StoredSession, now: Instant): boolean => {
    try {
      people.saveSession({ ...session, seenAt: now, expiresAt: later(now, sessionLasts) })
      return true
    } catch {
      return false // a full disk must not keep the keeper from looking (N2); the store raises its own alarm
    }
  }

  return {
    start(person, agent) {
      const now = clock.now()
      const token = Buffer.from(random(tokenBytes)).toString('base64url')
      people.endExpired(now)
      people.saveSession({
        tokenHash: hashOf(token),
        person,
        createdAt: now,
        seenAt: now,
        expiresAt: later(now, sessionLasts),
        agent: agent.slice(0, longestAgent),
      })
      return token
    },
    find(token) {
      if (!tokenShape.test(token)) return null
      const tokenHash = hashOf(token)
      const found = standing(tokenHash)
      if (found === null) return null
      const now = clock.now()
      // Only forward: at a boot in 1970 the end must not move to 1970 as well
      const due = now - found.session.seenAt >= touchEvery
      return { person: found.person, tokenHash, touched: due && touch(found.session, now) }
    },
    stands: (tokenHash) => standing(tokenHash) !== null,
    end: (token) => people.endSession(hashOf(token)),
  }
}

/** 256 bits: not to be guessed, so a plain hash of it is enough. */
const tokenBytes = 32
const tokenShape = /^[\w-]{43}$/

const hashOf = (token: string): string => createHash('sha256').update(token).digest('base64url')

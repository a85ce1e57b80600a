import type { TokenScope } from '../../../schemas/access.ts'
import { days, hours, later } from '../../../schemas/amounts.ts'
import type { PersonId } from '../../../schemas/ids.ts'
import type { Person } from '../../../schemas/person.ts'
import type { Instant } from '../../../schemas/units.ts'
import type { Clock } from '../../ports/clock.ts'
import type { PeopleStore, StoredSession } from '../../ports/people.ts'
import type { RandomBytes } from '../../ports/seal.ts'
import type { Endings } from './endings.ts'
import { hashOf, newToken, tokenShape } from './secret-token.ts'

/** A session ends 90 days after its last use: a phone that is looked at once a winter month stays signed in. */
export const sessionLasts = days(90)
/** Use is written down at most hourly: an SD card wears with every write. */
export const touchEvery = hours(1)
/** Enough of the browser's name to know it again. */
const longestAgent = 200

export interface SignedIn {
  /** Of an access token: its keeper, in the role that its scope gives. */
  readonly person: Person
  /** The name that the journal keeps. */
  readonly by: string
  readonly tokenHash: string
  /** Null for a browser's session, which is bounded by its person's role alone. */
  readonly scope: TokenScope | null
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
  /** Those that stand, newest use first. */
  all(): readonly StoredSession[]
  end(tokenHash: string): void
  endAllOf(person: PersonId): void
}

export function sessions(people: PeopleStore, clock: Clock, random: RandomBytes, endings: Endings): Sessions {
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
      const token = newToken(random)
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
      const { person } = found
      return { person, by: person.name, tokenHash, scope: null, touched: due && touch(found.session, now) }
    },
    stands: (tokenHash) => standing(tokenHash) !== null,
    all: () => people.sessions().filter(({ tokenHash }) => standing(tokenHash) !== null),
    end(tokenHash) {
      people.endSession(tokenHash)
      endings.tell()
    },
    endAllOf(person) {
      people.endSessionsOf(person)
      endings.tell()
    },
  }
}

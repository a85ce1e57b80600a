import type { AccessTokenNow, MakeToken } from '../../../schemas/access.ts'
import { days, later } from '../../../schemas/amounts.ts'
import type { PersonId } from '../../../schemas/ids.ts'
import type { Instant } from '../../../schemas/units.ts'
import type { Clock } from '../../ports/clock.ts'
import type { PeopleStore, StoredPerson, StoredToken } from '../../ports/people.ts'
import type { RandomBytes } from '../../ports/seal.ts'
import type { Endings } from './endings.ts'
import { handleOf, hashOf, newToken } from './secret-token.ts'
import { type SignedIn, touchEvery } from './session.ts'

/** Told from a session's token, and found by whoever searches for secrets that were left lying about. */
export const bearerPrefix = 'brumal_'

/** Keys for scripts: each is its keeper's, and ends with the keeper. */
export interface AccessTokens {
  /** The secret is handed out here and never again. */
  make(what: MakeToken, keeper: PersonId): { readonly token: AccessTokenNow; readonly secret: string }
  /** Whose key this is, or null; notes that it was used. */
  find(secret: string): SignedIn | null
  /** Whether it still stands, without counting as use. */
  stands(tokenHash: string): boolean
  /** Those that stand. */
  all(): readonly AccessTokenNow[]
  /** The token that ended, or null where there was none. */
  end(id: string): AccessTokenNow | null
  endAllOf(keeper: PersonId): void
}

export function accessTokens(
  people: PeopleStore,
  clock: Clock,
  random: RandomBytes,
  endings: Endings,
): AccessTokens {
  const keeperOf = (token: StoredToken): StoredPerson | null => {
    if (token.expiresAt !== null && token.expiresAt <= clock.now()) return null
    const person = people.people().find(({ id }) => id === token.person)
    return person?.role === 'keeper' ? person : null
  }

  const touch = (token: StoredToken, now: Instant): void => {
    try {
      people.saveToken({ ...token, usedAt: now })
    } catch {
      // a full disk must not keep a script from looking (N2); the store raises its own alarm
    }
  }

  const all = () =>
    people.tokens().flatMap((stored) => {
      const keeper = keeperOf(stored)
      return keeper === null ? [] : [{ stored, shown: shownOf(stored, keeper.name) }]
    })

  return {
    make({ name, scope, days: count }, keeper) {
      const now = clock.now()
      const secret = bearerPrefix + newToken(random)
      const stored: StoredToken = {
        tokenHash: hashOf(secret),
        name,
        scope,
        person: keeper,
        createdAt: now,
        usedAt: null,
        expiresAt: count === null ? null : later(now, days(count)),
      }
      people.saveToken(stored)
      return {
        token: shownOf(stored, people.people().find(({ id }) => id === keeper)?.name ?? keeper),
        secret,
      }
    },
    find(secret) {
      if (!secretShape.test(secret)) return null
      const token = people.token(hashOf(secret))
      const keeper = token && keeperOf(token)
      if (token === null || keeper === null) return null
      const now = clock.now()
      if (token.usedAt === null || now - token.usedAt >= touchEvery) touch(token, now)
      return {
        person: { id: keeper.id, name: keeper.name, role: token.scope === 'keep' ? 'keeper' : 'sitter' },
        by: `${token.name} (token of ${keeper.name})`,
        tokenHash: token.tokenHash,
        scope: token.scope,
        touched: false,
      }
    },
    stands(tokenHash) {
      const token = people.token(tokenHash)
      return token !== null && keeperOf(token) !== null
    },
    all: () => all().map(({ shown }) => shown),
    end(id) {
      const found = all().find(({ shown }) => shown.id === id)
      if (found === undefined) return null
      people.endToken(found.stored.tokenHash)
      endings.tell()
      return found.shown
    },
    endAllOf(keeper) {
      for (const { tokenHash, person } of people.tokens()) if (person === keeper) people.endToken(tokenHash)
      endings.tell()
    },
  }
}

const secretShape = /^brumal_[\w-]{43}$/

function shownOf(stored: StoredToken, by: string): AccessTokenNow {
  const { tokenHash, name, scope, createdAt, usedAt, expiresAt } = stored
  return { id: handleOf(tokenHash), name, scope, by, createdAt, usedAt, expiresAt }
}

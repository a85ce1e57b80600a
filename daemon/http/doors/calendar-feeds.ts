import { z } from 'zod'
import { PersonId } from '../../../schemas/ids.ts'
import { Instant } from '../../../schemas/units.ts'
import type { Clock } from '../../ports/clock.ts'
import type { PeopleStore } from '../../ports/people.ts'
import type { RandomBytes } from '../../ports/seal.ts'
import { hashOf, newToken, tokenShape } from './secret-token.ts'

/** Calendar feeds: one for each person who wants one, opened by a secret address of which only the hash is kept (X4). */
export interface CalendarFeeds {
  madeAt(person: PersonId): Instant | null
  /** The secret is handed out here and never again; the one before it ends. */
  make(person: PersonId): { readonly secret: string; readonly madeAt: Instant }
  /** Whether there was one. */
  end(person: PersonId): boolean
  /** Whose it is, or null. */
  find(secret: string): PersonId | null
}

const Feed = z.strictObject({ person: PersonId, hash: z.string(), madeAt: Instant })
type Feed = z.infer<typeof Feed>

/** Under this name the hashes lie among the secrets. */
const keptAs = 'calendarFeeds'

export function calendarFeeds(people: PeopleStore, clock: Clock, random: RandomBytes): CalendarFeeds {
  /** A feed ends with its person. */
  const all = (): readonly Feed[] => {
    const known = new Set(people.people().map(({ id }) => id))
    return z
      .array(Feed)
      .parse(JSON.parse(people.secret(keptAs, () => '[]')))
      .filter(({ person }) => known.has(person))
  }

  const keep = (feeds: readonly Feed[]): void => {
    people.forgetSecret(keptAs)
    people.secret(keptAs, () => JSON.stringify(feeds))
  }

  return {
    madeAt: (person) => all().find((feed) => feed.person === person)?.madeAt ?? null,
    make(person) {
      const secret = newToken(random)
      const madeAt = clock.now()
      keep([...all().filter((feed) => feed.person !== person), { person, hash: hashOf(secret), madeAt }])
      return { secret, madeAt }
    },
    end(person) {
      const before = all()
      const left = before.filter((feed) => feed.person !== person)
      if (left.length === before.length) return false
      keep(left)
      return true
    },
    find(secret) {
      if (!tokenShape.test(secret)) return null
      const hash = hashOf(secret)
      return all().find((feed) => feed.hash === hash)?.person ?? null
    },
  }
}

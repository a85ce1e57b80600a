import type { Clock } from '../../ports/clock.ts'
import type { Desk } from '../../ports/desk.ts'
import type { Log } from '../../ports/log.ts'
import type { PeopleStore } from '../../ports/people.ts'
import type { RandomBytes } from '../../ports/seal.ts'
import type { AccessTokens } from './access-token.ts'
import type { Sessions } from './session.ts'
import type { TryLimit } from './try-limit.ts'
import type { Turnstile } from './turnstile.ts'
import type { NoteWrongTry } from './wrong-tries.ts'

/** What the routes about coming in share, so that a guesser who changes the route has not changed the door. */
export interface Doors {
  readonly desk: Desk
  readonly people: PeopleStore
  readonly sessions: Sessions
  readonly tokens: AccessTokens
  readonly clock: Clock
  readonly log: Log
  readonly random: RandomBytes
  /** Where this house is reached, without a slash at its end. */
  readonly address: () => string
  /** Of passwords and the set-up code. */
  readonly passwordTries: TryLimit
  /** Of links, apart from passwords: a link that was cut short in a message must not slow the sign-in. */
  readonly linkTries: TryLimit
  /** Hashing a password is dear. */
  readonly gate: Turnstile
  readonly noteWrongTry: NoteWrongTry
}

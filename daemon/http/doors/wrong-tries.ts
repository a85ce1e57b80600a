import type { FastifyReply } from 'fastify'
import type { Clock } from '../../ports/clock.ts'
import type { Desk } from '../../ports/desk.ts'
import type { Log } from '../../ports/log.ts'
import { say } from '../../../shared/words/say.ts'

/** Says that somebody tried in vain; `what` holds nothing of what was typed (X4). */
export type NoteWrongTry = (address: string, wrongTries: number, what: string) => void

export function noteWrongTries(desk: Pick<Desk, 'note'>, clock: Clock, log: Log): NoteWrongTry {
  return (address, wrongTries, what) => {
    log.warn({ address, wrongTries }, what)
    // A thousand wrong tries make ten lines: the 1st, 2nd, 4th, 8th …
    if (Number.isInteger(Math.log2(wrongTries))) {
      const text = `${what} from ${address}: wrong try ${wrongTries}`
      desk.note({ at: clock.now(), kind: 'signInFailed', by: 'brumal', text })
    }
  }
}

/** How long to stay away when too many wait at the turnstile. */
export const busyMs = 5000

export function tooManyTries<Reply extends FastifyReply>(reply: Reply, waitMs: number): Reply {
  const seconds = Math.ceil(waitMs / 1000)
  void reply.header('retry-after', String(seconds))
  return reply.problem(429, 'tooManyTries', say('Too many tries. Wait {seconds} s.', { seconds }))
}

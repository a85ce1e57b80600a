import type { Instant } from '../../schemas/units.ts'
import type { Delivery } from '../ports/outbox.ts'
import type { Exchanged } from './exchange.ts'
import { failureSentence, gaveUpSentence } from './failure-sentence.ts'
import { retryAfterOf } from './retry-after.ts'
import { say } from '../../shared/words/say.ts'

/**
 * What came of one HTTP try, by the status alone. 404 and 410 end the channel; 401, 403 and 407 are tried again, since a
 * login is put right while the parcel waits; 408, 425, 429 and 5xx are tried again; any other answer refuses the message.
 */
export function deliveryOfAnswer(
  who: string,
  answer: Exchanged,
  signal: AbortSignal,
  now: Instant,
): Delivery {
  if (!answer.answered) {
    const sentence = signal.aborted ? gaveUpSentence(who) : failureSentence(who, answer.failure)
    return { outcome: 'later', retryAfter: null, sentence }
  }
  const { status, headers } = answer
  const later = (sentence: string): Delivery => ({
    outcome: 'later',
    retryAfter: retryAfterOf(headers['retry-after'], now),
    sentence,
  })
  if (status >= 200 && status < 300)
    return { outcome: 'delivered', sentence: say('{who} took the message ({status}).', { who, status }) }
  if (status === 404 || status === 410)
    return {
      outcome: 'gone',
      sentence: say('{who} says that this address is no longer there ({status}).', { who, status }),
    }
  if (status === 401 || status === 403 || status === 407)
    return later(say('{who} does not accept our login ({status}).', { who, status }))
  if (status === 429) return later(say('{who} has been asked too often and wants a pause (429).', { who }))
  if (status === 408 || status === 425 || status >= 500)
    return later(say('{who} could not take the message now ({status}).', { who, status }))
  if (status === 413)
    return { outcome: 'refused', sentence: say('{who} finds the message too long (413).', { who }) }
  if (status >= 300 && status < 400) {
    const sentence = say(
      '{who} sends us on to another address ({status}), which is not followed: enter that address instead.',
      { who, status },
    )
    return { outcome: 'refused', sentence }
  }
  return { outcome: 'refused', sentence: say('{who} refuses the message ({status}).', { who, status }) }
}

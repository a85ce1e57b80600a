import type { AnswerNow } from '../../schemas/telling-now.ts'
import type { Millis } from '../../schemas/units.ts'
import type { AlarmRefusal } from './alarms.ts'
import type { Outcome } from './outcome.ts'

export type LinkRefusal = 'badLink' | 'oldLink'

/** A link is good for one raising of one alarm, or one ring test, until it expires; used twice it does no harm. */
export interface Answers {
  look(token: string): Outcome<AnswerNow, LinkRefusal>
  acknowledge(token: string): Outcome<AnswerNow, LinkRefusal | AlarmRefusal>
  tend(
    token: string,
    lasts: Millis,
  ): Outcome<AnswerNow, LinkRefusal | 'earlierOccurrence' | 'noSuchPlace' | 'tooLong' | 'notNow'>
  shelve(
    token: string,
    lasts: Millis,
    reason: string,
  ): Outcome<AnswerNow, LinkRefusal | AlarmRefusal | 'keeperOnly'>
  /** The test rang. */
  rang(token: string): Outcome<AnswerNow, LinkRefusal | 'noSuchChannel'>
}

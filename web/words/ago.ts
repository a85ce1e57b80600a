import { durationWords } from '../../shared/telling/words.ts'
import { say } from '../../shared/words/say.ts'

/** How long ago in words. A clock that is a little behind says `just now`. */
export const agoWords = (ms: number): string =>
  ms < 2000 ? say('just now') : say('{duration} ago', { duration: durationWords(ms) })

/** In whole days once it is two or more: the hour of a weigh-in is of no use. */
export const daysAgoWords = (ms: number): string =>
  ms < 2 * dayMs ? agoWords(ms) : say('{floor} days ago', { floor: Math.floor(ms / dayMs) })

const dayMs = 86_400_000

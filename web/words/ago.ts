import { durationWords } from '../../shared/telling/words.ts'

/** How long ago in words. A clock that is a little behind says `just now`. */
export const agoWords = (ms: number): string => (ms < 2000 ? 'just now' : `${durationWords(ms)} ago`)

/** In whole days once it is two or more: the hour of a weigh-in is of no use. */
export const daysAgoWords = (ms: number): string =>
  ms < 2 * dayMs ? agoWords(ms) : `${Math.floor(ms / dayMs)} days ago`

const dayMs = 86_400_000

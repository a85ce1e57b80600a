import { durationWords } from '../../shared/telling/words.ts'

/** How long ago in words. A clock that is a little behind says `just now`. */
export const agoWords = (ms: number): string => (ms < 2000 ? 'just now' : `${durationWords(ms)} ago`)

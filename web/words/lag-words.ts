import type { PlaceLag } from '../../schemas/lag.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { Tell } from './tell.ts'

/** Below this, K, two sensors agree as well as any two do. */
const samePlace = 0.2

/** What a measurement found, in a sentence or two. */
export function lagWords(lag: PlaceLag, tell: Tell): string {
  if (!lag.isKnown) return lag.sentence
  const { tau, uncertainty, above, from, to } = lag
  // Two standard uncertainties either way hold the truth about 95 times of 100 (GUM 6)
  const range = `${durationWords(Math.max(0, tau - 2 * uncertainty))} to ${durationWords(tau + 2 * uncertainty)}`
  const offset =
    Math.abs(above) < samePlace
      ? ''
      : ` The probe reads ${tell.difference(Math.abs(above))} ${above > 0 ? 'warmer' : 'colder'} than that alone would make it.`
  return `It follows with a time constant of ${durationWords(tau)} (${range}), by what was heard in the last ${durationWords(to - from)}.${offset}`
}

/** What is taken for reckoning. */
export const lagTaken = (lag: number | undefined): string =>
  lag === undefined
    ? 'No time constant is taken any more.'
    : `The animals’ side is taken to follow the air with a time constant of ${durationWords(lag)}: after that long it has gone about two thirds of the way.`

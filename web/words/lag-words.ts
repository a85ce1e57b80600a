import type { PlaceLag } from '../../schemas/lag.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

/** Below this, K, two sensors agree as well as any two do. */
const samePlace = 0.2

/** What a measurement found, in a sentence or two. */
export function lagWords(lag: PlaceLag, tell: Tell): string {
  if (!lag.isKnown) return lag.sentence
  const { tau, uncertainty, above, from, to } = lag
  // Two standard uncertainties either way hold the truth about 95 times of 100 (GUM 6)
  const range = say('{duration} to {duration2}', {
    duration: durationWords(Math.max(0, tau - 2 * uncertainty)),
    duration2: durationWords(tau + 2 * uncertainty),
  })
  const offset =
    Math.abs(above) < samePlace
      ? ''
      : say(' The probe reads {difference} {part} than that alone would make it.', {
          difference: tell.difference(Math.abs(above)),
          part: above > 0 ? say('warmer') : say('colder'),
        })
  return say(
    'It follows with a time constant of {duration} ({range}), by what was heard in the last {duration2}.{offset}',
    { duration: durationWords(tau), range, duration2: durationWords(to - from), offset },
  )
}

/** What is taken for reckoning. */
export const lagTaken = (lag: number | undefined): string =>
  lag === undefined
    ? say('No time constant is taken any more.')
    : say(
        'The animals’ side is taken to follow the air with a time constant of {duration}: after that long it has gone about two thirds of the way.',
        { duration: durationWords(lag) },
      )

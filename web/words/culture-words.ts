import type { Culture, CultureNow, LiveFood } from '../../schemas/culture.ts'
import { inReadersDigits } from '../../shared/words/reader.ts'
import { say } from '../../shared/words/say.ts'

export const foodName: Record<LiveFood, string> = {
  houseCricket: say('House crickets'),
  desertLocust: say('Desert locusts'),
  mealworm: say('Mealworms'),
  woodlouse: say('Woodlice'),
  fruitFly: say('Fruit flies'),
}

export const unitName: Record<Culture['unit'], string> = { pieces: say('pieces'), grams: say('grams') }

export const warmthName: Record<NonNullable<CultureNow['warmth']>['standing'], string> = {
  good: say('Warm enough'),
  slow: say('Cool: it grows slowly'),
  stopped: say('Too cold: it does not grow'),
  harmful: say('Harmful'),
  unknown: say('Nothing published for this warmth'),
}

/** `3.0 times slower than at its best`; empty at its best and where it is not known. */
export function slowerWords({ slower }: NonNullable<CultureNow['warmth']>): string {
  return slower === null || slower < 1.05
    ? ''
    : say('{slower} times slower than at its best.', { slower: inReadersDigits(slower.toFixed(1)) })
}

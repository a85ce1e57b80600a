import type { Culture, CultureNow, LiveFood } from '../../schemas/culture.ts'

export const foodName: Record<LiveFood, string> = {
  houseCricket: 'House crickets',
  desertLocust: 'Desert locusts',
  mealworm: 'Mealworms',
  woodlouse: 'Woodlice',
  fruitFly: 'Fruit flies',
}

export const unitName: Record<Culture['unit'], string> = { pieces: 'pieces', grams: 'grams' }

export const warmthName: Record<NonNullable<CultureNow['warmth']>['standing'], string> = {
  good: 'Warm enough',
  slow: 'Cool: it grows slowly',
  stopped: 'Too cold: it does not grow',
  harmful: 'Harmful',
  unknown: 'Nothing published for this warmth',
}

/** `3.0 times slower than at its best`; empty at its best and where it is not known. */
export function slowerWords({ slower }: NonNullable<CultureNow['warmth']>): string {
  return slower === null || slower < 1.05 ? '' : `${slower.toFixed(1)} times slower than at its best.`
}

/** A weigh-in that differs by more from the last is asked about once, as a share: no animal changes so between two looks. */
const mostChange = 0.3

export const isImplausible = (grams: number, last: number): boolean =>
  Math.abs(grams - last) > last * mostChange + 1e-9 // what binary fractions are off at 30 % sharp

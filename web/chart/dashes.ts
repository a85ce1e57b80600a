/** How the lines of several sensors differ: by dash, never by colour. */
export const dashes: readonly (readonly number[])[] = [[], [6, 3], [2, 3], [8, 3, 2, 3]]

/** The animals' side is calmer than what was measured, and estimated: long dashes of the softer ink. */
export const animalDash: readonly number[] = [12, 5]

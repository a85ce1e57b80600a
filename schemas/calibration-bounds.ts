// Apart from the schema so that a page that uses them carries no validator.

/** A gain outside these is no need of correction but a broken sensor or a wrong unit. Derived: no element is a half or double. */
export const leastGain = 0.5
export const mostGain = 2

/** An offset beyond this, either way, in the quantity's unit: as above. Derived: ten times the worst data sheet's error. */
export const mostOffset = 20

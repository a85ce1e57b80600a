/** Chance that a normally distributed value is at or below `limit`; with no spread it is 0 or 1, meeting it counts. */
export function chanceBelow(limit: number, mean: number, deviation: number): number {
  if (!(deviation > 0)) return mean <= limit ? 1 : 0
  const z = (limit - mean) / deviation
  const tail = upperTail(Math.abs(z))
  return z >= 0 ? 1 - tail : tail
}

/** Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.2.17: wrong by less than 7.5e-8. */
function upperTail(z: number): number {
  const t = 1 / (1 + 0.2316419 * z)
  const series =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))))
  return (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * series
}

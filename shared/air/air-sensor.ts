import type { Sensor } from '../../schemas/sensor.ts'

/** A sensor by what it can tell of the air around it. */
export interface AirCandidate {
  readonly spot: Sensor['spot']
  readonly hasTemperature: boolean
  readonly hasHumidity: boolean
}

export interface AirPair<Candidate> {
  readonly humidity: Candidate
  readonly temperature: Candidate
}

/**
 * Which sensors speak of the air. Relative humidity belongs to the temperature of its own element: one that tells both comes first, and
 * one in the air before one that touches something. Null where humidity or temperature is missing.
 */
export function airPair<Candidate extends AirCandidate>(
  candidates: readonly Candidate[],
): AirPair<Candidate> | null {
  const inAirFirst = [
    ...candidates.filter(({ spot }) => spot === 'air'),
    ...candidates.filter(({ spot }) => spot !== 'air'),
  ]
  const both = inAirFirst.find(({ hasTemperature, hasHumidity }) => hasTemperature && hasHumidity)
  if (both !== undefined) return { humidity: both, temperature: both }
  const humidity = inAirFirst.find(({ hasHumidity }) => hasHumidity)
  const temperature = inAirFirst.find(({ hasTemperature }) => hasTemperature)
  return humidity === undefined || temperature === undefined ? null : { humidity, temperature }
}

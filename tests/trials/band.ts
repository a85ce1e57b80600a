import { profileOf } from '../../shared/species/catalogue.ts'
import type { SpeciesId } from '../../schemas/ids.ts'
import type { Species } from './setting.ts'

/** The limits of a species in the phase that it spends the winter in, °C, by strict guidance. */
export interface TriedBand {
  readonly lowCritical: number
  readonly low: number
  readonly high: number
  readonly highCritical: number
}

export function bandOf(species: Species): TriedBand {
  const profile = profileOf(species as SpeciesId)
  const phase = species === 'python-regius' ? profile?.active : profile?.hold
  const of = (name: keyof TriedBand): number | undefined =>
    phase?.temperature.find(({ limit }) => limit === name)?.value
  const [lowCritical, highCritical] = [of('lowCritical'), of('highCritical')]
  if (lowCritical === undefined || highCritical === undefined)
    throw new Error(`${species} has no critical limits to be tried by`)
  return { lowCritical, low: of('low') ?? lowCritical, high: of('high') ?? highCritical, highCritical }
}

import type { Guidance, SpeciesProfile } from '../../schemas/species.ts'
import { Link } from '../parts/link.tsx'
import { SpeciesFigures } from '../species/species-figures.tsx'

/** A species' numbers, each with where it comes from and how far it can be trusted. */
export function SpeciesNumbers({ profile, guidance }: { profile: SpeciesProfile; guidance: Guidance }) {
  return (
    <div>
      <details class="species">
        <summary>
          Its numbers and their sources
          {profile.weak && <span class="soft"> (weak: common practice)</span>}
        </summary>
        {profile.winter === 'never' && <p>This species must never go down.</p>}
        <SpeciesFigures profile={profile} guidance={guidance} />
      </details>
      <p class="hint">
        <Link to="/species">All species, and profiles of your own</Link>
      </p>
    </div>
  )
}

import type { Guidance, SpeciesProfile } from '../../schemas/species.ts'
import { Link } from '../parts/link.tsx'
import { SpeciesFigures } from '../species/species-figures.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** A species' numbers, each with where it comes from and how far it can be trusted. */
export function SpeciesNumbers({ profile, guidance }: { profile: SpeciesProfile; guidance: Guidance }) {
  return (
    <div>
      <details class="species">
        <summary>
          {sayWith('Its numbers and their sources{part}', {
            part: profile.weak && <span class="soft">{say(' (weak: common practice)')}</span>,
          })}
        </summary>
        {profile.winter === 'never' && <p>{say('This species must never go down.')}</p>}
        <SpeciesFigures profile={profile} guidance={guidance} />
      </details>
      <p class="hint">
        <Link to="/species">{say('All species, and profiles of your own')}</Link>
      </p>
    </div>
  )
}

import type { Animal } from '../../schemas/animal.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { pathOfPlace } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { Link } from '../parts/link.tsx'
import { ageClassName, sexName } from '../words/animal-words.ts'
import { Portrait } from './portrait.tsx'

/** Who it is. */
export function AnimalHead({
  animal,
  profile,
  years,
}: {
  animal: Animal
  profile: SpeciesProfile | null
  years: number | null
}) {
  const { tell, person } = usePage()
  const { names } = useWords()
  const about = [
    animal.sex === undefined ? null : sexName[animal.sex],
    years !== null
      ? `${tell.plain(years, years < 3 ? 1 : 0)} years`
      : animal.ageClass === undefined
        ? null
        : ageClassName[animal.ageClass],
    animal.since === undefined ? null : `here since ${animal.since}`,
    animal.mark === undefined ? null : `mark ${animal.mark}`,
  ].filter((one) => one !== null)
  return (
    <div class="animal-head">
      <Portrait animal={animal} />
      <div>
        <p>
          {profile === null ? animal.species : profile.common}{' '}
          {profile !== null && <i class="soft">{profile.latin}</i>}
        </p>
        {about.length > 0 && <p class="soft">{about.join(' · ')}</p>}
        <p class="animal-links">
          {animal.place === null ? (
            <span class="soft">in no place</span>
          ) : (
            <Link to={pathOfPlace(animal.place)}>{names.place(animal.place)}</Link>
          )}
          {person.value?.role === 'keeper' && <Link to="/set-up">Change under Set-up</Link>}
        </p>
        {profile?.weak === true && (
          <p class="hint">The figures of this species rest on keepers’ habit, not on published work.</p>
        )}
        {animal.notes !== undefined && <p>{animal.notes}</p>}
      </div>
    </div>
  )
}

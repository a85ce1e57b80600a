import type { Animal } from '../../schemas/animal.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { pathOfPlace } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { Link } from '../parts/link.tsx'
import { ageClassName, sexName } from '../words/animal-words.ts'
import { Portrait } from './portrait.tsx'
import { say } from '../../shared/words/say.ts'

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
      ? say('{plain} years', { plain: tell.plain(years, years < 3 ? 1 : 0) })
      : animal.ageClass === undefined
        ? null
        : ageClassName[animal.ageClass],
    animal.since === undefined ? null : say('here since {since}', { since: animal.since }),
    animal.mark === undefined ? null : say('mark {mark}', { mark: animal.mark }),
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
            <span class="soft">{say('in no place')}</span>
          ) : (
            <Link to={pathOfPlace(animal.place)}>{names.place(animal.place)}</Link>
          )}
          {person.value?.role === 'keeper' && <Link to="/set-up">{say('Change under Set-up')}</Link>}
        </p>
        {profile?.weak === true && (
          <p class="hint">
            {say('The figures of this species rest on keepers’ habit, not on published work.')}
          </p>
        )}
        {animal.notes !== undefined && <p>{animal.notes}</p>}
      </div>
    </div>
  )
}

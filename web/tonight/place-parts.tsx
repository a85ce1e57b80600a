import type { PlaceNow, Standing } from '../../schemas/api.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { StandingSign } from '../moon/moon.tsx'
import { pathOfAnimal } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { held } from '../words/held.ts'

/** How a place stands as far as this page may say so: once nothing is heard any more, nothing is safe (N1). */
export function useStanding(place: PlaceNow): Standing {
  const { live } = usePage()
  return live.isLost.value && place.standing === 'safe' ? 'unsure' : place.standing
}

export function PlaceSign({ place }: { place: PlaceNow }) {
  return <StandingSign standing={useStanding(place)} priority={place.priority} />
}

/** Whether anything is measured that judges it. */
export const isWatched = (place: PlaceNow): boolean => place.values.length > 0 || place.judgedBy !== null

/** Who lives here, and in which phase. */
export function PlaceAnimals({ place }: { place: PlaceNow }) {
  if (place.animals.length === 0) return null
  return (
    <ul class="animals">
      {place.animals.map((animal) => (
        <li key={animal.id}>
          <Link to={pathOfAnimal(animal.id)} class="animal-name">
            {animal.name}
          </Link>{' '}
          <span class="soft">
            {animal.common}, {phaseWord[animal.phase]}
          </span>
        </li>
      ))}
    </ul>
  )
}

/** What the keeper should know about how it is judged. */
export function PlaceRemarks({ place }: { place: PlaceNow }) {
  if (place.remarks.length === 0) return null
  return (
    <ul class="remarks">
      {place.remarks.map((remark) => (
        <li key={remark}>{held(remark)}</li>
      ))}
    </ul>
  )
}

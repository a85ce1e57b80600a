import { useSignal } from '@preact/signals'
import type { PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { bandWords } from '../../shared/telling/words.ts'
import { pathOfPlace } from '../page/route.ts'
import { Link } from '../parts/link.tsx'
import { kindName } from '../words/names.ts'
import { LimitReasons } from './limit-reasons.tsx'
import { PlaceNight } from './place-night.tsx'
import { isWatched, PlaceAnimals, PlaceRemarks, PlaceSign, useStanding } from './place-parts.tsx'
import { TendPlace } from './tend-place.tsx'
import { ValuesNow } from './values-now.tsx'
import { say } from '../../shared/words/say.ts'

/** One place: who is there, how it is now, how the night went. Its name leads to a page of its own. */
export function PlaceCard({ place, parent }: { place: PlaceNow; parent: string | null }) {
  const quantity = useSignal<Quantity>('temperature')
  const standing = useStanding(place)
  const band = place.bands[quantity.value]
  const words = band === undefined ? '' : bandWords(quantity.value, band)
  const title = `place-${place.id}`

  return (
    <article class={`place place-${standing}`} aria-labelledby={title}>
      <header class="place-head">
        <h2 id={title}>
          <Link to={pathOfPlace(place.id)} class="place-name">
            {place.name}
          </Link>
        </h2>
        <PlaceSign place={place} />
      </header>
      <p class="place-where">
        {kindName[place.kind]}
        {parent !== null && say(' in {parent}', { parent })}
        {words !== '' && <span class="place-band"> · {words}</span>}
      </p>
      <PlaceAnimals place={place} />
      <ValuesNow place={place} />
      <PlaceRemarks place={place} />
      {isWatched(place) && <PlaceNight place={place} quantity={quantity} band={words} />}
      <footer class="place-foot">
        {isWatched(place) && <TendPlace place={place} />}
        <LimitReasons bands={place.bands} />
      </footer>
    </article>
  )
}

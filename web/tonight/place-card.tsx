import type { PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { useSignal } from '@preact/signals'
import { bandWords, phaseWord } from '../../shared/telling/words.ts'
import { StandingSign } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { kindName } from '../words/names.ts'
import { LimitReasons } from './limit-reasons.tsx'
import { PlaceNight } from './place-night.tsx'
import { TendPlace } from './tend-place.tsx'
import { ValuesNow } from './values-now.tsx'

/** One place: who is there, how it is now, how the night went. */
export function PlaceCard({ place, parent }: { place: PlaceNow; parent: string | null }) {
  const page = usePage()
  const quantity = useSignal<Quantity>('temperature')
  const standing = page.live.isLost.value && place.standing === 'safe' ? 'unsure' : place.standing
  const band = place.bands[quantity.value]
  const words = band === undefined ? '' : bandWords(quantity.value, band)
  const isWatched = place.values.length > 0 || place.judgedBy !== null
  const title = `place-${place.id}`

  return (
    <article class={`place place-${standing}`} aria-labelledby={title}>
      <header class="place-head">
        <h2 id={title}>{place.name}</h2>
        <StandingSign standing={standing} priority={place.priority} />
      </header>
      <p class="place-where">
        {kindName[place.kind]}
        {parent !== null && ` in ${parent}`}
        {words !== '' && <span class="place-band"> · {words}</span>}
      </p>
      {place.animals.length > 0 && (
        <ul class="animals">
          {place.animals.map((animal) => (
            <li key={animal.id}>
              <strong>{animal.name}</strong>{' '}
              <span class="soft">
                {animal.common}, {phaseWord[animal.phase]}
              </span>
            </li>
          ))}
        </ul>
      )}
      <ValuesNow place={place} />
      {place.remarks.length > 0 && (
        <ul class="remarks">
          {place.remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
      {isWatched && <PlaceNight place={place} quantity={quantity} band={words} />}
      <footer class="place-foot">
        {isWatched && <TendPlace place={place} />}
        <LimitReasons bands={place.bands} />
      </footer>
    </article>
  )
}

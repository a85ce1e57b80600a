import type { PlaceAir } from '../../schemas/air.ts'
import type { PlaceNow } from '../../schemas/api.ts'
import { doorOf } from '../../shared/air/one-door.ts'
import { query, sentenceOf } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { useAnswer } from '../parts/use-answer.ts'
import { airSentences, dayOfAirSentences } from '../words/air-words.ts'
import { held } from '../words/held.ts'
import type { Opening } from '../words/thermal-words.ts'
import { airNow, roomAir } from './air-now.ts'
import { AiringSays } from './airing-says.tsx'
import type { DoorLines } from './use-openings.ts'
import { say } from '../../shared/words/say.ts'

/** How moist the air is and what it wets, how the last day dried, and when fresh air last came in. */
export function AirSays({
  place,
  places,
  openings,
  doors,
}: {
  place: PlaceNow
  places: readonly PlaceNow[]
  openings: readonly Opening[]
  doors: DoorLines
}) {
  const { tell, household } = usePage()
  const spotOf = (id: string) => household.value?.sensors.find((one) => one.id === id)?.spot
  const now = airNow(place, places, spotOf)
  const sentences = airSentences(now, roomAir(place, places, spotOf), tell)
  const isWanted = place.animals.length > 0 || place.kind === 'fridge' || place.kind === 'box'
  const hasDoor = doorOf(place.id, places) !== null
  if (sentences.length === 0 && !isWanted && !hasDoor) return null
  return (
    <section class="says" aria-labelledby="air">
      <h2 id="air">{say('The air')}</h2>
      {sentences.length > 0 && (
        <ul>
          {sentences.map((sentence) => (
            <li key={sentence}>{held(sentence)}</li>
          ))}
        </ul>
      )}
      {now.kind === 'none' ? (
        <p class="soft">{say('No humidity sensor here.')}</p>
      ) : (
        <DayOfAir key={place.id} place={place} />
      )}
      <AiringSays place={place} places={places} openings={openings} doors={doors} />
    </section>
  )
}

/** The last 24 h, asked anew each ten minutes. */
function DayOfAir({ place }: { place: PlaceNow }) {
  const { tell, now } = usePage()
  const to = Math.floor(now.value / stepMs) * stepMs
  const path = `/api/places/${encodeURIComponent(place.id)}/air${query({ from: to - dayMs, to })}`
  const { value, problem } = useAnswer<PlaceAir>(path)
  if (problem.value !== null)
    return (
      <p class="soft">
        {say('The last 24 h of it could not be fetched: {sentence}', { sentence: sentenceOf(problem.value) })}
      </p>
    )
  if (value.value === null) return <p class="soft awaited">{say('Looking through the last 24 h of it …')}</p>
  return (
    <ul>
      {dayOfAirSentences(value.value, tell).map((sentence) => (
        <li key={sentence}>{held(sentence)}</li>
      ))}
    </ul>
  )
}

const stepMs = 600_000
const dayMs = 86_400_000

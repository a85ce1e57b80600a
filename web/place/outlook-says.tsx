import type { PlaceNow } from '../../schemas/api.ts'
import type { PlaceOutlook } from '../../schemas/outlook.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import { caution } from '../../shared/telling/first-thing.ts'
import { sentenceOf } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { useAnswer } from '../parts/use-answer.ts'
import { isWatched } from '../tonight/place-parts.tsx'
import { held } from '../words/held.ts'
import { outlookSentences } from '../words/outlook-words.ts'
import { say } from '../../shared/words/say.ts'

/** What a compressor or a cellar keeps cold, and boxes, of which the daemon knows whether they stand in one. */
const cooledKinds: readonly PlaceKind[] = ['fridge', 'coldRoom', 'box']

/** How long there is if the power fails, or if the compressor never stops; nothing where nothing cools. */
export function OutlookSays({ place, places }: { place: PlaceNow; places: readonly PlaceNow[] }) {
  if (!isWatched(place) || !cooledKinds.includes(place.kind)) return null
  const around = places.find(({ id }) => id === place.parent)
  const isCooled = place.kind !== 'box' || (around !== undefined && around.kind !== 'room')
  return isCooled ? <Outlook key={place.id} place={place} /> : null
}

function Outlook({ place }: { place: PlaceNow }) {
  const { tell, now } = usePage()
  const { value, problem } = useAnswer<PlaceOutlook>(`/api/places/${encodeURIComponent(place.id)}/outlook`)
  const outlook = value.value
  if (outlook !== null && !outlook.powerFails.isKnown && outlook.powerFails.why === 'notCooled') return null
  const told = { tell, now: now.value, zone: place.timeZone }
  const isKnown = outlook !== null && (outlook.powerFails.isKnown || outlook.stuckOn.isKnown)
  return (
    <section class="says" aria-labelledby="outlook">
      <h2 id="outlook">{say('If the power failed now')}</h2>
      {problem.value !== null && (
        <p class="soft">
          {say('It could not be reckoned: {sentence}', { sentence: sentenceOf(problem.value) })}
        </p>
      )}
      {outlook === null && problem.value === null && <p class="soft awaited">{say('Reckoning …')}</p>}
      {outlook !== null && problem.value === null && (
        <ul>
          {outlookSentences(outlook, told).map((sentence) => (
            <li key={sentence}>{held(sentence)}</li>
          ))}
        </ul>
      )}
      {isKnown && (
        <p class="hint">
          {say(
            'An estimate: nine times in ten the truth lies between the two times in brackets. Open the door and it is shorter. {caution}',
            { caution },
          )}
        </p>
      )}
    </section>
  )
}

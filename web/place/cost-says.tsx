import type { PlaceNow } from '../../schemas/api.ts'
import type { PlaceCost } from '../../schemas/cost.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import { query, sentenceOf } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { useAnswer } from '../parts/use-answer.ts'
import { isWatched } from '../tonight/place-parts.tsx'
import { costSentences, stretchWords } from '../words/cost-words.ts'
import { held } from '../words/held.ts'
import { CostBeyond } from './cost-beyond.tsx'
import { CostNights } from './cost-nights.tsx'
import { type CostStretch, costStretch } from './cost-since.ts'
import { say } from '../../shared/words/say.ts'

/** What the winter, or the last 30 days, did to this place; nothing where nothing watches it. */
export function CostSays({ place }: { place: PlaceNow; places: readonly PlaceNow[] }) {
  const { household, now } = usePage()
  const home = household.value
  if (home === null || !isWatched(place)) return null
  const stretch = costStretch(place, home, now.value)
  return (
    <section class="says" aria-labelledby="cost">
      <h2 id="cost">{stretch.by === 'plan' ? say('What the winter cost') : say('The last 30 days')}</h2>
      {stretch.from < stretch.to ? (
        <Cost key={place.id} place={place} home={home} stretch={stretch} />
      ) : (
        <p class="soft">{say('It has only just begun.')}</p>
      )}
    </section>
  )
}

/** Where animals would be cold; elsewhere they are awake and eat. */
const coldKinds: readonly PlaceKind[] = ['fridge', 'box', 'coldRoom', 'frame']

function Cost({ place, home, stretch }: { place: PlaceNow; home: Household; stretch: CostStretch }) {
  const { tell, now } = usePage()
  const { from, to } = stretch
  const path = `/api/places/${encodeURIComponent(place.id)}/cost${query({ from, to })}`
  const { value, problem } = useAnswer<PlaceCost>(path)
  const cost = value.value
  const told = { tell, now: now.value, zone: place.timeZone }
  const isColdHere = stretch.by === 'plan' || coldKinds.includes(place.kind)
  return (
    <>
      <p>{held(stretchWords(stretch, told))}</p>
      {problem.value !== null && (
        <p class="soft">
          {say('It could not be reckoned: {sentence}', { sentence: sentenceOf(problem.value) })}
        </p>
      )}
      {cost === null && problem.value === null && <p class="soft">{say('Reckoning it up …')}</p>}
      {cost !== null && problem.value === null && (
        <>
          <ul>
            {costSentences(cost, { guidance: home.guidance, isColdHere }, told).map((sentence) => (
              <li key={sentence}>{held(sentence)}</li>
            ))}
          </ul>
          {cost.known > 0 && <CostBeyond cost={cost} isLimited={place.bands.temperature !== undefined} />}
          <CostNights nights={cost.nights} zone={place.timeZone} />
        </>
      )}
    </>
  )
}

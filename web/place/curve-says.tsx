import type { PlaceNow } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { held } from '../words/held.ts'
import { curveSentences, type Opening } from '../words/thermal-words.ts'
import { DoorOpenings } from './door-openings.tsx'
import { openingsSinceMs } from './openings.ts'
import type { DoorLines } from './use-openings.ts'
import { say } from '../../shared/words/say.ts'

/** What the curve says in plain sentences, and the doors behind it; nothing where nothing is known. */
export function CurveSays({
  place,
  openings,
  doors,
}: {
  place: PlaceNow
  openings: readonly Opening[]
  doors: DoorLines
}) {
  const { tell, now } = usePage()
  const sentences =
    place.thermal === undefined
      ? []
      : curveSentences(place.thermal, openings, { tell, now: now.value, zone: place.timeZone })
  const isWatched = place.thermal?.door !== undefined
  return (
    <>
      {sentences.length > 0 && (
        <section class="says" aria-labelledby="says">
          <h2 id="says">{say('What the curve says')}</h2>
          <ul>
            {sentences.map((sentence) => (
              <li key={sentence}>{held(sentence)}</li>
            ))}
          </ul>
        </section>
      )}
      {(isWatched || openings.length > 0) && (
        <section class="says" aria-labelledby="doors">
          <h2 id="doors">{say('The door in the last 14 days')}</h2>
          {openings.length > 0 && <DoorOpenings openings={openings} zone={place.timeZone} />}
          <ProblemNote problem={doors.problem} />
          {openings.length === 0 && doors.problem === null && (
            <p class="soft">
              {doors.readFrom === null
                ? say('Looking through the journal …')
                : say(
                    'No opening was seen. Each will be listed here, with how far the air warmed and how soon it was back.',
                  )}
            </p>
          )}
          {doors.readFrom !== null && doors.readFrom > now.value - openingsSinceMs && (
            <p class="hint">
              {say('The journal is long: openings before {time} are not listed.', {
                time: tell.when(doors.readFrom, now.value, place.timeZone),
              })}
            </p>
          )}
        </section>
      )}
    </>
  )
}

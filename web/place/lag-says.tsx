import { useSignal } from '@preact/signals'
import type { PlaceNow } from '../../schemas/api.ts'
import type { PlaceLag } from '../../schemas/lag.ts'
import type { Place } from '../../schemas/place.ts'
import type { Millis } from '../../schemas/units.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { save } from '../set-up/save.ts'
import { held } from '../words/held.ts'
import { lagTaken, lagWords } from '../words/lag-words.ts'
import { say } from '../../shared/words/say.ts'

/** How the animals' side follows the air, and the measuring of it where a probe lies in the substrate (L11). */
export function LagSays({ place }: { place: PlaceNow }) {
  const page = usePage()
  const act = useAct()
  const found = useSignal<PlaceLag | null>(null)
  const { places = [], sensors = [] } = page.household.value ?? {}
  const kept = places.find(({ id }) => id === place.id)
  const hasProbe = sensors.some(
    (sensor) => sensor.place === place.id && (sensor.spot === 'substrate' || sensor.spot === 'water'),
  )
  if (kept === undefined || (!hasProbe && kept.animalLag === undefined)) return null
  const isKeeper = page.person.value?.role === 'keeper'
  const lag = found.value

  const take = (next: Place): void => {
    void act.run(
      () => save(page, 'places', next),
      () => {
        found.value = null
        page.undo.value = {
          sentence: `${place.name}: ${lagTaken(next.animalLag)}`,
          undo: async () => void (await save(page, 'places', kept)),
        }
      },
    )
  }

  return (
    <section class="says" aria-labelledby="lag">
      <h2 id="lag">{say('How the animals follow the air')}</h2>
      {kept.animalLag !== undefined && <p>{held(lagTaken(kept.animalLag))}</p>}
      {hasProbe && (
        <p class="hint">
          {say(
            'The probe in the substrate can tell how fast it follows. With that known, the probe may lie elsewhere: the animals’ side is then reckoned from the air.',
          )}
        </p>
      )}
      <div aria-live="polite">{lag !== null && <p>{held(lagWords(lag, page.tell))}</p>}</div>
      {hasProbe && (
        <p class="acts">
          <button
            type="button"
            disabled={act.isBusy.value}
            onClick={() =>
              void act.run(
                () => page.ask<PlaceLag>('GET', pathTo('places', place.id, 'lag')),
                (value) => (found.value = value),
              )
            }
          >
            {lag === null ? say('Measure it') : say('Measure again')}
          </button>{' '}
          {isKeeper && lag?.isKnown === true && toMinute(lag.tau) !== kept.animalLag && (
            <button
              type="button"
              class="strong"
              disabled={act.isBusy.value}
              onClick={() => take({ ...kept, animalLag: toMinute(lag.tau) })}
            >
              {say('Take it')}
            </button>
          )}
        </p>
      )}
      <ProblemNote problem={act.problem.value} />
    </section>
  )
}

/** Nobody needs the milliseconds of an estimate. */
const toMinute = (tau: Millis): Millis => (Math.max(1, Math.round(tau / 60_000)) * 60_000) as Millis

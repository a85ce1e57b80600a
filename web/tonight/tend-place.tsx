import { useSignal } from '@preact/signals'
import type { PlaceNow } from '../../schemas/api.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { tendingMinutes } from '../words/tending-minutes.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** "I am opening this": keeps alarms of warmth and doors quiet for a while (A3). */
export function TendPlace({ place }: { place: PlaceNow }) {
  const page = usePage()
  const act = useAct()
  const isOpen = useSignal(false)
  const tend = (minutes: number): void =>
    void act.run(
      () => page.ask('POST', pathTo('places', place.id, 'tend'), { minutes }),
      () => {
        isOpen.value = false
        void page.refresh()
      },
    )
  const until = place.tendedUntil

  if (until !== null && until > page.now.value) {
    return (
      <div class="tend">
        <p>
          {sayWith('Being tended until {clock}: alarms of warmth are quiet. {button}', {
            clock: page.tell.clock(until, place.timeZone),
            button: (
              <button type="button" disabled={act.isBusy.value} onClick={() => tend(0)}>
                {say('Done')}
              </button>
            ),
          })}
        </p>
        <ProblemNote problem={act.problem.value} />
      </div>
    )
  }
  return (
    <div class="tend">
      <button type="button" aria-expanded={isOpen.value} onClick={() => (isOpen.value = !isOpen.value)}>
        {say('I am opening this')}
      </button>
      {isOpen.value && (
        <div class="choice" role="group" aria-label={say('Tend {place} for', { place: place.name })}>
          {tendingMinutes.map((minutes) => (
            <button key={minutes} type="button" disabled={act.isBusy.value} onClick={() => tend(minutes)}>
              {say('{minutes} min', { minutes })}
            </button>
          ))}
        </div>
      )}
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}

import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'

/** An invented household to look round in, where the daemon offers one. */
export function PracticeOffer() {
  const page = usePage()
  const act = useAct()
  const isAsked = useSignal(false)
  if (!page.practice.value.offered) return null
  return (
    <section class="offer" aria-labelledby="look-around">
      <h2 id="look-around">Look around first</h2>
      <p>
        An invented household with a simulated fridge, its animals and its troubles. Nothing of it is kept.
      </p>
      <button
        type="button"
        disabled={act.isBusy.value || isAsked.value}
        onClick={() =>
          void act.run(
            () => page.ask('POST', '/api/practice', { on: true }),
            () => (isAsked.value = true),
          )
        }
      >
        {isAsked.value ? 'Brumal is starting over …' : 'Start the invented household'}
      </button>
      <ProblemNote problem={act.problem.value} />
    </section>
  )
}

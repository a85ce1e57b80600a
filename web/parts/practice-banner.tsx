import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from './problem-note.tsx'
import { useAct } from './use-act.ts'

/** Says on every screen that an invented household is shown, and offers the way out. */
export function PracticeBanner() {
  const page = usePage()
  const act = useAct()
  const isAsked = useSignal(false)
  if (page.tonight.value?.practice !== true) return null
  return (
    <aside class="practice" aria-label="Practice">
      <p>
        <strong>Practice: nothing here is real.</strong> The animals, places and readings are invented.
      </p>
      <button
        type="button"
        disabled={act.isBusy.value || isAsked.value}
        onClick={() =>
          void act.run(
            () => page.ask('POST', '/api/practice', { on: false }),
            () => (isAsked.value = true),
          )
        }
      >
        {isAsked.value ? 'Brumal is starting over …' : 'Leave practice'}
      </button>
      <ProblemNote problem={act.problem.value} />
    </aside>
  )
}

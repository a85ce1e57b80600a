import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from './problem-note.tsx'
import { useAct } from './use-act.ts'
import { say } from '../../shared/words/say.ts'

/** Starts or leaves the invented household; Brumal starts over either way. */
export function PracticeButton({ on, words }: { on: boolean; words: string }) {
  const { ask } = usePage()
  const act = useAct()
  const isAsked = useSignal(false)
  return (
    <>
      <button
        type="button"
        disabled={act.isBusy.value || isAsked.value}
        onClick={() =>
          void act.run(
            () => ask('POST', '/api/practice', { on }),
            () => (isAsked.value = true),
          )
        }
      >
        {isAsked.value ? say('Brumal is starting over …') : words}
      </button>
      <ProblemNote problem={act.problem.value} />
    </>
  )
}

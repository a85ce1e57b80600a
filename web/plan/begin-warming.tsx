import { useSignal } from '@preact/signals'
import type { Animal } from '../../schemas/animal.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { offerUndo } from './offer-undo.ts'
import { say } from '../../shared/words/say.ts'

/** Ends the cold now; the reason stands in journal and diary. */
export function BeginWarming({ animal, onDone }: { animal: Animal; onDone: () => void }) {
  const page = usePage()
  const act = useAct()
  const isOpen = useSignal(false)
  const why = useSignal('')
  if (!isOpen.value)
    return (
      <p class="form-acts">
        <button type="button" onClick={() => (isOpen.value = true)}>
          {say('Begin warming {animal}…', { animal: animal.name })}
        </button>
      </p>
    )
  return (
    <form
      class="begin"
      aria-label={say('Begin warming {animal}', { animal: animal.name })}
      onSubmit={(event) => {
        event.preventDefault()
        void act.run(
          () => page.ask<Animal>('POST', pathTo('animals', animal.id, 'warming'), { why: why.value.trim() }),
          () => {
            offerUndo(page, animal, say('{animal} is warming up.', { animal: animal.name }), onDone)
            void page.refresh()
            onDone()
          },
        )
      }}
    >
      <TextField
        label={say('Why now')}
        field="why"
        hint={say('Its time has come, it lost too much, it stirs … Stands in the journal and in its diary.')}
        required
        maxLength={300}
        problem={act.problem.value}
        value={why.value}
        onValue={(value) => (why.value = value)}
      />
      <ProblemNote problem={act.problem.value} fields={['why']} />
      <div class="form-acts">
        <button type="submit" class="strong" disabled={act.isBusy.value}>
          {say('Begin warming')}
        </button>
        <button type="button" class="quiet" onClick={() => (isOpen.value = false)}>
          {say('Leave it in the cold')}
        </button>
      </div>
    </form>
  )
}

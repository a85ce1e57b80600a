import { useSignal } from '@preact/signals'
import type { Animal } from '../../schemas/animal.ts'
import type { Gate } from '../../schemas/season.ts'
import { GateLines } from '../animals/gate-says.tsx'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { offerUndo } from './offer-undo.ts'
import { say } from '../../shared/words/say.ts'

/** The gate, and the act that lets the animal go down: freely when all is met, else with a reason that is kept. */
export function BeginCooling({
  animal,
  gate,
  isKeeper,
  onDone,
}: {
  animal: Animal
  gate: Gate
  isKeeper: boolean
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const isForced = useSignal(false)
  const anyway = useSignal('')
  const begin = (): void => {
    const reason = anyway.value.trim()
    void act.run(
      () =>
        page.ask<Animal>(
          'POST',
          pathTo('animals', animal.id, 'cooling'),
          reason === '' ? {} : { anyway: reason },
        ),
      () => {
        offerUndo(page, animal, say('{animal} is cooling down.', { animal: animal.name }), onDone)
        void page.refresh()
        onDone()
      },
    )
  }
  return (
    <div class="begin">
      <h4>{say('Before it goes down')}</h4>
      <GateLines gate={gate} animal={animal} />
      {isKeeper && (
        <form
          aria-label={say('Begin cooling {animal}', { animal: animal.name })}
          onSubmit={(event) => {
            event.preventDefault()
            begin()
          }}
        >
          {!gate.isOpen && isForced.value && (
            <TextField
              label={say('Why it goes down all the same')}
              field="anyway"
              hint={say('Stands in the journal and in its diary.')}
              required
              maxLength={300}
              problem={act.problem.value}
              value={anyway.value}
              onValue={(value) => (anyway.value = value)}
            />
          )}
          <ProblemNote problem={act.problem.value} fields={['anyway']} />
          <div class="form-acts">
            {gate.isOpen || isForced.value ? (
              <button type="submit" class={gate.isOpen ? 'strong' : ''} disabled={act.isBusy.value}>
                {say('Begin cooling {part}', { part: gate.isOpen ? '' : say('all the same') })}
              </button>
            ) : (
              <button type="button" class="quiet" onClick={() => (isForced.value = true)}>
                {say('Begin all the same…')}
              </button>
            )}
          </div>
        </form>
      )}
    </div>
  )
}

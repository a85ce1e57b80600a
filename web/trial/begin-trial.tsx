import { useSignal } from '@preact/signals'
import type { TrialKept } from '../../schemas/trial-report.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { say } from '../../shared/words/say.ts'

/** A keeper begins a run; one before it is replaced. */
export function BeginTrial({
  place,
  isAnew,
  onDone,
}: {
  place: string
  isAnew: boolean
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const litres = useSignal('0')
  return (
    <section class="says trial-anew" aria-labelledby="trial-begin">
      <h2 id="trial-begin">{isAnew ? say('Another trial run') : say('Begin')}</h2>
      {isAnew && <p>{say('It takes the place of this one: print this first.')}</p>}
      <form
        class="trial-begin"
        aria-labelledby="trial-begin"
        onSubmit={(event) => {
          event.preventDefault()
          void act.run(
            () =>
              page.ask<TrialKept>('POST', pathTo('places', place, 'trial'), {
                act: 'begin',
                litres: Number(litres.value),
              }),
            onDone,
          )
        }}
      >
        <TextField
          label={say('Water in closed bottles inside, L')}
          field="litres"
          type="number"
          min="0"
          max="1000"
          step="any"
          required
          hint={say(
            'They calm the air and keep the cold. Fill them as they will stand in winter; 0 for none.',
          )}
          problem={act.problem.value}
          value={litres.value}
          onValue={(value) => (litres.value = value)}
        />
        <button type="submit" class={isAnew ? '' : 'strong'} disabled={act.isBusy.value}>
          {say('Begin the trial run')}
        </button>
        <ProblemNote problem={act.problem.value} fields={['litres']} />
      </form>
    </section>
  )
}

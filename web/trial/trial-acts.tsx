import { useSignal } from '@preact/signals'
import type { TrialAct, TrialKept, TrialNow } from '../../schemas/trial-report.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'
import { say } from '../../shared/words/say.ts'

/** How the run stands, and what a keeper may do with it. */
export function TrialActs({
  trial: { place, trial },
  zone = 'UTC',
  onDone,
}: {
  trial: TrialNow
  zone?: string | undefined
  onDone: () => void
}) {
  const page = usePage()
  const { tell } = page
  const act = useAct()
  const isAsking = useSignal(false)
  const now = page.now.value
  const isKeeper = page.person.value?.role === 'keeper'
  const does = (what: TrialAct): void =>
    void act.run(
      () => page.ask<TrialKept>('POST', pathTo('places', place, 'trial'), what),
      () => {
        isAsking.value = false
        onDone()
      },
    )
  const isRunning = trial !== null && trial.until === null
  const out = trial?.plugOut.find(({ until }) => until === null)
  return (
    <section class="trial-state" aria-labelledby="trial-state">
      <h2 id="trial-state" class="unseen">
        {say('How it stands')}
      </h2>
      {trial === null && (
        <p>
          {say(
            'Before any animal goes in, let it run empty for a week, two days at the least, with the probes where the animals will lie. What it does is then judged for your species.',
          )}
        </p>
      )}
      {trial !== null && (
        <p role="status" class="trial-stands">
          {isRunning
            ? say('It has run for {duration} so far.', {
                duration: durationWords(Math.max(0, now - trial.from)),
              })
            : say('It ran for {duration} and ended {dayAt}.', {
                duration: durationWords((trial.until ?? now) - trial.from),
                dayAt: tell.dayAt(trial.until ?? now, now, zone),
              })}
          {out !== undefined &&
            say(' The plug is out since {time}.', { time: tell.when(out.from, now, zone) })}
        </p>
      )}
      {out !== undefined && (
        <p class="hint">
          {say('For a day at most nobody is told that it does not cool; dangerous warmth is still told.')}
        </p>
      )}
      {isKeeper && (
        <div class="trial-acts">
          {isRunning && (
            <>
              {out === undefined ? (
                <button type="button" disabled={act.isBusy.value} onClick={() => does({ act: 'plugOut' })}>
                  {say('I pull the plug now')}
                </button>
              ) : (
                <button
                  type="button"
                  class="strong"
                  disabled={act.isBusy.value}
                  onClick={() => does({ act: 'plugIn' })}
                >
                  {say('The plug is in again')}
                </button>
              )}
              <button type="button" disabled={act.isBusy.value} onClick={() => does({ act: 'end' })}>
                {say('End the trial run')}
              </button>
            </>
          )}
          {trial !== null && (
            <button type="button" class="strong" onClick={() => window.print()}>
              {say('Print')}
            </button>
          )}
          {trial !== null && (
            <button type="button" class="quiet" onClick={() => (isAsking.value = true)}>
              {say('Throw it away')}
            </button>
          )}
        </div>
      )}
      {!isKeeper && trial !== null && (
        <div class="trial-acts">
          <button type="button" onClick={() => window.print()}>
            {say('Print')}
          </button>
        </div>
      )}
      {isAsking.value && (
        <Question
          question={say('Throw this trial run and its report away? Its readings are kept.')}
          yes={say('Throw it away')}
          isBusy={act.isBusy.value}
          onYes={() => does({ act: 'forget' })}
          onNo={() => (isAsking.value = false)}
        />
      )}
      <ProblemNote problem={act.problem.value} />
    </section>
  )
}

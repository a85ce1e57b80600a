import type { ComponentChildren } from 'preact'
import { say } from '../../shared/words/say.ts'
import { Link } from '../parts/link.tsx'
import { HearSensor } from './hear-sensor.tsx'
import { putAway } from './kept-choice.ts'
import { lackWords, stepName } from './step-words.ts'
import type { StepName } from './steps.ts'
import { type FirstStepsNow, useFirstSteps } from './use-first-steps.ts'
import { ZoneStep } from './zone-step.tsx'

/** From an empty house to a guarded box, one step open at a time. Goes by itself, or is put away. */
export function FirstSteps() {
  const now = useFirstSteps()
  if (now === null || putAway.value.value !== null) return null
  const done = now.steps.filter((step) => step.isDone).length
  return (
    <section class="first" aria-labelledby="first-steps">
      <h2 id="first-steps">{say('First steps')}</h2>
      <p class="soft">{say('{done} of {all} done.', { done, all: now.steps.length })}</p>
      <ol class="steps">
        {now.steps.map((step) => (
          <li
            key={step.name}
            class={step.isDone ? 'step-done' : step === now.next ? 'step-next' : 'step-later'}
            aria-current={step === now.next ? 'step' : undefined}
          >
            <h3>
              {stepName(step.name)}
              {step.isDone && <span class="unseen">{say(': done')}</span>}
            </h3>
            {step === now.next && <StepHere name={step.name} now={now} />}
          </li>
        ))}
      </ol>
      <button type="button" class="quiet" onClick={() => putAway.keep('away')}>
        {say('Put these steps away')}
      </button>
    </section>
  )
}

function StepHere({ name, now }: { name: StepName; now: FirstStepsNow }): ComponentChildren {
  switch (name) {
    case 'password':
      return null
    case 'zone':
      return <ZoneStep zone={now.zone} />
    case 'sensor':
      return <HearSensor />
    case 'box':
      return (
        <>
          <p>{lackWords(now.lack ?? 'place')}</p>
          <Onward to="/set-up" words={say('Go to Set-up')} />
        </>
      )
    case 'contact':
      return (
        <>
          <p>
            {say('Nobody is told yet. Say who is, and by what: the phone at your bed rings when it matters.')}
          </p>
          <Onward to="/contacts" words={say('Go to Contacts')} />
        </>
      )
    case 'ring':
      return (
        <>
          <p>
            {say(
              'Only a phone that was heard to ring can be trusted at night. Ring it, and say whether it rang.',
            )}
          </p>
          <Onward to="/contacts" words={say('Ring it once')} />
        </>
      )
    default:
      return name satisfies never
  }
}

function Onward({ to, words }: { to: string; words: string }) {
  return (
    <p>
      <Link to={to} class="button strong">
        {words}
      </Link>
    </p>
  )
}

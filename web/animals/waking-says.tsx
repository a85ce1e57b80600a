import type { Animal } from '../../schemas/animal.ts'
import type { WakingStep } from '../../schemas/season.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { pathOfNoting } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { Link } from '../parts/link.tsx'
import { notingForWaking, wakingStepName } from '../words/animal-words.ts'
import { notingName, isNotedKind } from '../words/diary-words.ts'
import { held } from '../words/held.ts'
import { SourcesList } from './sources-list.tsx'
import { say } from '../../shared/words/say.ts'

/** The steps after waking, each with its hour. */
export function WakingSays({ steps, animal }: { steps: readonly WakingStep[]; animal: Animal }) {
  const { now } = usePage()
  const { when } = useWords()
  if (steps.length === 0) return null
  return (
    <section class="says" aria-labelledby="waking">
      <h2 id="waking">{say('Waking')}</h2>
      <ol class="judged">
        {steps.map((step) => {
          const kind = notingForWaking[step.step]
          return (
            <li key={step.step} class={`step step-${step.standing}`}>
              <p>
                <strong>{wakingStepName[step.step]}</strong>{' '}
                <span class={step.standing === 'late' ? 'step-late' : 'soft'}>
                  {timeWords(step, now.value, (at) => when(at, animal.place))}
                </span>
              </p>
              <p>{held(step.sentence)}</p>
              {step.standing !== 'done' && kind !== null && isNotedKind(kind) && (
                <Link to={pathOfNoting(animal.id, kind)} class="button">
                  {notingName[kind]}
                </Link>
              )}
            </li>
          )
        })}
      </ol>
      <SourcesList of={steps} />
    </section>
  )
}

function timeWords(step: WakingStep, now: number, when: (at: number) => string): string {
  switch (step.standing) {
    case 'done':
      return step.doneAt === null ? say('done') : say('done {time}', { time: when(step.doneAt) })
    case 'late':
      return say('{duration} late{part}', {
        duration: durationWords(now - step.due),
        part: step.isVet ? say(': ring a reptile vet') : '',
      })
    case 'ahead':
    case 'waiting':
      return say('by {time}, in {duration}', {
        time: when(step.due),
        duration: durationWords(step.due - now),
      })
    default:
      return step.standing satisfies never
  }
}

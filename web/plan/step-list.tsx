import { instant } from '../../schemas/amounts.ts'
import type { PlanStep } from '../../schemas/animal.ts'
import type { PlanProposal } from '../../schemas/season.ts'
import { daysBetween, localDate } from '../../shared/time/wall.ts'
import { usePage } from '../page/use-page.ts'
import { markName, phaseName } from '../words/plan-words.ts'
import { SourceNote } from './source-note.tsx'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'

/** Phases and the days between them, in order, each with its date and how long it lasts. */
export function StepList({
  steps,
  marks,
  zone,
}: {
  steps: readonly PlanStep[]
  marks: PlanProposal['marks']
  zone: string
}) {
  const { tell } = usePage()
  const dateOf = (at: number): string => localDate(instant(at), zone)
  const lines = [
    ...steps.map((step, i) => ({ at: step.from, step, next: steps[i + 1], mark: null })),
    ...marks.map((mark) => ({ at: mark.at, step: null, next: undefined, mark })),
  ].toSorted((one, other) => one.at - other.at || (one.step === null ? 1 : -1))
  return (
    <ol class="step-list">
      {lines.map(({ at, step, next, mark }) => (
        <li
          key={`${at} ${step?.phase ?? mark?.kind ?? ''}`}
          class={step === null ? 'step-mark' : 'step-phase'}
        >
          <time dateTime={dateOf(at)}>{tell.date(dateOf(at))}</time>
          {step !== null && (
            <span>
              <strong>{phaseName[step.phase]}</strong>
              {next !== undefined && (
                <span class="soft">, {daysWords(daysBetween(dateOf(at), dateOf(next.from)))}</span>
              )}
            </span>
          )}
          {mark !== null && (
            <span>
              {markName[mark.kind]}: {held(mark.sentence)}
              <SourceNote source={mark.source} evidence={mark.evidence} />
            </span>
          )}
        </li>
      ))}
    </ol>
  )
}

function daysWords(days: number): string {
  if (days === 1) return '1 day'
  return days % 7 === 0 && days >= 14 ? say('{part} weeks', { part: days / 7 }) : say('{days} days', { days })
}

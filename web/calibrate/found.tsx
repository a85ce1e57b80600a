import type { ComponentChildren } from 'preact'
import { ProblemNote } from '../parts/problem-note.tsx'
import type { Act } from '../parts/use-act.ts'
import { Stage } from './stage.tsx'
import { say } from '../../shared/words/say.ts'

/** A correction that waits for the keeper. */
export function Found({
  sentence,
  act,
  children,
  onTake,
  onAgain,
  onGiveUp,
}: {
  sentence: string
  act: Act
  children?: ComponentChildren
  onTake: () => void
  onAgain: () => void
  onGiveUp: () => void
}) {
  return (
    <Stage title={say('What was found')}>
      <p class="found">{sentence}</p>
      {children}
      <div class="form-acts">
        <button type="button" class="strong" disabled={act.isBusy.value} onClick={onTake}>
          {say('Take it')}
        </button>
        <button type="button" onClick={onAgain}>
          {say('Again')}
        </button>
        <button type="button" class="quiet" onClick={onGiveUp}>
          {say('Give up')}
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
    </Stage>
  )
}

import type { Problem } from '../../schemas/api.ts'
import { sentenceOf } from '../page/ask.ts'
import { say } from '../../shared/words/say.ts'

/** What went wrong, in the daemon's own sentence; errors that no field took are listed. */
export function ProblemNote({
  problem,
  fields = [],
  onAgain = null,
}: {
  problem: Problem | null
  fields?: readonly string[]
  /** Where nothing is shown before an answer: asks once more. */
  onAgain?: (() => void) | null
}) {
  if (problem === null) return null
  const loose = problem.errors?.filter((error) => !fields.some((field) => isAbout(error.path, field))) ?? []
  return (
    <div class="problem" role="alert">
      <p>{sentenceOf(problem)}</p>
      {loose.length > 0 && (
        <ul>
          {loose.map((error) => (
            <li key={error.path}>
              {error.path}: {error.message}
            </li>
          ))}
        </ul>
      )}
      {onAgain !== null && (
        <button type="button" onClick={onAgain}>
          {say('Try again')}
        </button>
      )}
    </div>
  )
}

/** Whether an error's path (`/night/from`, `body.night.from`) names this field (`night.from`). */
export function isAbout(path: string, field: string): boolean {
  const clean = path.replaceAll('/', '.').replace(/^\.?(?:body\.)?/, '')
  return clean === field || clean.startsWith(`${field}.`)
}

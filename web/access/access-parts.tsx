import type { AccessNow, SessionNow } from '../../schemas/access.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { PasswordPart } from './password-part.tsx'
import { PeoplePart } from './people-part.tsx'
import { SessionsPart } from './sessions-part.tsx'
import { TokensPart } from './tokens-part.tsx'
import { useDoors } from './use-doors.ts'

/** Who may come in and by what; for keepers. */
export function AccessParts() {
  const doors = useDoors<AccessNow>('/api/access')
  const access = doors.value.value
  return (
    <div class="set-up">
      <div>
        {access !== null && <PeoplePart access={access} onChange={doors.again} />}
        <PasswordPart onChange={doors.again} />
      </div>
      <div>
        {access !== null && (
          <>
            <SessionsPart sessions={access.sessions} people={access.people} onChange={doors.again} />
            <TokensPart tokens={access.tokens} onChange={doors.again} />
          </>
        )}
        {access === null && <ProblemNote problem={doors.problem.value} />}
      </div>
    </div>
  )
}

/** A sitter's own doors. */
export function OwnDoors() {
  const doors = useDoors<SessionNow[]>('/api/me/sessions')
  const sessions = doors.value.value
  return (
    <div class="set-up">
      <div>
        <PasswordPart onChange={doors.again} />
      </div>
      <div>
        {sessions !== null && <SessionsPart sessions={sessions} people={null} onChange={doors.again} />}
        {sessions === null && <ProblemNote problem={doors.problem.value} />}
      </div>
    </div>
  )
}

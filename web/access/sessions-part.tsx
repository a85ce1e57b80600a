import { useSignal } from '@preact/signals'
import type { SessionNow } from '../../schemas/access.ts'
import type { Person } from '../../schemas/person.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { agentWords } from './agent-words.ts'
import { focusPart, Part } from './part.tsx'
import { usedWords } from './seen-words.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Browsers that are signed in: a keeper's list names the people, too. */
export function SessionsPart({
  sessions,
  people,
  onChange,
}: {
  sessions: readonly SessionNow[]
  /** Null where all are one's own. */
  people: readonly Person[] | null
  onChange: () => void
}) {
  const said = useSignal('')
  const sorted = [...sessions].sort((a, b) => Number(b.isThis) - Number(a.isThis) || b.seenAt - a.seenAt)
  return (
    <Part id="sessions" title={say('Signed in')} said={said}>
      <p class="hint">{say('Whoever holds one of these browsers is in. End those that you do not know.')}</p>
      <ul class="things">
        {sorted.map((session) => (
          <li key={session.id}>
            <SessionLine
              session={session}
              whose={people?.find(({ id }) => id === session.person)?.name ?? null}
              onEnded={(sentence) => {
                said.value = sentence
                focusPart('sessions')
                onChange()
              }}
            />
          </li>
        ))}
      </ul>
    </Part>
  )
}

function SessionLine({
  session,
  whose,
  onEnded,
}: {
  session: SessionNow
  whose: string | null
  onEnded: (sentence: string) => void
}) {
  const page = usePage()
  const act = useAct()
  const browser = agentWords(session.agent)
  const about = session.isThis ? say('this one') : usedWords(page.now.value - session.seenAt)
  return (
    <div class="thing">
      <p>
        <strong>{browser}</strong> <span class="soft">{whose === null ? about : `${whose}, ${about}`}</span>
      </p>
      <div class="thing-acts">
        {session.isThis ? (
          <button type="button" class="quiet" onClick={() => void page.leave()}>
            {say('Sign out')}
          </button>
        ) : (
          <button
            type="button"
            class="quiet"
            disabled={act.isBusy.value}
            onClick={() =>
              void act.run(
                () => page.ask('DELETE', pathTo('sessions', session.id)),
                () => onEnded(say('{browser} is signed out.', { browser })),
              )
            }
          >
            {sayWith('End{unseen}', {
              unseen: (
                <span class="unseen">
                  {' '}
                  {whose === null ? browser : say('{browser} of {whose}', { browser, whose })}
                </span>
              ),
            })}
          </button>
        )}
      </div>
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}

import { useSignal } from '@preact/signals'
import type { Person } from '../../schemas/person.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'
import { roleWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'

/** One person, with the other role and the way out. About oneself nothing can be done here: another keeper does it. */
export function PersonLine({
  person,
  isMe,
  onDone,
}: {
  person: Person
  isMe: boolean
  onDone: (sentence: string) => void
}) {
  const { ask } = usePage()
  const act = useAct()
  const asked = useSignal<'role' | 'remove' | null>(null)
  const { id, name, role } = person
  const other = role === 'keeper' ? 'sitter' : 'keeper'
  const toggle = (what: 'role' | 'remove', words: string, whom: string) => (
    <button
      type="button"
      class="quiet"
      aria-expanded={asked.value === what}
      onClick={() => (asked.value = asked.value === what ? null : what)}
    >
      {words}
      <span class="unseen"> {whom}</span>
    </button>
  )
  const no = (): void => {
    asked.value = null
  }
  return (
    <div class="thing">
      <p>
        <strong>{name}</strong>{' '}
        <span class="soft">
          {roleWord[role]}
          {isMe && say(', you')}
        </span>
      </p>
      {!isMe && (
        <div class="thing-acts">
          {toggle('role', say('Make a {other}', { other: roleWord[other] }), say('of {name}', { name }))}
          {toggle('remove', 'Remove', name)}
        </div>
      )}
      {asked.value === 'role' && (
        <Question
          question={
            other === 'keeper'
              ? say('As a keeper {name} changes everything here and says who may come in.', { name })
              : say(
                  'As a sitter {name} sees everything and acknowledges alarms. The keys for scripts and the invitations that {name} made end at once.',
                  { name },
                )
          }
          yes={say('Make {name} a {other}', { name, other: roleWord[other] })}
          isBusy={act.isBusy.value}
          onNo={no}
          onYes={() =>
            void act.run(
              () => ask('PUT', pathTo('people', id, 'role'), { role: other }),
              () => {
                no()
                onDone(say('{name} is a {other} now.', { name, other: roleWord[other] }))
              },
            )
          }
        />
      )}
      {asked.value === 'remove' && (
        <Question
          question={say(
            '{name} is signed out everywhere at once, and comes in again only by a new invitation. Whom alarms are told to stays as it is under Contacts.',
            { name },
          )}
          yes={say('Remove {name}', { name })}
          isBusy={act.isBusy.value}
          onNo={no}
          onYes={() =>
            void act.run(
              () => ask('DELETE', pathTo('people', id)),
              () => onDone(say('{name} is let in no longer.', { name })),
            )
          }
        />
      )}
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}

import { useSignal } from '@preact/signals'
import type { Person } from '../../schemas/person.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'

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
          {role}
          {isMe && ', you'}
        </span>
      </p>
      {!isMe && (
        <div class="thing-acts">
          {toggle('role', `Make a ${other}`, `of ${name}`)}
          {toggle('remove', 'Remove', name)}
        </div>
      )}
      {asked.value === 'role' && (
        <Question
          question={
            other === 'keeper'
              ? `As a keeper ${name} changes everything here and says who may come in.`
              : `As a sitter ${name} sees everything and acknowledges alarms. The keys for scripts and the invitations that ${name} made end at once.`
          }
          yes={`Make ${name} a ${other}`}
          isBusy={act.isBusy.value}
          onNo={no}
          onYes={() =>
            void act.run(
              () => ask('PUT', pathTo('people', id, 'role'), { role: other }),
              () => {
                no()
                onDone(`${name} is a ${other} now.`)
              },
            )
          }
        />
      )}
      {asked.value === 'remove' && (
        <Question
          question={`${name} is signed out everywhere at once, and comes in again only by a new invitation. Whom alarms are told to stays as it is under Contacts.`}
          yes={`Remove ${name}`}
          isBusy={act.isBusy.value}
          onNo={no}
          onYes={() =>
            void act.run(
              () => ask('DELETE', pathTo('people', id)),
              () => onDone(`${name} is let in no longer.`),
            )
          }
        />
      )}
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}

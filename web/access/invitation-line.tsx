import type { InvitationNow } from '../../schemas/access.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { lastsWords } from './seen-words.ts'
import { roleWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** An invitation that nobody has used yet. Withdrawing needs no question: another is made as quickly. */
export function InvitationLine({
  invitation,
  onDone,
}: {
  invitation: InvitationNow
  onDone: (sentence: string) => void
}) {
  const { ask, now } = usePage()
  const act = useAct()
  const { id, name, role, by, expiresAt } = invitation
  return (
    <div class="thing">
      <p>
        <strong>{name}</strong>{' '}
        <span class="soft">
          {say('as a {role}, by {by}, {lasts}', {
            role: roleWord[role],
            by,
            lasts: lastsWords(expiresAt - now.value),
          })}
        </span>
      </p>
      <div class="thing-acts">
        <button
          type="button"
          class="quiet"
          disabled={act.isBusy.value}
          onClick={() =>
            void act.run(
              () => ask('DELETE', pathTo('invitations', id)),
              () => onDone(say('The invitation of {name} is withdrawn.', { name })),
            )
          }
        >
          {sayWith('Withdraw{unseen}', {
            unseen: <span class="unseen">{say(' the invitation of {name}', { name })}</span>,
          })}
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}

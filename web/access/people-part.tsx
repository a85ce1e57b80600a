import { useSignal } from '@preact/signals'
import type { AccessNow, Invited } from '../../schemas/access.ts'
import { usePage } from '../page/use-page.ts'
import { ShownOnce } from '../parts/shown-once.tsx'
import { InvitationLine } from './invitation-line.tsx'
import { InviteForm } from './invite-form.tsx'
import { focusPart, Part } from './part.tsx'
import { PersonLine } from './person-line.tsx'
import { lastsWords } from './seen-words.ts'
import { say } from '../../shared/words/say.ts'

/** Who may come in, who is invited, and the way to invite. */
export function PeoplePart({ access, onChange }: { access: AccessNow; onChange: () => void }) {
  const page = usePage()
  const isInviting = useSignal(false)
  const made = useSignal<Invited | null>(null)
  const said = useSignal('')
  const { people, invitations } = access
  const done = (sentence: string): void => {
    said.value = sentence
    focusPart('people')
    onChange()
  }
  return (
    <Part id="people" title={say('People')} said={said}>
      <ul class="things">
        {people.map((person) => (
          <li key={person.id}>
            <PersonLine person={person} isMe={person.id === page.person.value?.id} onDone={done} />
          </li>
        ))}
      </ul>
      {invitations.length > 0 && (
        <>
          <h3>{say('Invited, not here yet')}</h3>
          <ul class="things">
            {invitations.map((invitation) => (
              <li key={invitation.id}>
                <InvitationLine invitation={invitation} onDone={done} />
              </li>
            ))}
          </ul>
        </>
      )}
      {made.value !== null && (
        <ShownOnce
          title={say('The link for {invitation}', { invitation: made.value.invitation.name })}
          words={say(
            'Send it to {invitation} and nobody else: whoever opens it first comes in. It is good once, {lasts}, and is shown only here and now.',
            {
              invitation: made.value.invitation.name,
              lasts: lastsWords(made.value.invitation.expiresAt - page.now.value),
            },
          )}
          lines={[{ title: say('Invitation link'), text: made.value.link }]}
          onDone={() => {
            made.value = null
            focusPart('people')
          }}
        />
      )}
      <button
        type="button"
        aria-expanded={isInviting.value}
        onClick={() => (isInviting.value = !isInviting.value)}
      >
        {say('Invite somebody')}
      </button>
      {isInviting.value && (
        <InviteForm
          onCancel={() => (isInviting.value = false)}
          onMade={(invited) => {
            isInviting.value = false
            made.value = invited
            onChange()
          }}
        />
      )}
    </Part>
  )
}

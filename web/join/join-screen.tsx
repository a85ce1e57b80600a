import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { InvitationFor } from '../../schemas/access.ts'
import type { Problem } from '../../schemas/api.ts'
import { DoorForm } from '../door/door-form.tsx'
import { isSilence, sentenceOf } from '../page/ask.ts'
import { forgetKept } from '../page/kept.ts'
import { usePage } from '../page/use-page.ts'
import { PasswordField } from '../parts/password-field.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAct } from '../parts/use-act.ts'
import { roleWords } from '../words/role-words.ts'
import { roleWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** By an invitation's link: whoever it is for chooses a password and is in. */
export function JoinScreen() {
  const page = usePage()
  const token = location.hash.replace(/^#/, '')
  const invitation = useSignal<InvitationFor | null>(null)
  const refusal = useSignal<Problem | null>(null)
  const look = (): void => {
    refusal.value = null
    void page.ask<InvitationFor>('POST', '/api/invitation', { token }).then((answer) => {
      if (answer.ok) invitation.value = answer.value
      else refusal.value = answer.problem
    })
  }
  useEffect(() => {
    look()
    const again = (): void => location.reload() // another link into the same tab loads nothing by itself
    window.addEventListener('hashchange', again)
    return () => window.removeEventListener('hashchange', again)
  }, [])

  const refused = refusal.value
  const given = invitation.value
  return (
    <>
      <header class="top">
        <p class="wordmark">
          {sayWith('Brumal {soft}', { soft: <span class="soft">{given?.household}</span> })}
        </p>
      </header>
      {refused !== null ? (
        <Refused problem={refused} onAgain={look} />
      ) : given === null ? (
        <main class="screen">
          <p class="soft">{say('Asking Brumal …')}</p>
        </main>
      ) : (
        <Invitation token={token} invitation={given} onRefused={(problem) => (refusal.value = problem)} />
      )}
    </>
  )
}

function Invitation({
  token,
  invitation,
  onRefused,
}: {
  token: string
  invitation: InvitationFor
  onRefused: (problem: Problem) => void
}) {
  const page = usePage()
  const act = useAct()
  const password = useSignal('')
  const { name, role, household } = invitation
  const who = page.person.value
  const join = (): void =>
    void act
      .run(
        () => page.ask('POST', '/api/join', { token, password: password.value }),
        () => {
          forgetKept() // of whoever was signed in here before
          location.replace('/') // the used link leaves the history, too
        },
      )
      .then(() => {
        const problem = act.problem.value
        if (problem !== null && isOfLink(problem)) onRefused(problem)
      })
  return (
    <Screen
      title={say('Invitation')}
      heading={say('{household} invites {name} as a {role}', { household, name, role: roleWord[role] })}
    >
      <p class="lead">{roleWords[role]}</p>
      {who !== null && (
        <p class="lead">
          {say('This browser is signed in as {who}. Coming in as {name} signs {who} out here.', {
            who: who.name,
            name,
          })}
        </p>
      )}
      <DoorForm act={act} fields={['password']} words={say('Come in')} onSubmit={join}>
        {/* Tells a password manager whose password this is */}
        <input type="text" autoComplete="username" value={name} readOnly hidden />
        <PasswordField
          label={say('Choose a password')}
          field="password"
          autoComplete="new-password"
          hint={say('At least 10 characters. A short sentence is good.')}
          minLength={10}
          problem={act.problem.value}
          value={password.value}
          onValue={(value) => (password.value = value)}
        />
      </DoorForm>
      <p class="hint door-hint">{say('You will sign in as {name}, with this password.', { name })}</p>
    </Screen>
  )
}

function Refused({ problem, onAgain }: { problem: Problem; onAgain: () => void }) {
  if (!isOfLink(problem)) {
    const heading = isSilence(problem) ? say('Brumal does not answer') : say('Not now')
    return (
      <Screen title={heading} heading={heading}>
        <p class="lead">{sentenceOf(problem)}</p>
        <button type="button" class="strong" onClick={onAgain}>
          {say('Try again')}
        </button>
      </Screen>
    )
  }
  return (
    <Screen title={say('Invitation')} heading={say('This invitation opens nothing')}>
      <p class="lead">{sentenceOf(problem)}</p>
      <p class="lead">
        {say(
          'An invitation is good once, for a week. If you have come in by it already, sign in. Else ask whoever sent it for another.',
        )}
      </p>
      <a class="button strong" href="/">
        {say('Sign in')}
      </a>
    </Screen>
  )
}

const isOfLink = ({ code }: Problem): boolean => code === 'badLink' || code === 'oldLink'

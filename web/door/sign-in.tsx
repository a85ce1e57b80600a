import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAct } from '../parts/use-act.ts'
import { DoorForm } from './door-form.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Name and password. */
export function SignIn() {
  const page = usePage()
  const name = useSignal('')
  const password = useSignal('')
  const act = useAct()
  const problem = act.problem.value
  const signIn = (): void => {
    const given = { name: name.value, password: password.value }
    void act.run(
      () => page.ask('POST', '/api/sign-in', given),
      () => void page.enter(),
    )
  }

  return (
    <Screen title={say('Sign in')} heading={say('Sign in')}>
      <DoorForm act={act} fields={['name', 'password']} words={say('Sign in')} onSubmit={signIn}>
        <TextField
          label={say('Name')}
          field="name"
          autoComplete="username"
          required
          problem={problem}
          value={name.value}
          onValue={(value) => (name.value = value)}
        />
        <TextField
          label={say('Password')}
          field="password"
          type="password"
          autoComplete="current-password"
          required
          problem={problem}
          value={password.value}
          onValue={(value) => (password.value = value)}
        />
      </DoorForm>
      <p class="hint door-hint">
        {sayWith('Forgotten? On the machine that runs Brumal, {code} sets a new one.', {
          code: <code>{say('brumal password NAME')}</code>,
        })}
      </p>
    </Screen>
  )
}

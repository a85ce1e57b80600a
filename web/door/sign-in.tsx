import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAct } from '../parts/use-act.ts'
import { DoorForm } from './door-form.tsx'

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
    <Screen title="Sign in" heading="Sign in">
      <DoorForm act={act} fields={['name', 'password']} words="Sign in" onSubmit={signIn}>
        <TextField
          label="Name"
          field="name"
          autoComplete="username"
          required
          problem={problem}
          value={name.value}
          onValue={(value) => (name.value = value)}
        />
        <TextField
          label="Password"
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
        Forgotten? On the machine that runs Brumal, <code>brumal password NAME</code> sets a new one.
      </p>
    </Screen>
  )
}

import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAct } from '../parts/use-act.ts'

export function SignIn() {
  const page = usePage()
  const name = useSignal('')
  const password = useSignal('')
  const act = useAct()
  const problem = act.problem.value

  return (
    <Screen title="Sign in" heading="Sign in">
      <form
        class="door"
        onSubmit={(event) => {
          event.preventDefault()
          const given = { name: name.value, password: password.value }
          void act.run(
            () => page.ask('POST', '/api/sign-in', given),
            () => void page.enter(),
          )
        }}
      >
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
        <ProblemNote problem={problem} fields={['name', 'password']} />
        <button type="submit" class="strong" disabled={act.isBusy.value}>
          Sign in
        </button>
        <p class="hint">
          Forgotten? On the machine that runs Brumal, <code>brumal password NAME</code> sets a new one.
        </p>
      </form>
    </Screen>
  )
}

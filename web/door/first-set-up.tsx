import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAct } from '../parts/use-act.ts'
import { codeFrom } from './code-from.ts'
import { DoorForm } from './door-form.tsx'
import { say } from '../../shared/words/say.ts'

/** The first person's own door: the code proves that they can see the daemon's console. */
export function FirstSetUp() {
  const page = usePage()
  const code = useSignal(codeFrom(location.hash))
  const name = useSignal('')
  const password = useSignal('')
  const act = useAct()
  const problem = act.problem.value
  const begin = (): void => {
    const given = { code: code.value.trim(), name: name.value.trim(), password: password.value }
    void act.run(
      () => page.ask('POST', '/api/set-up', given),
      () => {
        page.route.replace('/')
        void page.enter()
      },
    )
  }

  return (
    <Screen title={say('First start')} heading={say('Make this Brumal yours')}>
      <p class="lead">
        {say(
          'Brumal has printed a one-time code where it was started. It proves that you are the one who runs it.',
        )}
      </p>
      <DoorForm act={act} fields={['code', 'name', 'password']} words={say('Begin')} onSubmit={begin}>
        <TextField
          label={say('Code')}
          field="code"
          autoComplete="one-time-code"
          hint={say(
            'Of a service it stands in the journal (journalctl -u brumal), of a container in its log.',
          )}
          required
          problem={problem}
          value={code.value}
          onValue={(value) => (code.value = value)}
        />
        <TextField
          label={say('Your name')}
          field="name"
          autoComplete="username"
          hint={say('As it will stand in the journal.')}
          required
          maxLength={60}
          problem={problem}
          value={name.value}
          onValue={(value) => (name.value = value)}
        />
        <TextField
          label={say('Password')}
          field="password"
          type="password"
          autoComplete="new-password"
          hint={say('At least 10 characters. A short sentence is good.')}
          required
          minLength={10}
          maxLength={200}
          problem={problem}
          value={password.value}
          onValue={(value) => (password.value = value)}
        />
      </DoorForm>
    </Screen>
  )
}

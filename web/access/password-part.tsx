import { useSignal } from '@preact/signals'
import { usePage } from '../page/use-page.ts'
import { PasswordField } from '../parts/password-field.tsx'
import { useAct } from '../parts/use-act.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { focusPart, Part } from './part.tsx'
import { say } from '../../shared/words/say.ts'

/** Everyone's own password. */
export function PasswordPart({ onChange }: { onChange: () => void }) {
  const page = usePage()
  const act = useAct()
  const isOpen = useSignal(false)
  const old = useSignal('')
  const password = useSignal('')
  const said = useSignal('')
  const problem = act.problem.value
  const close = (): void => {
    isOpen.value = false
    old.value = ''
    password.value = ''
  }
  const change = (): void =>
    void act.run(
      () => page.ask('POST', '/api/me/password', { old: old.value, password: password.value }),
      () => {
        close()
        said.value = say('Changed. Every other browser of yours is signed out.')
        focusPart('password')
        onChange()
      },
    )
  return (
    <Part id="password" title={say('My password')} said={said}>
      <button
        type="button"
        aria-expanded={isOpen.value}
        onClick={() => {
          said.value = ''
          if (isOpen.value) close()
          else isOpen.value = true
        }}
      >
        {say('Change my password')}
      </button>
      {isOpen.value && (
        <ThingForm
          label={say('Change my password')}
          act={act}
          fields={['old', 'password']}
          saveWords={say('Change it')}
          onSave={change}
          onCancel={close}
        >
          {/* Tells a password manager whose password this is */}
          <input type="text" autoComplete="username" value={page.person.value?.name} readOnly hidden />
          <PasswordField
            label={say('Password until now')}
            field="old"
            autoComplete="current-password"
            problem={problem}
            value={old.value}
            onValue={(value) => (old.value = value)}
          />
          <PasswordField
            label={say('New password')}
            field="password"
            autoComplete="new-password"
            hint={say('At least 10 characters. A short sentence is good.')}
            minLength={10}
            problem={problem}
            value={password.value}
            onValue={(value) => (password.value = value)}
          />
        </ThingForm>
      )}
    </Part>
  )
}

import { useSignal } from '@preact/signals'
import type { MadeToken, TokenScope } from '../../schemas/access.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { scopeHint, scopeName } from './scope-names.ts'
import { say } from '../../shared/words/say.ts'

/** A key for a script: its name, what it may do, how long. */
export function TokenForm({ onMade, onCancel }: { onMade: (made: MadeToken) => void; onCancel: () => void }) {
  const { ask } = usePage()
  const act = useAct()
  const name = useSignal('')
  const scope = useSignal<TokenScope>('look')
  const lasts = useSignal('90')
  const problem = act.problem.value
  return (
    <ThingForm
      label={say('Make a key')}
      act={act}
      fields={['name', 'scope', 'days']}
      saveWords={say('Make it')}
      onCancel={onCancel}
      onSave={() => {
        const days = lasts.value === '' ? null : Number(lasts.value)
        const make = { name: name.value.trim(), scope: scope.value, days }
        void act.run(() => ask<MadeToken>('POST', '/api/tokens', make), onMade)
      }}
    >
      <TextField
        label={say('Name')}
        field="name"
        hint={say('What asks with it. The journal says so, too.')}
        autoComplete="off"
        required
        maxLength={60}
        problem={problem}
        value={name.value}
        onValue={(value) => (name.value = value)}
      />
      <ChoiceField
        label={say('It may')}
        field="scope"
        hint={scopeHint[scope.value]}
        problem={problem}
        value={scope.value}
        onValue={(value) => (scope.value = value as TokenScope)}
        choices={choicesOf(scopeName)}
      />
      <ChoiceField
        label={say('Good for')}
        field="days"
        problem={problem}
        value={lasts.value}
        onValue={(value) => (lasts.value = value)}
        choices={[
          { value: '30', label: '30 days' },
          { value: '90', label: '90 days' },
          { value: '365', label: say('a year') },
          { value: '', label: say('until it is ended here') },
        ]}
      />
    </ThingForm>
  )
}

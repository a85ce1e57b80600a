import { useSignal } from '@preact/signals'
import type { Invited } from '../../schemas/access.ts'
import type { Role } from '../../schemas/person.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { roleWords } from '../words/role-words.ts'
import { say } from '../../shared/words/say.ts'

/** Who is invited, and as what. */
export function InviteForm({
  onMade,
  onCancel,
}: {
  onMade: (invited: Invited) => void
  onCancel: () => void
}) {
  const { ask } = usePage()
  const act = useAct()
  const name = useSignal('')
  const role = useSignal<Role>('sitter')
  const problem = act.problem.value
  return (
    <ThingForm
      label={say('Invite somebody')}
      act={act}
      fields={['name', 'role']}
      saveWords={say('Make the link')}
      onCancel={onCancel}
      onSave={() => {
        const invite = { name: name.value.trim(), role: role.value }
        void act.run(() => ask<Invited>('POST', '/api/invitations', invite), onMade)
      }}
    >
      <TextField
        label={say('Name')}
        field="name"
        hint={say('Their name for signing in, and in the journal.')}
        autoComplete="off"
        required
        maxLength={60}
        problem={problem}
        value={name.value}
        onValue={(value) => (name.value = value)}
      />
      <ChoiceField
        label={say('As')}
        field="role"
        hint={roleWords[role.value]}
        problem={problem}
        value={role.value}
        onValue={(value) => (role.value = value as Role)}
        choices={[
          { value: 'sitter', label: say('a sitter') },
          { value: 'keeper', label: say('a keeper') },
        ]}
      />
    </ThingForm>
  )
}

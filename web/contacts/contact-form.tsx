import { useSignal } from '@preact/signals'
import type { AccessNow } from '../../schemas/access.ts'
import type { Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { ContactId, PersonId } from '../../schemas/ids.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { HoursFields } from '../parts/hours-fields.tsx'
import { useAct } from '../parts/use-act.ts'
import { useAnswer } from '../parts/use-answer.ts'
import { ZoneField } from '../parts/zone-field.tsx'
import { freeId } from '../set-up/free-id.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { saveContact } from './save-contact.ts'
import { reader } from '../../shared/words/reader.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** In the units of who writes it down, until another is chosen. */
const fresh: Omit<Contact, 'units'> = {
  id: '' as ContactId,
  name: '',
  person: null,
  quiet: null,
  channels: [],
}

/** Common practice, no source: when low priority had better wait. */
const usualQuiet = { from: '22:00', to: '06:30' }

export function ContactForm({
  contact,
  taken,
  household,
  onDone,
}: {
  contact: Contact | null
  /** Ids that a new one may not have. */
  taken: readonly { readonly id: string }[]
  household: Household
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const access = useAnswer<AccessNow>('/api/access')
  const draft = useSignal<Contact>(contact ?? { ...fresh, units: reader().units })
  const zone = useSignal(contact?.timeZone ?? '')
  const problem = act.problem.value
  const set = (change: Partial<Contact>): void => {
    draft.value = { ...draft.value, ...change }
  }
  const { name, person, units, quiet } = draft.value
  const people = access.value.value?.people ?? []
  const isKnown = person === null || people.some(({ id }) => id === person)
  const onSave = (): void => {
    const { timeZone: _old, ...rest } = draft.value
    const id = contact?.id ?? (freeId(name, taken) as ContactId)
    const own = zone.value.trim()
    void act.run(() => saveContact(page, { ...rest, id, ...(own === '' ? {} : { timeZone: own }) }), onDone)
  }
  return (
    <ThingForm
      label={contact === null ? say('New contact') : say('Change {contact}', { contact: contact.name })}
      act={act}
      fields={['name', 'person', 'timeZone', 'units', 'quiet']}
      onCancel={onDone}
      onSave={onSave}
    >
      <TextField
        label={say('Name')}
        field="name"
        required
        maxLength={60}
        problem={problem}
        value={name}
        onValue={(value) => set({ name: value })}
      />
      <ZoneField
        label={say('Time zone')}
        hint={say('Empty for the house’s own, {timeZone}.', { timeZone: household.timeZone })}
        problem={problem}
        value={zone.value}
        onValue={(value) => (zone.value = value)}
      />
      <ChoiceField
        label={say('Temperatures in')}
        field="units"
        problem={problem}
        value={units}
        onValue={(value) => set({ units: value as Contact['units'] })}
        choices={[
          { value: 'celsius', label: '°C' },
          { value: 'fahrenheit', label: '°F' },
        ]}
      />
      <ChoiceField
        label={say('Signs in as')}
        field="person"
        hint={say('The same person: a keeper’s links also shelve.')}
        problem={problem}
        value={person ?? ''}
        onValue={(value) => set({ person: value === '' ? null : (value as PersonId) })}
        choices={[
          { value: '', label: say('nobody who signs in') },
          ...people.map((one) => ({ value: one.id, label: `${one.name}, ${one.role}` })),
          ...(isKnown ? [] : [{ value: person, label: person }]),
        ]}
      />
      <fieldset class="own-limits">
        <legend>{say('Quiet hours')}</legend>
        <label class="check">
          {sayWith('{input}Of their own', {
            input: (
              <input
                type="checkbox"
                checked={quiet !== null}
                onChange={(event) => set({ quiet: event.currentTarget.checked ? usualQuiet : null })}
              />
            ),
          })}
        </label>
        {quiet !== null && (
          <HoursFields
            label={say('from')}
            field="quiet"
            problem={problem}
            value={quiet}
            onValue={(quiet) => set({ quiet })}
          />
        )}
        <p class="hint">
          {say(
            'Only low priority waits; medium and high never do. Without hours of their own it waits for the end of the house’s night.',
          )}
        </p>
      </fieldset>
    </ThingForm>
  )
}

import { useSignal } from '@preact/signals'
import type { House } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import { houseOf } from '../page/page.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { HoursFields } from '../parts/hours-fields.tsx'
import { useAct } from '../parts/use-act.ts'
import { ZoneField } from '../parts/zone-field.tsx'
import { ThingForm } from './thing-form.tsx'
import { guidanceWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'

const fields = ['name', 'timeZone', 'night', 'hemisphere', 'guidance']

/** The household's own settings. */
export function HousePart({ household }: { household: Household }) {
  const page = usePage()
  const act = useAct()
  const house = useSignal<House>(houseOf(household))
  const isSaved = useSignal(false)
  const problem = act.problem.value
  const set = (change: Partial<House>): void => {
    house.value = { ...house.value, ...change }
    isSaved.value = false
  }
  const { name, timeZone, night, hemisphere, guidance } = house.value
  return (
    <section class="part" aria-labelledby="part-house">
      <h2 id="part-house">{say('House')}</h2>
      <ThingForm
        label={say('House')}
        act={act}
        fields={fields}
        onSave={() =>
          void act.run(
            () => page.ask<House>('PUT', '/api/house', house.value),
            () => {
              isSaved.value = true
              void page.refresh()
            },
          )
        }
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
          required
          problem={problem}
          value={timeZone}
          onValue={(value) => set({ timeZone: value })}
        />
        <HoursFields
          label={say('Night from')}
          field="night"
          problem={problem}
          value={night}
          onValue={(night) => set({ night })}
        />
        <ChoiceField
          label={say('Hemisphere')}
          field="hemisphere"
          hint={say('Decides which months are one winter.')}
          problem={problem}
          value={hemisphere}
          onValue={(value) => set({ hemisphere: value as House['hemisphere'] })}
          choices={[
            { value: 'north', label: say('northern') },
            { value: 'south', label: say('southern') },
          ]}
        />
        <ChoiceField
          label={say('Guidance')}
          field="guidance"
          hint={say('Where published advice conflicts, strict takes the narrower figure.')}
          problem={problem}
          value={guidance}
          onValue={(value) => set({ guidance: value as House['guidance'] })}
          choices={Object.entries(guidanceWord).map(([value, label]) => ({ value, label }))}
        />
        <p class="hint" role="status">
          {isSaved.value && say('Saved.')}
        </p>
      </ThingForm>
    </section>
  )
}

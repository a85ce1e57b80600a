import { useSignal } from '@preact/signals'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Place, PlaceKind } from '../../schemas/place.ts'
import type { Millis } from '../../schemas/units.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { kindName } from '../words/names.ts'
import { freeId } from './free-id.ts'
import { OwnLimitsField } from './own-limits-field.tsx'
import { save } from './save.ts'
import { ThingForm } from './thing-form.tsx'

const fresh: Place = { id: '' as PlaceId, name: '', kind: 'box', parent: null, ownLimits: [] }

export function PlaceForm({
  place,
  household,
  onDone,
}: {
  place: Place | null
  household: Household
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const draft = useSignal<Place>(place ?? fresh)
  const problem = act.problem.value
  const set = (change: Partial<Place>): void => {
    draft.value = { ...draft.value, ...change }
  }
  const { name, kind, parent, ownLimits } = draft.value
  const lag = useSignal(place?.animalLag === undefined ? '' : String(place.animalLag / hourMs))
  const others = household.places.filter((one) => one.id !== place?.id)
  return (
    <ThingForm
      label={place === null ? 'New place' : `Change ${place.name}`}
      act={act}
      fields={['name', 'kind', 'parent', 'animalLag', 'ownLimits', 'id']}
      onCancel={onDone}
      onSave={() => {
        const id = place?.id ?? (freeId(name, household.places) as PlaceId)
        void act.run(() => save(page, 'places', { ...withLag(draft.value, lag.value), id }), onDone)
      }}
    >
      <TextField
        label="Name"
        field="name"
        required
        maxLength={60}
        problem={problem}
        value={name}
        onValue={(value) => set({ name: value })}
      />
      <ChoiceField
        label="Kind"
        field="kind"
        problem={problem}
        value={kind}
        onValue={(value) => set({ kind: value as PlaceKind })}
        choices={choicesOf(kindName)}
      />
      <ChoiceField
        label="Inside"
        field="parent"
        hint="A box without a sensor of its own is judged by what is around it."
        problem={problem}
        value={parent ?? ''}
        onValue={(value) => set({ parent: value === '' ? null : (value as PlaceId) })}
        choices={[
          { value: '', label: 'nothing' },
          ...others.map((one) => ({ value: one.id, label: one.name })),
        ]}
      />
      <TextField
        label="How slowly the animals here follow the air, hours"
        field="animalLag"
        type="number"
        min="0"
        max="72"
        step="any"
        hint="Measure it in a trial run; leave it empty if unknown."
        problem={problem}
        value={lag.value}
        onValue={(value) => (lag.value = value)}
      />
      <OwnLimitsField
        limits={ownLimits}
        problem={problem}
        onLimits={(limits) => set({ ownLimits: limits })}
      />
    </ThingForm>
  )
}

const hourMs = 3_600_000

/** Empty is unknown. */
function withLag({ animalLag: _, ...place }: Place, hours: string): Place {
  return hours.trim() === '' ? place : { ...place, animalLag: Math.round(Number(hours) * hourMs) as Millis }
}

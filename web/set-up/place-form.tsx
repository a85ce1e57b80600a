import { useSignal } from '@preact/signals'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Place, PlaceKind } from '../../schemas/place.ts'
import type { Millis } from '../../schemas/units.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { kindName } from '../words/names.ts'
import { CultureFields, cultureOf, type CultureTyped, typedCulture } from './culture-fields.tsx'
import { freeId } from './free-id.ts'
import { OwnLimitsField } from './own-limits-field.tsx'
import { save } from './save.ts'
import { ThingForm } from './thing-form.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

const fresh: Place = { id: '' as PlaceId, name: '', kind: 'box', parent: null, ownLimits: [] }

/** A place: what it is, what it stands in, its own limits, what its air is reckoned from. */
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
  const litres = useSignal(place?.litres === undefined ? '' : String(place.litres))
  const culture = useSignal(typedCulture(place?.culture))
  const others = household.places.filter((one) => one.id !== place?.id)
  return (
    <ThingForm
      label={place === null ? say('New place') : say('Change {place}', { place: place.name })}
      act={act}
      fields={['name', 'kind', 'parent', 'animalLag', 'litres', 'culture', 'ownLimits', 'id']}
      onCancel={onDone}
      onSave={() => {
        const id = place?.id ?? (freeId(name, household.places) as PlaceId)
        void act.run(
          () =>
            save(page, 'places', { ...withFigures(draft.value, lag.value, litres.value, culture.value), id }),
          onDone,
        )
      }}
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
      <ChoiceField
        label={say('Kind')}
        field="kind"
        problem={problem}
        value={kind}
        onValue={(value) => set({ kind: value as PlaceKind })}
        choices={choicesOf(kindName)}
      />
      <ChoiceField
        label={say('Inside')}
        field="parent"
        hint={say('A box without a sensor of its own is judged by what is around it.')}
        problem={problem}
        value={parent ?? ''}
        onValue={(value) => set({ parent: value === '' ? null : (value as PlaceId) })}
        choices={[
          { value: '', label: say('nothing') },
          ...others.map((one) => ({ value: one.id, label: one.name })),
        ]}
      />
      <TextField
        label={say('How slowly the animals here follow the air, hours')}
        field="animalLag"
        type="number"
        min="0"
        max="72"
        step="any"
        hint={say('The place’s own page measures it, with a probe in the substrate. Empty if unknown.')}
        problem={problem}
        value={lag.value}
        onValue={(value) => (lag.value = value)}
      />
      <TextField
        label={say('Free air inside, litres')}
        field="litres"
        type="number"
        min="0"
        max="1000000"
        step="any"
        hint={say('What is left beside boxes, substrate and bottles. It tells how soon to air it.')}
        problem={problem}
        value={litres.value}
        onValue={(value) => (litres.value = value)}
      />
      {kind === 'culture' && (
        <CultureFields typed={culture.value} problem={problem} onTyped={(typed) => (culture.value = typed)} />
      )}
      <label class="check">
        {sayWith('{input}Take limits near freezing as they stand (no allowance for the sensor)', {
          input: (
            <input
              type="checkbox"
              checked={draft.value.guardBand === 'off'}
              onChange={(event) => {
                const { guardBand: _, ...guarded } = draft.value
                draft.value = event.currentTarget.checked ? { ...guarded, guardBand: 'off' } : guarded
              }}
            />
          ),
        })}
      </label>
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
function withFigures(
  { animalLag: _, litres: __, culture: ___, ...place }: Place,
  lag: string,
  litres: string,
  culture: CultureTyped,
): Place {
  return {
    ...place,
    ...(lag.trim() === '' ? {} : { animalLag: Math.round(Number(lag) * hourMs) as Millis }),
    ...(litres.trim() === '' ? {} : { litres: Number(litres) }),
    ...(place.kind === 'culture' ? cultureOf(culture) : {}),
  }
}

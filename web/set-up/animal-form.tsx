import { useSignal } from '@preact/signals'
import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import type { AnimalId, PlaceId, SpeciesId } from '../../schemas/ids.ts'
import type { Phase, SpeciesProfile } from '../../schemas/species.ts'
import { phaseAt } from '../../shared/judging/band.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { localDate } from '../../shared/time/wall.ts'
import { instant } from '../../schemas/amounts.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { Link } from '../parts/link.tsx'
import { useAct } from '../parts/use-act.ts'
import { freeId } from './free-id.ts'
import { planWith } from './plan-step.ts'
import { save } from './save.ts'
import { SpeciesNumbers } from './species-numbers.tsx'
import { ThingForm } from './thing-form.tsx'

export function AnimalForm({
  animal,
  household,
  species,
  onDone,
}: {
  animal: Animal | null
  household: Household
  species: readonly SpeciesProfile[]
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const zone = household.timeZone
  const draft = useSignal<Animal>(animal ?? freshAnimal(species[0]?.id))
  const now = instant(page.now.peek())
  const known = phaseAt(animal ?? draft.value, now)
  const knownDay = localDate(known.from ?? now, zone)
  const phase = useSignal<Phase>(known.phase)
  const from = useSignal(knownDay)
  const anyway = useSignal('')
  const problem = act.problem.value
  const set = (change: Partial<Animal>): void => {
    draft.value = { ...draft.value, ...change }
  }
  const profile = species.find((one) => one.id === draft.value.species)
  const onSave = (): void => {
    const id = animal?.id ?? (freeId(draft.value.name, household.animals) as AnimalId)
    const isMoved = phase.value !== known.phase || from.value !== knownDay
    const plan = isMoved ? planWith(draft.value.plan, phase.value, from.value, zone) : draft.value.plan
    const reason = anyway.value.trim()
    void act.run(
      () => save(page, 'animals', { ...draft.value, id, plan }, reason === '' ? null : reason),
      onDone,
    )
  }
  return (
    <ThingForm
      label={animal === null ? 'New animal' : `Change ${animal.name}`}
      act={act}
      fields={['name', 'species', 'place', 'mode', 'plan', 'id']}
      onCancel={onDone}
      onSave={onSave}
    >
      <TextField
        label="Name"
        field="name"
        required
        maxLength={60}
        problem={problem}
        value={draft.value.name}
        onValue={(name) => set({ name })}
      />
      <ChoiceField
        label="Species"
        field="species"
        problem={problem}
        value={draft.value.species}
        onValue={(value) => set({ species: value as SpeciesId })}
        choices={species.map((one) => ({ value: one.id, label: `${one.common} (${one.latin})` }))}
      />
      {profile !== undefined && <SpeciesNumbers profile={profile} guidance={household.guidance} />}
      <ChoiceField
        label="Place"
        field="place"
        problem={problem}
        value={draft.value.place ?? ''}
        onValue={(value) => set({ place: value === '' ? null : (value as PlaceId) })}
        choices={[
          { value: '', label: 'none' },
          ...household.places.map((place) => ({ value: place.id, label: place.name })),
        ]}
      />
      <ChoiceField
        label="This winter"
        field="mode"
        problem={problem}
        value={draft.value.mode}
        onValue={(value) => set({ mode: value as Animal['mode'] })}
        choices={[
          { value: 'goesDown', label: 'goes down' },
          { value: 'staysAwake', label: 'stays awake' },
        ]}
      />
      <div class="field-pair">
        <ChoiceField
          label="Phase now"
          field="plan"
          problem={problem}
          value={phase.value}
          onValue={(value) => (phase.value = value as Phase)}
          choices={choicesOf(phaseWord)}
        />
        <TextField
          label="since"
          field="plan.from"
          type="date"
          required
          problem={problem}
          value={from.value}
          onValue={(value) => (from.value = value)}
        />
      </div>
      {problem?.code === 'alarmUntested' && (
        <>
          <TextField
            label="Why it goes down all the same"
            field="anyway"
            hint="Stands in the journal."
            maxLength={300}
            problem={problem}
            value={anyway.value}
            onValue={(value) => (anyway.value = value)}
          />
          <p>
            <Link to="/contacts">See contacts</Link>
          </p>
        </>
      )}
    </ThingForm>
  )
}

function freshAnimal(species: SpeciesId | undefined): Animal {
  return {
    id: '' as AnimalId,
    name: '',
    species: species ?? ('' as SpeciesId),
    place: null,
    mode: 'goesDown',
    plan: [],
  }
}

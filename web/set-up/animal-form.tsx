import { useSignal } from '@preact/signals'
import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import type { AnimalId, SpeciesId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { instant } from '../../schemas/amounts.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { Link } from '../parts/link.tsx'
import { useAct } from '../parts/use-act.ts'
import { AnimalFields } from './animal-fields.tsx'
import { ColdAlready } from './cold-already.tsx'
import { freeId } from './free-id.ts'
import { save } from './save.ts'
import { SpeciesNumbers } from './species-numbers.tsx'
import { coldAlreadyNow, stepsOfCold } from './steps-of-cold.ts'
import { ThingForm } from './thing-form.tsx'
import { say } from '../../shared/words/say.ts'

/** Who an animal is, and where it lives. Its winter is planned on a page of its own. */
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
  const form = useSignal<Animal>(animal ?? freshAnimal(species[0]?.id))
  const now = instant(page.now.peek())
  const cold = useSignal(coldAlreadyNow(now, zone))
  const anyway = useSignal('')
  const problem = act.problem.value
  const profile = species.find((one) => one.id === form.value.species)
  const { phase } = phaseAt(form.value, now)
  const onSave = (): void => {
    const id = animal?.id ?? (freeId(form.value.name, household.animals) as AnimalId)
    const steps = stepsOfCold(cold.value, profile, form.value.hasWintered === true, zone)
    const filled = withWinterAsItIs(form.value, household)
    const next = { ...filled, id, ...(steps === null ? {} : { plan: steps }) }
    const reason = anyway.value.trim()
    void act.run(() => save(page, 'animals', next, reason === '' ? null : reason), onDone)
  }
  return (
    <ThingForm
      label={animal === null ? say('New animal') : say('Change {animal}', { animal: animal.name })}
      act={act}
      fields={[...animalFields, 'anyway']}
      onCancel={onDone}
      onSave={onSave}
    >
      <AnimalFields
        animal={form.value}
        household={household}
        species={species}
        problem={problem}
        onChange={(next) => (form.value = next)}
      />
      {profile !== undefined && <SpeciesNumbers profile={profile} guidance={household.guidance} />}
      {phase === 'coolDown' || phase === 'hold' || phase === 'warmUp' ? (
        <p>{say('It is {part} by its plan.', { part: phaseWord[phase] })}</p>
      ) : (
        profile?.hold !== undefined &&
        form.value.mode === 'goesDown' && (
          <ColdAlready
            cold={cold.value}
            profile={profile}
            hasWintered={form.value.hasWintered === true}
            problem={problem}
            onChange={(next) => (cold.value = next)}
          />
        )
      )}
      {problem?.code === 'notReady' && (
        <>
          <TextField
            label={say('Why it goes down all the same')}
            field="anyway"
            hint={say('Stands in the journal and in its diary.')}
            maxLength={300}
            problem={problem}
            value={anyway.value}
            onValue={(value) => (anyway.value = value)}
          />
          <p>
            <Link to="/contacts">{say('See contacts')}</Link>
          </p>
        </>
      )}
      <p>
        <Link to="/plan">{say('Plan its winter')}</Link>
      </p>
    </ThingForm>
  )
}

const animalFields = [
  'name',
  'species',
  'place',
  'mode',
  'plan',
  'id',
  'hatched',
  'ageClass',
  'sex',
  'since',
  'hasWintered',
  'mark',
  'notes',
]

/** The form may have been open since before its cooling began, or a picture was taken: what it does not show stays as it is. */
function withWinterAsItIs(animal: Animal, { animals }: Household): Animal {
  const known = animals.find(({ id }) => id === animal.id)
  if (known === undefined) return animal
  const { wish: _, portrait: __, ...rest } = animal
  return {
    ...rest,
    plan: known.plan,
    draft: known.draft,
    ...(known.wish === undefined ? {} : { wish: known.wish }),
    ...(known.portrait === undefined ? {} : { portrait: known.portrait }),
  }
}

function freshAnimal(species: SpeciesId | undefined): Animal {
  return {
    id: '' as AnimalId,
    name: '',
    species: species ?? ('' as SpeciesId),
    place: null,
    mode: 'goesDown',
    plan: [],
    draft: [],
  }
}

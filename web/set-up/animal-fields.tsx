import type { AgeClass, Animal } from '../../schemas/animal.ts'
import type { Problem } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SpeciesId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { AreaField, ChoiceField, TextField } from '../parts/field.tsx'
import { say } from '../../shared/words/say.ts'

/** What is known of an animal. A field left empty is not known. */
export function AnimalFields({
  animal,
  household,
  species,
  problem,
  onChange,
}: {
  animal: Animal
  household: Household
  species: readonly SpeciesProfile[]
  problem: Problem | null
  onChange: (animal: Animal) => void
}) {
  const set = (change: Partial<Animal>): void => onChange({ ...animal, ...change })
  const put = <Key extends Optional>(key: Key, value: Animal[Key]): void => {
    const { [key]: _, ...rest } = animal
    onChange((value === undefined || value === '' ? rest : { ...rest, [key]: value }) as Animal)
  }
  return (
    <>
      <TextField
        label={say('Name')}
        field="name"
        required
        maxLength={60}
        problem={problem}
        value={animal.name}
        onValue={(name) => set({ name })}
      />
      <ChoiceField
        label={say('Species')}
        field="species"
        problem={problem}
        value={animal.species}
        onValue={(value) => set({ species: value as SpeciesId })}
        choices={species.map((one) => ({ value: one.id, label: `${one.common} (${one.latin})` }))}
      />
      <ChoiceField
        label={say('Place')}
        field="place"
        problem={problem}
        value={animal.place ?? ''}
        onValue={(value) => set({ place: value === '' ? null : (value as PlaceId) })}
        choices={[
          { value: '', label: say('none') },
          ...household.places.map((place) => ({ value: place.id, label: place.name })),
        ]}
      />
      <ChoiceField
        label={say('This winter')}
        field="mode"
        problem={problem}
        value={animal.mode}
        onValue={(value) => set({ mode: value as Animal['mode'] })}
        choices={[
          { value: 'goesDown', label: say('goes down') },
          { value: 'staysAwake', label: say('stays awake') },
        ]}
      />
      <div class="field-pair">
        <TextField
          label={say('Hatched')}
          field="hatched"
          hint={roughHint}
          maxLength={10}
          problem={problem}
          value={animal.hatched ?? ''}
          onValue={(value) => put('hatched', value.trim())}
        />
        <TextField
          label={say('With you since')}
          field="since"
          hint={roughHint}
          maxLength={10}
          problem={problem}
          value={animal.since ?? ''}
          onValue={(value) => put('since', value.trim())}
        />
      </div>
      <div class="field-pair">
        <ChoiceField
          label={say('Age, roughly')}
          field="ageClass"
          problem={problem}
          value={animal.ageClass ?? ''}
          onValue={(value) => put('ageClass', value === '' ? undefined : (value as AgeClass))}
          choices={[
            { value: '', label: say('not known') },
            { value: 'hatchling', label: say('hatchling') },
            { value: 'juvenile', label: say('juvenile') },
            { value: 'adult', label: say('adult') },
          ]}
        />
        <ChoiceField
          label={say('Sex')}
          field="sex"
          problem={problem}
          value={animal.sex ?? ''}
          onValue={(value) => put('sex', value === '' ? undefined : (value as 'female' | 'male'))}
          choices={[
            { value: '', label: say('not known') },
            { value: 'female', label: say('female') },
            { value: 'male', label: say('male') },
          ]}
        />
      </div>
      <ChoiceField
        label={say('Has been in hold before')}
        field="hasWintered"
        hint={say('The first hold is a short one.')}
        problem={problem}
        value={animal.hasWintered === undefined ? '' : animal.hasWintered ? 'yes' : 'no'}
        onValue={(value) => put('hasWintered', value === '' ? undefined : value === 'yes')}
        choices={[
          { value: '', label: say('not known') },
          { value: 'yes', label: say('yes') },
          { value: 'no', label: say('no') },
        ]}
      />
      <TextField
        label={say('Chip, ring or certificate')}
        field="mark"
        maxLength={80}
        problem={problem}
        value={animal.mark ?? ''}
        onValue={(value) => put('mark', value)}
      />
      <AreaField
        label={say('Notes')}
        field="notes"
        rows={2}
        maxLength={2000}
        problem={problem}
        value={animal.notes ?? ''}
        onValue={(value) => put('notes', value)}
      />
    </>
  )
}

type Optional = 'hatched' | 'ageClass' | 'sex' | 'since' | 'hasWintered' | 'mark' | 'notes'

const roughHint = say('As 2019, 2019-08 or 2019-08-03.')

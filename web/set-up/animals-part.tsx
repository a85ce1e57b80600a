import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { instant } from '../../schemas/amounts.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { AnimalForm } from './animal-form.tsx'
import { ThingList } from './thing-list.tsx'
import { say } from '../../shared/words/say.ts'

/** The animals in Set-up: the list, one form at a time. */
export function AnimalsPart({ household }: { household: Household }) {
  const page = usePage()
  const species = useSignal<readonly SpeciesProfile[]>([])
  useEffect(() => {
    void page.ask<SpeciesProfile[]>('GET', '/api/species').then((answer) => {
      if (answer.ok) species.value = answer.value
    })
  }, [])
  const about = (animal: Animal): string => {
    const profile = species.value.find((one) => one.id === animal.species)
    const place = household.places.find((one) => one.id === animal.place)
    return [
      profile?.common ?? animal.species,
      phaseWord[phaseAt(animal, instant(page.now.peek())).phase],
      place === undefined ? say('in no place') : say('in {place}', { place: place.name }),
    ].join(', ')
  }
  return (
    <ThingList
      title={say('Animals')}
      kind="animals"
      things={household.animals}
      about={about}
      form={(animal, onDone) => (
        <AnimalForm animal={animal} household={household} species={species.value} onDone={onDone} />
      )}
      addWords={say('Add an animal')}
      emptyWords={say('Who lives here decides what is safe.')}
    />
  )
}

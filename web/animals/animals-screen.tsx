import { useSignal } from '@preact/signals'
import { useMemo } from 'preact/hooks'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { DayList, SeasonNow } from '../../schemas/season.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { instant } from '../../schemas/amounts.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { Choices } from '../diary/choices.tsx'
import { useFollowed } from '../diary/use-followed.ts'
import { lastMasses } from '../diary/weigh-order.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { areSettled, useAnswer } from '../parts/use-answer.ts'
import { isDown } from '../words/animal-words.ts'
import { AnimalRow } from './animal-row.tsx'
import { NoAnimals } from './no-animals.tsx'
import { WakeFirst } from './wake-first.tsx'
import { say } from '../../shared/words/say.ts'

/** Every animal of the house, those to be woken on top. */
export function AnimalsScreen() {
  const { household } = usePage()
  const home = household.value
  return (
    <Screen title={say('Animals')} heading={say('Animals')}>
      {home === null ? (
        <Skeleton shape="lines" />
      ) : home.animals.length === 0 ? (
        <NoAnimals />
      ) : (
        <AnimalList animals={home.animals} />
      )}
    </Screen>
  )
}

type Shown = 'down' | 'awake'

function AnimalList({ animals }: { animals: readonly Animal[] }) {
  const { now, person } = usePage()
  const season = useFollowed<SeasonNow>('/api/season')
  const day = useFollowed<DayList>('/api/day?days=1')
  const weighIns = useFollowed<DiaryLine[]>('/api/diary?kind=weighed&limit=500')
  const species = useAnswer<SpeciesProfile[]>('/api/species')
  const shown = useSignal<Shown | null>(null)
  const known = weighIns.value.value
  const masses = useMemo(() => lastMasses(known ?? []), [known])
  const phaseOf = (animal: Animal) => phaseAt(animal, instant(now.value)).phase
  const rows = animals.filter(
    (animal) => shown.value === null || isDown(phaseOf(animal)) === (shown.value === 'down'),
  )
  if (!areSettled(season, day, weighIns, species)) return <Skeleton shape="lines" />
  return (
    <>
      {season.value.value !== null && <WakeFirst season={season.value.value} animals={animals} />}
      <ProblemNote problem={season.problem.value ?? weighIns.problem.value} />
      <div class="animals-acts">
        <Link to="/weigh" class="button strong thumb">
          {say('Weigh')}
        </Link>
        <Choices<Shown>
          isSmall
          legend={say('Show only')}
          value={shown.value}
          options={[
            { value: 'down', label: say('down') },
            { value: 'awake', label: say('awake') },
          ]}
          onValue={(value) => (shown.value = value)}
        />
      </div>
      <ul class="animal-list" aria-label={say('Animals')}>
        {rows.map((animal) => (
          <AnimalRow
            key={animal.id}
            animal={animal}
            profile={species.value.value?.find((one) => one.id === animal.species) ?? null}
            masses={known === null ? null : (masses.get(animal.id) ?? [])}
            due={(day.value.value?.due ?? []).filter((reminder) => reminder.animal === animal.id)}
          />
        ))}
      </ul>
      {rows.length === 0 && (
        <p class="soft">{shown.value === 'down' ? say('No animal is down.') : say('No animal is awake.')}</p>
      )}
      {person.value?.role === 'keeper' && (
        <p class="animals-add">
          <Link to="/set-up">{say('Add an animal under Set-up')}</Link>
        </p>
      )}
    </>
  )
}

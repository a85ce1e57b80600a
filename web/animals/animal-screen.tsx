import type { Animal } from '../../schemas/animal.ts'
import type { AnimalStanding } from '../../schemas/season.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { DiaryList } from '../diary/diary-list.tsx'
import { useFollowed } from '../diary/use-followed.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton, WaitingScreen } from '../parts/skeleton.tsx'
import { say } from '../../shared/words/say.ts'
import { areSettled, useAnswer } from '../parts/use-answer.ts'
import { AnimalHead } from './animal-head.tsx'
import { ConditionSays } from './condition-says.tsx'
import { GateSays } from './gate-says.tsx'
import { MassSays } from './mass-says.tsx'
import { NoSuchAnimal } from './no-such-animal.tsx'
import { NoteWays } from './note-ways.tsx'
import { PhaseSays } from './phase-says.tsx'
import { RemindersSay } from './reminders-say.tsx'
import { useMasses } from './use-masses.ts'
import { WarmSays } from './warm-says.tsx'
import { WakeSays } from './wake-says.tsx'
import { WakingSays } from './waking-says.tsx'

/** Everything about one animal: who it is, what its winter holds, how it stands, and what was noted of it. */
export function AnimalScreen({ id }: { id: string }) {
  const { household } = usePage()
  if (household.value === null) return <WaitingScreen title={say('Animal')} shape="lines" /> // its name is not known yet
  const animal = household.value.animals.find((one) => one.id === id)
  if (animal === undefined) return <NoSuchAnimal />
  return (
    <Screen title={animal.name} heading={animal.name}>
      <OneAnimal animal={animal} />
    </Screen>
  )
}

function OneAnimal({ animal }: { animal: Animal }) {
  const asked = useFollowed<AnimalStanding>(pathTo('animals', animal.id, 'standing'))
  const species = useAnswer<SpeciesProfile[]>('/api/species')
  const { masses, asked: weighed } = useMasses(animal.id)
  const profile = species.value.value?.find((one) => one.id === animal.species) ?? null
  const standing = asked.value.value
  if (!areSettled(asked, species, weighed)) return <Skeleton shape="lines" />
  return (
    <>
      <AnimalHead animal={animal} profile={profile} years={standing?.years ?? null} />
      {standing === null ? (
        <ProblemNote problem={asked.problem.value} onAgain={asked.again} />
      ) : (
        <WakeSays wake={standing.wake} animal={animal} />
      )}
      <div class="place-page animal-page">
        <div class="place-notes">
          <PhaseSays animal={animal} doubt={standing?.doubt ?? null} />
          <NoteWays animal={animal} />
          {standing !== null && (
            <>
              <WakingSays steps={standing.waking} animal={animal} />
              <RemindersSay reminders={standing.reminders} animal={animal} />
              <GateSays gate={standing.gate} animal={animal} />
            </>
          )}
        </div>
        <div class="place-notes">
          {standing !== null && <WarmSays profile={profile} phase={standing.phase} />}
          <MassSays mass={standing?.mass ?? null} masses={masses} />
          {standing !== null && <ConditionSays condition={standing.condition} animal={animal} />}
          <DiaryList
            animal={animal}
            profile={profile}
            onChange={() => {
              asked.again()
              weighed.again()
            }}
          />
        </div>
      </div>
    </>
  )
}

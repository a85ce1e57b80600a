import { useMemo } from 'preact/hooks'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { query } from '../page/ask.ts'
import { pathOfAnimal } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton, WaitingScreen } from '../parts/skeleton.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { NoSuchAnimal } from '../animals/no-such-animal.tsx'
import { isNotedKind, notingName, type NotedKind } from '../words/diary-words.ts'
import { NoteForm } from './note-form.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** One kind of thing, noted of one animal. */
export function NoteScreen({ animal: id, kind }: { animal: string; kind: string }) {
  const { household, route } = usePage()
  const species = useAnswer<SpeciesProfile[]>('/api/species')
  const from = useMemo(() => (route.coming.by === 'link' ? route.coming.from : null), [])
  if (household.value === null) return <WaitingScreen title={say('Note')} shape="form" />
  const animal = household.value.animals.find((one) => one.id === id)
  if (animal === undefined || !isNotedKind(kind)) return <NoSuchAnimal />
  const isKnown = species.value.value !== null || species.problem.value !== null
  const profile = species.value.value?.find((one) => one.id === animal.species) ?? null
  const onDone = (): void => route.go(from ?? pathOfAnimal(id))
  return (
    <Screen title={`${notingTitle[kind]}: ${animal.name}`} heading={notingTitle[kind]}>
      <p class="soft">{sayWith('of {link}', { link: <Link to={pathOfAnimal(id)}>{animal.name}</Link> })}</p>
      {isKnown &&
        (kind === 'weighed' ? (
          <WeighNote animal={animal} profile={profile} onDone={onDone} />
        ) : (
          <NoteForm
            animal={animal}
            profile={profile}
            kind={kind}
            before={null}
            onDone={onDone}
            onCancel={onDone}
          />
        ))}
    </Screen>
  )
}

/** Against the last mass, once it is known whether there is one. */
function WeighNote({
  animal,
  profile,
  onDone,
}: {
  animal: Animal
  profile: SpeciesProfile | null
  onDone: () => void
}) {
  const asked = useAnswer<DiaryLine[]>(`/api/diary${query({ animal: animal.id, kind: 'weighed', limit: 1 })}`)
  if (asked.value.value === null && asked.problem.value === null) return <Skeleton shape="form" />
  const note = asked.value.value?.[0]?.note
  return (
    <NoteForm
      animal={animal}
      profile={profile}
      kind="weighed"
      before={null}
      last={note?.kind === 'weighed' ? note.grams : null}
      onDone={onDone}
      onCancel={onDone}
    />
  )
}

const notingTitle: Record<NotedKind, string> = { ...notingName, said: say('A note in words') }

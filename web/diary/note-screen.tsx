import { useMemo } from 'preact/hooks'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { pathOfAnimal } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { NoSuchAnimal } from '../animals/no-such-animal.tsx'
import { isNotedKind, notingName, type NotedKind } from '../words/diary-words.ts'
import { NoteForm } from './note-form.tsx'

/** One kind of thing, noted of one animal. */
export function NoteScreen({ animal: id, kind }: { animal: string; kind: string }) {
  const { household, route } = usePage()
  const species = useAnswer<SpeciesProfile[]>('/api/species')
  const from = useMemo(() => (route.coming.by === 'link' ? route.coming.from : null), [])
  if (household.value === null) return <main class="screen" />
  const animal = household.value.animals.find((one) => one.id === id)
  if (animal === undefined || !isNotedKind(kind)) return <NoSuchAnimal />
  const isKnown = species.value.value !== null || species.problem.value !== null
  const profile = species.value.value?.find((one) => one.id === animal.species) ?? null
  const onDone = (): void => route.go(from ?? pathOfAnimal(id))
  return (
    <Screen title={`${notingTitle[kind]}: ${animal.name}`} heading={notingTitle[kind]}>
      <p class="soft">
        of <Link to={pathOfAnimal(id)}>{animal.name}</Link>
      </p>
      {isKnown && (
        <NoteForm
          animal={animal}
          profile={profile}
          kind={kind}
          before={null}
          onDone={onDone}
          onCancel={onDone}
        />
      )}
    </Screen>
  )
}

const notingTitle: Record<NotedKind, string> = { ...notingName, said: 'A note in words' }

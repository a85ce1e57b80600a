import { useSignal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { DiaryEntryLine } from './diary-entry-line.tsx'
import { useFollowed } from './use-followed.ts'
import { say } from '../../shared/words/say.ts'

/** Lines shown at first, and as many more with each press. */
const page = 20

/** What was noted of an animal, newest first. */
export function DiaryList({
  animal,
  profile,
  onChange,
}: {
  animal: Animal
  profile: SpeciesProfile | null
  onChange: () => void
}) {
  const { person } = usePage()
  const limit = useSignal(page)
  const head = useRef<HTMLHeadingElement>(null)
  const asked = useFollowed<DiaryLine[]>(
    // One more than is shown: whether there is more
    `/api/diary${query({ animal: animal.id, limit: limit.value + 1 })}`,
  )
  const lines = asked.value.value
  const changed = (): void => {
    asked.again()
    onChange()
  }
  return (
    <section class="says" aria-labelledby="diary">
      <h2 id="diary" ref={head} tabIndex={-1}>
        {say('Diary')}
      </h2>
      <ProblemNote problem={asked.problem.value} />
      {lines !== null && lines.length === 0 && <p class="soft">{say('Nothing was noted yet.')}</p>}
      {lines !== null && lines.length > 0 && (
        <ol class="diary" aria-label={say('Diary of {animal}', { animal: animal.name })}>
          {lines.slice(0, limit.value).map((line) => (
            <DiaryEntryLine
              key={line.id}
              line={line}
              animal={animal}
              profile={profile}
              mayChange={person.value?.role === 'keeper' || line.by === person.value?.name}
              onChange={changed}
              onGone={() => head.current?.focus()}
            />
          ))}
        </ol>
      )}
      {lines !== null && lines.length > limit.value && (
        <button type="button" class="quiet" onClick={() => (limit.value += page)}>
          {say('Show older entries')}
        </button>
      )}
    </section>
  )
}

import { useSignal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { isNotedKind, noteWords } from '../words/diary-words.ts'
import { held } from '../words/held.ts'
import { NoteForm } from './note-form.tsx'
import { PortraitButton } from './portrait-button.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** One entry: when, what, by whom; to be changed in its place. */
export function DiaryEntryLine({
  line,
  animal,
  profile,
  mayChange,
  onChange,
  onGone,
}: {
  line: DiaryLine
  animal: Animal
  profile: SpeciesProfile | null
  mayChange: boolean
  onChange: () => void
  onGone: () => void
}) {
  const { tell, now, household, person } = usePage()
  const isOpen = useSignal(false)
  const change = useRef<HTMLButtonElement>(null)
  const zone = household.value?.timeZone ?? 'UTC'
  const { note } = line
  const words = noteWords(note, tell)
  const day = tell.stamp(line.at, now.value, zone)
  const close = (): void => {
    isOpen.value = false
    setTimeout(() => change.current?.focus())
  }
  return (
    <li class="diary-line">
      <div>
        <p class="diary-when">
          <time dateTime={new Date(line.at).toISOString()}>{day}</time>
          <span class="soft">
            {say('by {part}', { part: line.by === 'brumal' ? say('Brumal') : line.by })}
          </span>
        </p>
        <p class={note.kind === 'sign' ? 'step-late' : ''}>{held(words)}.</p>
        {line.text !== undefined && <p class="diary-text">{line.text}</p>}
        {note.kind === 'photographed' && (
          <a href={pathTo('pictures', note.picture)} class="thumbnail">
            <img
              src={pathTo('pictures', note.picture)}
              alt={line.text ?? `${animal.name}, ${day}`}
              loading="lazy"
            />
          </a>
        )}
        {note.kind === 'photographed' && person.value?.role === 'keeper' && (
          <PortraitButton animal={animal} picture={note.picture} />
        )}
      </div>
      {mayChange && isNotedKind(note.kind) && !isOpen.value && (
        <button type="button" class="quiet diary-change" ref={change} onClick={() => (isOpen.value = true)}>
          {sayWith('Change{unseen}', { unseen: <span class="unseen"> {words}</span> })}
        </button>
      )}
      {isOpen.value && isNotedKind(note.kind) && (
        <NoteForm
          animal={animal}
          profile={profile}
          kind={note.kind}
          before={line}
          onDone={close}
          onCancel={close}
          onRemoved={onGone}
          onChange={onChange}
        />
      )}
    </li>
  )
}

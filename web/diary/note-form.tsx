import { useSignal } from '@preact/signals'
import { useMemo } from 'preact/hooks'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryEntry, DiaryLine, DiaryNote } from '../../schemas/diary.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { instant } from '../../schemas/amounts.ts'
import { isSilence } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { AreaField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'
import { noteWords, type NotedKind } from '../words/diary-words.ts'
import { freshEntryId, freshPictureId } from './entry-id.ts'
import { NoteFields } from './note-fields.tsx'
import { isImplausible } from './plausible.ts'
import { sendPicture } from './send-picture.ts'
import { useKeepEntry } from './use-keep-entry.ts'
import { WhenField } from './when-field.tsx'
import { say } from '../../shared/words/say.ts'

/** One small form for one kind of thing; `before`: the line that is changed. What is typed stays when saving fails. */
export function NoteForm({
  animal,
  profile,
  kind,
  before,
  last = null,
  onDone,
  onCancel,
  onRemoved,
  onChange,
}: {
  animal: Animal
  profile: SpeciesProfile | null
  kind: NotedKind
  before: DiaryLine | null
  /** Its last mass, g: another that is far from it is asked about once. */
  last?: number | null
  onDone: () => void
  onCancel: () => void
  /** Of an entry that may be removed. */
  onRemoved?: () => void
  onChange?: () => void
}) {
  const page = usePage()
  const act = useAct()
  const keeping = useKeepEntry()
  const ids = useMemo(() => ({ entry: before?.id ?? freshEntryId(), picture: freshPictureId() }), [])
  const note = useSignal<DiaryNote | null>(before?.note ?? startingNote(kind))
  const picture = useSignal<Blob | null>(null)
  const at = useSignal<number | null>(before?.at ?? null)
  const text = useSignal(before?.text ?? '')
  const isTried = useSignal(false)
  const asks = useSignal(false)
  const isTextMissing = kind === 'said' && text.value.trim() === ''
  const problem = act.problem.value

  const onSave = (event: Event): void => {
    event.preventDefault()
    isTried.value = true
    const said = note.value
    if (said === null || isTextMissing) return
    const isOdd = said.kind === 'weighed' && last !== null && isImplausible(said.grams, last)
    if (isOdd) asks.value = true
    else save(said)
  }
  const save = (said: DiaryNote): void => {
    asks.value = false
    const spoken = text.value.trim()
    // The first try's hour stands: a second one is the same entry
    at.value ??= Math.round(page.now.peek())
    const entry: DiaryEntry = {
      id: ids.entry,
      at: instant(at.value),
      animal: animal.id,
      note: said,
      ...(spoken !== '' && { text: spoken }),
    }
    void act.run(async () => {
      if (picture.value !== null && said.kind === 'photographed') {
        const sent = await sendPicture(said.picture, picture.value)
        if (!sent.ok) return sent
      }
      return keeping.save(
        entry,
        say('{animal}: {saved} noted.', { animal: animal.name, saved: savedWords(said, page.tell) }),
        {
          before,
          ...(onChange !== undefined && { onChange }),
        },
      )
    }, onDone)
  }

  return (
    <form
      class="note-form"
      noValidate
      onSubmit={onSave}
      aria-label={say('Note of {animal}', { animal: animal.name })}
    >
      <NoteFields
        kind={kind}
        taxon={profile?.taxon ?? 'tortoise'}
        rules={profile?.condition ?? []}
        last={last}
        before={before?.note ?? null}
        pictureId={ids.picture}
        onPicture={(blob) => (picture.value = blob)}
        onNote={(next) => (note.value = next)}
      />
      <AreaField
        label={kind === 'said' ? say('What is to be noted') : say('In words, if need be')}
        field="text"
        rows={kind === 'said' ? 4 : 2}
        maxLength={1000}
        problem={problem}
        value={text.value}
        onValue={(value) => (text.value = value)}
      />
      <WhenField at={before?.at ?? null} onAt={(next) => (at.value = next)} />
      <div class="note-foot">
        {isTried.value && (note.value === null || isTextMissing) && (
          <p class="field-error" role="alert">
            {isTextMissing ? say('Say it in words.') : missingWords[kind]}
          </p>
        )}
        {asks.value && note.value?.kind === 'weighed' && last !== null && (
          <Question
            question={say('Really {mass}? Last time {mass2}.', {
              mass: page.tell.mass(note.value.grams),
              mass2: page.tell.mass(last),
            })}
            yes={say('Save {mass}', { mass: page.tell.mass(note.value.grams) })}
            no={say('Correct it')}
            isBusy={act.isBusy.value}
            onYes={() => {
              if (note.value !== null) save(note.value)
            }}
            onNo={() => (asks.value = false)}
          />
        )}
        <ProblemNote problem={problem} fields={['text']} />
        {problem !== null && isSilence(problem) && (
          <p class="hint">{say('What you entered is kept here. Save it again once Brumal answers.')}</p>
        )}
        <div class="note-acts">
          <button type="submit" class="strong" aria-disabled={act.isBusy.value}>
            {act.isBusy.value ? 'Saving …' : problem !== null ? say('Save again') : say('Save')}
          </button>
          <button type="button" class="quiet" onClick={onCancel}>
            {say('Leave it')}
          </button>
          {before !== null && onRemoved !== undefined && (
            <button
              type="button"
              class="quiet"
              onClick={() =>
                void act.run(
                  () =>
                    keeping.remove(
                      before,
                      say('Removed: {note}.', { note: noteWords(before.note, page.tell) }),
                      {
                        ...(onChange !== undefined && { onChange }),
                      },
                    ),
                  onRemoved,
                )
              }
            >
              {say('Remove')}
            </button>
          )}
        </div>
      </div>
    </form>
  )
}

const savedWords = (note: DiaryNote, tell: Parameters<typeof noteWords>[1]): string => {
  const words = noteWords(note, tell)
  return words.charAt(0).toLowerCase() + words.slice(1)
}

/** Kinds of which the press alone says all. */
function startingNote(kind: NotedKind): DiaryNote | null {
  switch (kind) {
    case 'bathed':
    case 'drank':
    case 'active':
    case 'looked':
    case 'said':
      return { kind }
    case 'weighed':
    case 'measured':
    case 'scored':
    case 'checked':
    case 'fed':
    case 'passed':
    case 'sign':
    case 'vet':
    case 'photographed':
      return null
    default:
      return kind satisfies never
  }
}

const missingWords: Record<NotedKind, string> = {
  weighed: say('Type what the scale shows, as 812 or 81.5.'),
  measured: say('Type at least one length in cm, as 14.2.'),
  scored: say('Choose a score.'),
  checked: say('Answer at least one question.'),
  bathed: '',
  drank: '',
  fed: say('Say how much it ate.'),
  passed: say('Say what it passed.'),
  active: '',
  sign: say('Choose what you see.'),
  vet: say('Say what the vet said.'),
  photographed: say('Take or choose a photo.'),
  said: '',
  looked: '',
}

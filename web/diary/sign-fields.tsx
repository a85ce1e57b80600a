import { useSignal } from '@preact/signals'
import type { DangerSign, DiaryNote, NoteOf } from '../../schemas/diary.ts'
import { dangerSigns, signName } from '../words/diary-words.ts'
import { Toggles } from './choices.tsx'
import { say } from '../../shared/words/say.ts'

const options = dangerSigns.map((value) => ({ value, label: signName[value] }))

/** Signs of danger that were seen. */
export function SignFields({
  before,
  onNote,
}: {
  before: NoteOf<'sign'> | null
  onNote: (note: DiaryNote | null) => void
}) {
  const signs = useSignal<readonly DangerSign[]>(before?.signs ?? [])
  return (
    <>
      <Toggles<DangerSign>
        legend={say('What do you see?')}
        values={signs.value}
        options={options}
        onValues={(values) => {
          signs.value = values
          onNote(values.length === 0 ? null : { kind: 'sign', signs: [...values] })
        }}
      />
      <p class="hint">{say('Each of these is a reason to ring a reptile vet.')}</p>
    </>
  )
}

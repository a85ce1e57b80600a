import { useSignal } from '@preact/signals'
import { useId, useRef } from 'preact/hooks'
import type { DiaryNote, NoteOf } from '../../schemas/diary.ts'
import type { PictureId } from '../../schemas/ids.ts'
import { pathTo } from '../page/ask.ts'
import { scaledPicture } from './scale-picture.ts'
import { say } from '../../shared/words/say.ts'

/** A photo out of the camera or the album, scaled here before it goes anywhere. */
export function PhotoField({
  before,
  pictureId,
  onPicture,
  onNote,
}: {
  before: NoteOf<'photographed'> | null
  pictureId: PictureId
  onPicture: (picture: Blob | null) => void
  onNote: (note: DiaryNote | null) => void
}) {
  const id = useId()
  const canvas = useRef<HTMLCanvasElement>(null)
  const state = useSignal<'none' | 'scaling' | 'ready' | 'unreadable'>('none')
  if (before !== null)
    return <img class="photo" src={pathTo('pictures', before.picture)} alt={say('The photo of this entry')} />

  const take = async (file: File | undefined): Promise<void> => {
    if (file === undefined || canvas.current === null) return
    state.value = 'scaling'
    const picture = await scaledPicture(file, canvas.current)
    state.value = picture === null ? 'unreadable' : 'ready'
    onPicture(picture)
    onNote(picture === null ? null : { kind: 'photographed', picture: pictureId })
  }
  return (
    <div class="field photo-field">
      <label htmlFor={id} class="button photo-take">
        {state.value === 'ready' ? say('Take another photo') : say('Take a photo')}
      </label>
      <input
        id={id}
        class="unseen"
        type="file"
        accept="image/*"
        // Straight to the camera on a phone; elsewhere a choice of files
        capture="environment"
        onChange={(event) => void take(event.currentTarget.files?.[0])}
      />
      <canvas
        ref={canvas}
        class="photo"
        hidden={state.value !== 'ready'}
        role="img"
        aria-label={say('The photo as it will be kept')}
      />
      <p class="hint" role="status">
        {stateWords[state.value]}
      </p>
    </div>
  )
}

const stateWords = {
  none: say('Kept smaller than it was taken, without the place that a phone writes into it.'),
  scaling: say('Making it smaller …'),
  ready: '',
  unreadable: say('This file is no picture that can be read here.'),
} as const

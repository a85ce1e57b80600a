import type { DiaryNote } from '../../schemas/diary.ts'
import type { PictureId } from '../../schemas/ids.ts'
import type { ConditionRule, Taxon } from '../../schemas/species.ts'
import type { NotedKind } from '../words/diary-words.ts'
import { BathedField, FedFields, PassedField, VetField } from './care-fields.tsx'
import { HealthFields } from './health-fields.tsx'
import { MeasuredFields, ScoredField, WeighedFields } from './body-fields.tsx'
import { PhotoField } from './photo-field.tsx'
import { SignFields } from './sign-fields.tsx'
import { say } from '../../shared/words/say.ts'

export interface NoteFieldsProps {
  readonly kind: NotedKind
  readonly taxon: Taxon
  readonly rules: readonly ConditionRule[]
  /** Its last mass, g; null: not known, or nothing is weighed. */
  readonly last: number | null
  /** The note that is changed. */
  readonly before: DiaryNote | null
  readonly pictureId: PictureId
  onPicture(picture: Blob | null): void
  /** Null while it is not whole. */
  onNote(note: DiaryNote | null): void
}

/** What is asked for one kind of note. */
export function NoteFields(props: NoteFieldsProps) {
  const { kind, before, onNote } = props
  switch (kind) {
    case 'weighed':
      return (
        <WeighedFields last={props.last} before={before?.kind === kind ? before : null} onNote={onNote} />
      )
    case 'measured':
      return (
        <MeasuredFields taxon={props.taxon} before={before?.kind === kind ? before : null} onNote={onNote} />
      )
    case 'scored':
      return (
        <ScoredField rules={props.rules} before={before?.kind === kind ? before : null} onNote={onNote} />
      )
    case 'checked':
      return <HealthFields before={before?.kind === kind ? before : null} onNote={onNote} />
    case 'bathed':
      return <BathedField before={before?.kind === kind ? before : null} onNote={onNote} />
    case 'fed':
      return <FedFields before={before?.kind === kind ? before : null} onNote={onNote} />
    case 'passed':
      return <PassedField before={before?.kind === kind ? before : null} onNote={onNote} />
    case 'sign':
      return <SignFields before={before?.kind === kind ? before : null} onNote={onNote} />
    case 'vet':
      return <VetField before={before?.kind === kind ? before : null} onNote={onNote} />
    case 'photographed':
      return (
        <PhotoField
          before={before?.kind === kind ? before : null}
          pictureId={props.pictureId}
          onPicture={props.onPicture}
          onNote={onNote}
        />
      )
    case 'drank':
      return <p>{say('It was seen drinking.')}</p>
    case 'active':
      return <p>{say('It moved or dug though it is in hold.')}</p>
    case 'looked':
      return <p>{say('Somebody looked at it, and nothing was out of the ordinary.')}</p>
    case 'said':
      return null
    default:
      return kind satisfies never
  }
}

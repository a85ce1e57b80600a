import { useSignal } from '@preact/signals'
import type { DiaryNote, NoteOf } from '../../schemas/diary.ts'
import { TextField } from '../parts/field.tsx'
import { Choices, Toggles } from './choices.tsx'
import { decimalOf } from './decimal.ts'
import { NumberField } from './number-field.tsx'
import { say } from '../../shared/words/say.ts'

type OnNote = (note: DiaryNote | null) => void

const yesNo = [
  { value: 'yes', label: say('Yes') },
  { value: 'no', label: say('No') },
] as const

const asWord = (is: boolean | undefined): 'yes' | 'no' | null => (is === undefined ? null : is ? 'yes' : 'no')

export function BathedField({ before, onNote }: { before: NoteOf<'bathed'> | null; onNote: OnNote }) {
  const drank = useSignal(asWord(before?.drank))
  return (
    <Choices
      legend={say('Did it drink?')}
      value={drank.value}
      options={yesNo}
      onValue={(value) => {
        drank.value = value
        onNote({ kind: 'bathed', ...(value !== null && { drank: value === 'yes' }) })
      }}
    />
  )
}

type Eaten = NoteOf<'fed'>['eaten']

export function FedFields({ before, onNote }: { before: NoteOf<'fed'> | null; onNote: OnNote }) {
  const food = useSignal(before?.food ?? '')
  const typed = useSignal(before?.grams === undefined ? '' : String(before.grams))
  const eaten = useSignal<Eaten | null>(before?.eaten ?? null)
  const tellNote = (): void => {
    const grams = decimalOf(typed.value)
    const isGrams = grams !== null && grams > 0
    const what = food.value.trim()
    const isWhole = eaten.value !== null && (typed.value.trim() === '' || isGrams)
    onNote(
      !isWhole || eaten.value === null
        ? null
        : {
            kind: 'fed',
            eaten: eaten.value,
            ...(what !== '' && { food: what }),
            ...(isGrams && { grams }),
          },
    )
  }
  return (
    <>
      <Choices<Eaten>
        legend={say('It ate')}
        value={eaten.value}
        options={[
          { value: 'all', label: say('All') },
          { value: 'some', label: say('Some') },
          { value: 'none', label: say('Nothing') },
        ]}
        onValue={(value) => {
          eaten.value = value
          tellNote()
        }}
      />
      <TextField
        label={say('Of what')}
        field="note.food"
        maxLength={80}
        value={food.value}
        onValue={(value) => {
          food.value = value
          tellNote()
        }}
      />
      <NumberField
        label={say('How much was given')}
        unit="g"
        value={typed.value}
        onValue={(value) => {
          typed.value = value
          tellNote()
        }}
      />
    </>
  )
}

type Passed = 'faeces' | 'urates' | 'urine'

export function PassedField({ before, onNote }: { before: NoteOf<'passed'> | null; onNote: OnNote }) {
  const all: readonly Passed[] = ['faeces', 'urates', 'urine']
  const passed = useSignal<readonly Passed[]>(all.filter((one) => before?.[one] === true))
  return (
    <Toggles<Passed>
      legend={say('It passed')}
      values={passed.value}
      options={[
        { value: 'faeces', label: say('Faeces') },
        { value: 'urates', label: say('Urates') },
        { value: 'urine', label: say('Urine') },
      ]}
      onValues={(values) => {
        passed.value = values
        const has = (one: Passed): boolean => values.includes(one)
        onNote(
          values.length === 0
            ? null
            : { kind: 'passed', faeces: has('faeces'), urates: has('urates'), urine: has('urine') },
        )
      }}
    />
  )
}

export function VetField({ before, onNote }: { before: NoteOf<'vet'> | null; onNote: OnNote }) {
  const clears = useSignal(asWord(before?.clears))
  return (
    <Choices
      legend={say('Has the vet nothing against its winter?')}
      value={clears.value}
      options={[
        { value: 'yes', label: say('Nothing against it') },
        { value: 'no', label: say('Advises against it') },
      ]}
      onValue={(value) => {
        clears.value = value
        onNote(value === null ? null : { kind: 'vet', clears: value === 'yes' })
      }}
    />
  )
}

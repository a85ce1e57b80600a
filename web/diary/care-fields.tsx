import { useSignal } from '@preact/signals'
import type { DiaryNote, NoteOf } from '../../schemas/diary.ts'
import { TextField } from '../parts/field.tsx'
import { Choices, Toggles } from './choices.tsx'
import { decimalOf } from './decimal.ts'
import { NumberField } from './number-field.tsx'

type OnNote = (note: DiaryNote | null) => void

const yesNo = [
  { value: 'yes', label: 'Yes' },
  { value: 'no', label: 'No' },
] as const

const asWord = (is: boolean | undefined): 'yes' | 'no' | null => (is === undefined ? null : is ? 'yes' : 'no')

export function BathedField({ before, onNote }: { before: NoteOf<'bathed'> | null; onNote: OnNote }) {
  const drank = useSignal(asWord(before?.drank))
  return (
    <Choices
      legend="Did it drink?"
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
        legend="It ate"
        value={eaten.value}
        options={[
          { value: 'all', label: 'All' },
          { value: 'some', label: 'Some' },
          { value: 'none', label: 'Nothing' },
        ]}
        onValue={(value) => {
          eaten.value = value
          tellNote()
        }}
      />
      <TextField
        label="Of what"
        field="note.food"
        maxLength={80}
        value={food.value}
        onValue={(value) => {
          food.value = value
          tellNote()
        }}
      />
      <NumberField
        label="How much was given"
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
      legend="It passed"
      values={passed.value}
      options={[
        { value: 'faeces', label: 'Faeces' },
        { value: 'urates', label: 'Urates' },
        { value: 'urine', label: 'Urine' },
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
      legend="Has the vet nothing against its winter?"
      value={clears.value}
      options={[
        { value: 'yes', label: 'Nothing against it' },
        { value: 'no', label: 'Advises against it' },
      ]}
      onValue={(value) => {
        clears.value = value
        onNote(value === null ? null : { kind: 'vet', clears: value === 'yes' })
      }}
    />
  )
}

import type { ComponentChildren, InputHTMLAttributes } from 'preact'
import { useId } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import type { Measures } from '../words/typed-figure.ts'
import { NumberInput } from './number-input.tsx'
import { isAbout } from './problem-note.tsx'

interface Around {
  readonly label: string
  /** The field's name in the API, which the daemon's errors carry. */
  readonly field: string
  readonly hint?: string
  readonly problem?: Problem | null
}

interface Typing {
  readonly type?: 'text' | 'password' | 'number' | 'date' | 'time' | 'email' | 'url'
  readonly autoComplete?: string
  readonly minLength?: number
  readonly maxLength?: number
  readonly min?: string
  readonly max?: string
  readonly placeholder?: string
  readonly step?: string
  readonly required?: boolean
  readonly list?: string
  /** Of a number: whether it is typed in the reader's units. */
  readonly measures?: Measures
}

/** A labelled input with its hint and whatever the daemon said about it; a number is handed on with a point, as stored. */
export function TextField({
  label,
  field,
  hint,
  problem,
  value,
  onValue,
  type = 'text',
  measures,
  ...typing
}: Around & Typing & { value: string; onValue: (value: string) => void }) {
  const around = useAround(field, hint, problem)
  if (type === 'number')
    return (
      <Labelled label={label} hint={hint} {...around}>
        <NumberInput
          id={around.id}
          value={value}
          onValue={onValue}
          measures={measures}
          min={typing.min}
          max={typing.max}
          step={typing.step}
          required={typing.required}
          placeholder={typing.placeholder}
          aria-describedby={around.describedBy}
          aria-invalid={around.errors.length > 0}
        />
      </Labelled>
    )
  return (
    <Labelled label={label} hint={hint} {...around}>
      <input
        // preact's type is a union by `type`, which a variable cannot satisfy
        {...({ ...typing, type } as InputHTMLAttributes<HTMLInputElement>)}
        id={around.id}
        value={value}
        aria-describedby={around.describedBy}
        aria-invalid={around.errors.length > 0}
        onInput={(event) => onValue(event.currentTarget.value)}
      />
    </Labelled>
  )
}

/** The same for several lines. */
export function AreaField({
  label,
  field,
  hint,
  problem,
  value,
  onValue,
  ...typing
}: Around & {
  value: string
  onValue: (value: string) => void
  rows: number
  maxLength: number
  required?: boolean
}) {
  const around = useAround(field, hint, problem)
  return (
    <Labelled label={label} hint={hint} {...around}>
      <textarea
        {...typing}
        id={around.id}
        value={value}
        spellcheck={false}
        aria-describedby={around.describedBy}
        aria-invalid={around.errors.length > 0}
        onInput={(event) => onValue(event.currentTarget.value)}
      />
    </Labelled>
  )
}

export interface Choice {
  readonly value: string
  readonly label: string
  readonly disabled?: boolean
}

/** A labelled list to choose one from. */
export function ChoiceField({
  label,
  field,
  hint,
  problem,
  value,
  onValue,
  choices,
}: Around & { value: string; onValue: (value: string) => void; choices: readonly Choice[] }) {
  const around = useAround(field, hint, problem)
  return (
    <Labelled label={label} hint={hint} {...around}>
      <select
        id={around.id}
        value={value}
        aria-describedby={around.describedBy}
        aria-invalid={around.errors.length > 0}
        onChange={(event) => onValue(event.currentTarget.value)}
      >
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value} disabled={choice.disabled}>
            {choice.label}
          </option>
        ))}
      </select>
    </Labelled>
  )
}

/** Choices out of a table of names. */
export const choicesOf = (names: Readonly<Record<string, string>>): Choice[] =>
  Object.entries(names).map(([value, label]) => ({ value, label }))

function useAround(field: string, hint: string | undefined, problem: Problem | null | undefined) {
  const id = useId()
  const errors = problem?.errors?.filter((error) => isAbout(error.path, field)) ?? []
  const described = [
    ...(hint === undefined ? [] : [`${id}-hint`]),
    ...(errors.length === 0 ? [] : [`${id}-error`]),
  ]
  return { id, errors, describedBy: described.length === 0 ? undefined : described.join(' ') }
}

function Labelled({
  label,
  hint,
  id,
  errors,
  children,
}: {
  label: string
  hint: string | undefined
  id: string
  errors: readonly { message: string }[]
  children: ComponentChildren
}) {
  return (
    <div class="field">
      <label htmlFor={id}>{label}</label>
      {children}
      {hint !== undefined && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {errors.length > 0 && (
        <p class="field-error" id={`${id}-error`}>
          {errors.map((error) => error.message).join('; ')}
        </p>
      )}
    </div>
  )
}

import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import { say } from '../../shared/words/say.ts'
import { signedDecimalOf } from '../diary/decimal.ts'
import { type Measures, storedOf, typedOf } from '../words/typed-figure.ts'

/**
 * A number as it is typed: with a point or a comma, in the reader's units. A browser's own number field takes the comma
 * only where its own language has one. `value`, `onValue` and the bounds are of what is stored, in °C or K, with a point;
 * empty where nothing, or no number, stands in it.
 */
export function NumberInput({
  id,
  value,
  onValue,
  measures = 'plain',
  min,
  max,
  step,
  ...given
}: {
  id: string
  value: string
  onValue: (value: string) => void
  measures?: Measures | undefined
  min?: string | undefined
  max?: string | undefined
  /** None allows whole numbers only, as in HTML. */
  step?: string | undefined
  required?: boolean | undefined
  placeholder?: string | undefined
  'aria-describedby'?: string | undefined
  'aria-invalid'?: boolean | undefined
}) {
  const input = useRef<HTMLInputElement>(null)
  const seen = useRef({ value, measures })
  const typed = useRef(typedOf(value, measures))
  const [, drawAgain] = useState('')
  // Another number from outside takes the field; what was typed stays as it was typed
  if (seen.current.value !== value || seen.current.measures !== measures) {
    const isOwn = seen.current.measures === measures && storedOf(typed.current, measures) === value
    if (!isOwn) typed.current = typedOf(value, measures)
    seen.current = { value, measures }
  }
  const isWhole = measures === 'plain' && (step === undefined || step === '1')
  const fault = faultOf(typed.current, { measures, min, max, isWhole })
  useLayoutEffect(() => input.current?.setCustomValidity(fault), [fault])
  return (
    <input
      {...given}
      ref={input}
      id={id}
      type="text"
      // The keypad of digits of some phones has no minus
      inputMode={min === undefined || Number(min) < 0 ? 'text' : isWhole ? 'numeric' : 'decimal'}
      autoComplete="off"
      maxLength={12}
      value={typed.current}
      onInput={(event) => {
        typed.current = event.currentTarget.value
        drawAgain(typed.current)
        onValue(storedOf(typed.current, measures))
      }}
    />
  )
}

/** What speaks against it, for the browser's own bubble; empty where nothing does. */
function faultOf(
  typed: string,
  {
    measures,
    min,
    max,
    isWhole,
  }: { measures: Measures; min: string | undefined; max: string | undefined; isWhole: boolean },
): string {
  if (typed.trim() === '') return ''
  if (signedDecimalOf(typed) === null) return say('A number, please.')
  const value = Number(storedOf(typed, measures))
  if (isWhole && !Number.isInteger(value)) return say('A whole number, please.')
  if (min !== undefined && value < Number(min))
    return say('At least {least}.', { least: typedOf(min, measures) })
  if (max !== undefined && value > Number(max))
    return say('At most {most}.', { most: typedOf(max, measures) })
  return ''
}

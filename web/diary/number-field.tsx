import { useId } from 'preact/hooks'

/** A number to be typed with the thumb: large, with the keypad of digits; point and comma both do. */
export function NumberField({
  label,
  unit,
  value,
  onValue,
  hint,
}: {
  label: string
  unit: string
  value: string
  onValue: (value: string) => void
  hint?: string
}) {
  const id = useId()
  return (
    <div class="field number-field">
      <label htmlFor={id}>{label}</label>
      <div class="number-enter">
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          enterKeyHint="done"
          maxLength={12}
          value={value}
          aria-describedby={`${id}-unit`}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
        <span id={`${id}-unit`}>{unit}</span>
      </div>
      {hint !== undefined && <p class="hint">{hint}</p>}
    </div>
  )
}

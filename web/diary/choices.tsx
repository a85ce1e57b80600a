import { useId } from 'preact/hooks'

/** One of a few, each a large button; pressed again it is unsaid. */
export function Choices<Value extends string>({
  legend,
  value,
  options,
  onValue,
  isSmall = false,
  isNumbers = false,
}: {
  legend: string
  value: Value | null
  options: readonly { readonly value: Value; readonly label: string }[]
  onValue: (value: Value | null) => void
  isSmall?: boolean
  /** Digits: as many beside each other as a thumb can tell apart. */
  isNumbers?: boolean
}) {
  const id = useId()
  return (
    <div class={isSmall ? 'choices choices-small' : 'choices'} role="group" aria-labelledby={id}>
      <p class="choices-legend" id={id}>
        {legend}
      </p>
      <div class={isNumbers ? 'choices-row choices-numbers' : 'choices-row'}>
        {options.map((option) => (
          <button
            key={option.value}
            type="button"
            aria-pressed={option.value === value}
            onClick={() => onValue(option.value === value ? null : option.value)}
          >
            {option.label}
          </button>
        ))}
      </div>
    </div>
  )
}

/** Any of several. */
export function Toggles<Value extends string>({
  legend,
  values,
  options,
  onValues,
}: {
  legend: string
  values: readonly Value[]
  options: readonly { readonly value: Value; readonly label: string }[]
  onValues: (values: readonly Value[]) => void
}) {
  const id = useId()
  return (
    <div class="choices toggles" role="group" aria-labelledby={id}>
      <p class="choices-legend" id={id}>
        {legend}
      </p>
      <div class="choices-row">
        {options.map(({ value, label }) => (
          <button
            key={value}
            type="button"
            aria-pressed={values.includes(value)}
            onClick={() =>
              onValues(values.includes(value) ? values.filter((one) => one !== value) : [...values, value])
            }
          >
            {label}
          </button>
        ))}
      </div>
    </div>
  )
}

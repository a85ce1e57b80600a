import { useId } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import { TextField } from './field.tsx'

/** A time zone by its IANA name, out of those that this browser knows. */
export function ZoneField({
  label,
  hint,
  required = false,
  problem,
  value,
  onValue,
}: {
  label: string
  hint?: string
  required?: boolean
  problem: Problem | null
  value: string
  onValue: (zone: string) => void
}) {
  const zones = useId()
  return (
    <>
      <TextField
        label={label}
        field="timeZone"
        {...(hint === undefined ? {} : { hint })}
        list={zones}
        required={required}
        problem={problem}
        value={value}
        onValue={onValue}
      />
      <datalist id={zones}>
        {Intl.supportedValuesOf('timeZone').map((zone) => (
          <option key={zone} value={zone} />
        ))}
      </datalist>
    </>
  )
}

import type { Problem } from '../../schemas/api.ts'
import { say } from '../../shared/words/say.ts'
import { TextField } from './field.tsx'

interface Hours {
  readonly from: string
  readonly to: string
}

/** From one hour of the clock to another, as `HH:MM`; over midnight where the second is the earlier one. */
export function HoursFields({
  label,
  field,
  problem,
  value,
  onValue,
}: {
  label: string
  /** Whose `from` and `to` they are in what is sent. */
  field: string
  problem: Problem | null
  value: Hours
  onValue: (value: Hours) => void
}) {
  return (
    <div class="field-pair">
      <TextField
        label={label}
        field={`${field}.from`}
        type="time"
        required
        problem={problem}
        value={value.from}
        onValue={(from) => onValue({ ...value, from })}
      />
      <TextField
        label={say('to')}
        field={`${field}.to`}
        type="time"
        required
        problem={problem}
        value={value.to}
        onValue={(to) => onValue({ ...value, to })}
      />
    </div>
  )
}

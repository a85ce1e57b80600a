import type { Problem } from '../../schemas/api.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { OwnLimit } from '../../schemas/place.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Millis } from '../../schemas/units.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { limitName, quantityName } from '../words/names.ts'

const minuteMs = 60_000
const { temperature, humidity } = quantityName

/** Limits that the keeper sets by hand for one place: they tighten or stand in for what the animals need. */
export function OwnLimitsField({
  limits,
  problem,
  onLimits,
}: {
  limits: readonly OwnLimit[]
  problem: Problem | null
  onLimits: (limits: OwnLimit[]) => void
}) {
  const change = (row: number, with_: Partial<OwnLimit>): void =>
    onLimits(limits.map((limit, i) => (i === row ? { ...limit, ...with_ } : limit)))
  return (
    <fieldset class="own-limits">
      <legend>Own limits</legend>
      <p class="hint">
        The animals' species bring theirs. These tighten them, or stand where no animal lives.
      </p>
      {limits.map((limit, row) => (
        <div class="own-limit" key={row}>
          <ChoiceField
            label="Quantity"
            field={`ownLimits.${row}.quantity`}
            problem={problem}
            value={limit.quantity}
            onValue={(value) => change(row, { quantity: value as Quantity })}
            choices={choicesOf({ temperature, humidity })}
          />
          <ChoiceField
            label="Limit"
            field={`ownLimits.${row}.limit`}
            problem={problem}
            value={limit.limit}
            onValue={(value) => change(row, { limit: value as LimitName })}
            choices={choicesOf(limitName)}
          />
          <TextField
            label={limit.quantity === 'temperature' ? 'Value, °C' : 'Value, %RH'}
            field={`ownLimits.${row}.value`}
            type="number"
            step="0.1"
            required
            problem={problem}
            value={Number.isNaN(limit.value) ? '' : String(limit.value)}
            onValue={(value) => change(row, { value: value === '' ? Number.NaN : Number(value) })}
          />
          <TextField
            label="for, minutes"
            field={`ownLimits.${row}.for`}
            type="number"
            min="0"
            problem={problem}
            value={limit.for === undefined ? '' : String(limit.for / minuteMs)}
            onValue={(value) => onLimits(limits.map((one, i) => (i === row ? withDelay(one, value) : one)))}
          />
          <button type="button" class="quiet" onClick={() => onLimits(limits.filter((_, i) => i !== row))}>
            Remove<span class="unseen"> limit {row + 1}</span>
          </button>
        </div>
      ))}
      <button
        type="button"
        class="quiet"
        onClick={() => onLimits([...limits, { quantity: 'temperature', limit: 'high', value: Number.NaN }])}
      >
        Add a limit
      </button>
    </fieldset>
  )
}

/** Empty leaves the delay to the daemon's own choice. */
function withDelay({ for: _for, ...limit }: OwnLimit, minutes: string): OwnLimit {
  return minutes === '' ? limit : { ...limit, for: Math.round(Number(minutes) * minuteMs) as Millis }
}

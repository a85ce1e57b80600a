import type { Problem } from '../../schemas/api.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { OwnLimit } from '../../schemas/place.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Millis } from '../../schemas/units.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { limitName, quantityName } from '../words/names.ts'
import { unitTyped } from '../words/typed-figure.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

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
      <legend>{say('Own limits')}</legend>
      <p class="hint">
        {say("The animals' species bring theirs. These tighten them, or stand where no animal lives.")}
      </p>
      {limits.map((limit, row) => (
        <div class="own-limit" key={row}>
          <ChoiceField
            label={say('Quantity')}
            field={`ownLimits.${row}.quantity`}
            problem={problem}
            value={limit.quantity}
            onValue={(value) => change(row, { quantity: value as Quantity })}
            choices={choicesOf({ temperature, humidity })}
          />
          <ChoiceField
            label={say('Limit')}
            field={`ownLimits.${row}.limit`}
            problem={problem}
            value={limit.limit}
            onValue={(value) => change(row, { limit: value as LimitName })}
            choices={choicesOf(limitName)}
          />
          <TextField
            label={say('Value, {unit}', {
              unit: limit.quantity === 'temperature' ? unitTyped('temperature') : '%RH',
            })}
            field={`ownLimits.${row}.value`}
            type="number"
            step="any"
            measures={limit.quantity === 'temperature' ? 'temperature' : 'plain'}
            required
            problem={problem}
            value={Number.isNaN(limit.value) ? '' : String(limit.value)}
            onValue={(value) => change(row, { value: value === '' ? Number.NaN : Number(value) })}
          />
          <TextField
            label={say('for, minutes')}
            field={`ownLimits.${row}.for`}
            type="number"
            min="0"
            problem={problem}
            value={limit.for === undefined ? '' : String(limit.for / minuteMs)}
            onValue={(value) => onLimits(limits.map((one, i) => (i === row ? withDelay(one, value) : one)))}
          />
          <button type="button" class="quiet" onClick={() => onLimits(limits.filter((_, i) => i !== row))}>
            {sayWith('Remove{unseen}', {
              unseen: <span class="unseen">{say(' limit {part}', { part: row + 1 })}</span>,
            })}
          </button>
        </div>
      ))}
      <button
        type="button"
        class="quiet"
        onClick={() => onLimits([...limits, { quantity: 'temperature', limit: 'high', value: Number.NaN }])}
      >
        {say('Add a limit')}
      </button>
    </fieldset>
  )
}

/** Empty leaves the delay to the daemon's own choice. */
function withDelay({ for: _for, ...limit }: OwnLimit, minutes: string): OwnLimit {
  return minutes === '' ? limit : { ...limit, for: Math.round(Number(minutes) * minuteMs) as Millis }
}

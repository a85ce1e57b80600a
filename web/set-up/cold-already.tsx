import type { Problem } from '../../schemas/api.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { type Cold, wakeOf } from './steps-of-cold.ts'
import { say } from '../../shared/words/say.ts'

/** For an animal that is in hold already, before Brumal knew of it. */
export function ColdAlready({
  cold,
  profile,
  hasWintered,
  problem,
  onChange,
}: {
  cold: Cold
  profile: SpeciesProfile
  hasWintered: boolean
  problem: Problem | null
  onChange: (cold: Cold) => void
}) {
  return (
    <>
      <ChoiceField
        label={say('Phase now')}
        field="plan"
        problem={problem}
        value={cold.isInHold ? 'hold' : 'awake'}
        onValue={(value) => onChange({ ...cold, isInHold: value === 'hold' })}
        choices={[
          { value: 'awake', label: say('awake') },
          { value: 'hold', label: say('in hold already') },
        ]}
      />
      {cold.isInHold && (
        <div class="field-pair">
          <TextField
            label={say('since')}
            field="plan.from"
            type="date"
            required
            problem={problem}
            value={cold.since}
            onValue={(since) => onChange({ ...cold, since })}
          />
          <TextField
            label={say('to be woken on')}
            field="plan.to"
            type="date"
            required
            problem={problem}
            value={wakeOf(cold, profile, hasWintered)}
            onValue={(wakeOn) => onChange({ ...cold, wakeOn })}
          />
        </div>
      )}
    </>
  )
}

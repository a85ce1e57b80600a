import type { Signal } from '@preact/signals'
import type { Problem } from '../../schemas/api.ts'
import type { PlanWish } from '../../schemas/animal.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { say } from '../../shared/words/say.ts'

/** What the keeper wants: the day of either end, and how long. */
export function WishFields({ wish, problem }: { wish: Signal<PlanWish>; problem: Problem | null }) {
  const { by, on, weeks } = wish.value
  return (
    <div class="wish-fields">
      <ChoiceField
        label={say('Reckoned from')}
        field="by"
        problem={problem}
        value={by}
        onValue={(value) => (wish.value = { ...wish.value, by: value as PlanWish['by'] })}
        choices={[
          { value: 'hold', label: say('the day the hold begins') },
          { value: 'wake', label: say('the day of waking') },
        ]}
      />
      <TextField
        label={by === 'hold' ? say('The hold begins on') : say('It is woken on')}
        field="on"
        type="date"
        required
        problem={problem}
        value={on}
        onValue={(value) => {
          if (value !== '') wish.value = { ...wish.value, on: value }
        }}
      />
      <TextField
        label={say('Weeks of hold')}
        field="weeks"
        type="number"
        min="0.1"
        max="40"
        step="any"
        hint={say('Empty: what is usual for the species.')}
        problem={problem}
        value={weeks === undefined ? '' : String(Math.round(weeks * 100) / 100)}
        onValue={(value) => {
          const typed = Number(value)
          const { weeks: _, ...others } = wish.value
          wish.value = value === '' || !(typed > 0) ? others : { ...others, weeks: Math.min(40, typed) }
        }}
      />
    </div>
  )
}

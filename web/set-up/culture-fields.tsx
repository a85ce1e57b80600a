import type { Problem } from '../../schemas/api.ts'
import type { Culture, LiveFood } from '../../schemas/culture.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { foodName, unitName } from '../words/culture-words.ts'
import { say } from '../../shared/words/say.ts'

/** What is typed of a live-food culture. */
export interface CultureTyped {
  readonly food: LiveFood | ''
  readonly unit: Culture['unit']
  readonly weeklyUse: string
  readonly orderWeeks: string
}

export const typedCulture = (culture: Culture | undefined): CultureTyped => ({
  food: culture?.food ?? '',
  unit: culture?.unit ?? 'pieces',
  weeklyUse: culture === undefined ? '' : String(culture.weeklyUse),
  orderWeeks: culture === undefined ? '1' : String(culture.orderWeeks),
})

/** Nothing where no food is chosen. */
export const cultureOf = ({ food, unit, weeklyUse, orderWeeks }: CultureTyped): { culture?: Culture } =>
  food === ''
    ? {}
    : {
        culture: {
          food,
          unit,
          weeklyUse: Number(weeklyUse),
          orderWeeks: orderWeeks.trim() === '' ? 1 : Number(orderWeeks),
        },
      }

/** What a culture holds, and what a week takes: from these follow the weeks of food left, and its limits. */
export function CultureFields({
  typed,
  problem,
  onTyped,
}: {
  typed: CultureTyped
  problem: Problem | null
  onTyped: (typed: CultureTyped) => void
}) {
  const set = (change: Partial<CultureTyped>): void => onTyped({ ...typed, ...change })
  return (
    <fieldset class="culture-fields">
      <legend>{say('Live food')}</legend>
      <ChoiceField
        label={say('What lives here')}
        field="culture.food"
        hint={say('Limits from published figures watch the place, at low and medium priority.')}
        problem={problem}
        value={typed.food}
        onValue={(value) => set({ food: value as LiveFood | '' })}
        choices={[{ value: '', label: say('not told') }, ...choicesOf(foodName)]}
      />
      {typed.food !== '' && (
        <>
          <ChoiceField
            label={say('Counted in')}
            field="culture.unit"
            problem={problem}
            value={typed.unit}
            onValue={(value) => set({ unit: value as Culture['unit'] })}
            choices={choicesOf(unitName)}
          />
          <TextField
            label={say('Used in a week, {part}', { part: unitName[typed.unit] })}
            field="culture.weeklyUse"
            type="number"
            min="0"
            max="1000000"
            step="any"
            required
            problem={problem}
            value={typed.weeklyUse}
            onValue={(value) => set({ weeklyUse: value })}
          />
          <TextField
            label={say('Weeks until an order is here')}
            field="culture.orderWeeks"
            type="number"
            min="0"
            max="12"
            step="any"
            problem={problem}
            value={typed.orderWeeks}
            onValue={(value) => set({ orderWeeks: value })}
          />
        </>
      )}
    </fieldset>
  )
}

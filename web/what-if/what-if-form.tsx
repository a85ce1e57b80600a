import { useSignal } from '@preact/signals'
import type { PlaceNow } from '../../schemas/api.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { WhatIfBasis } from '../../schemas/what-if.ts'
import { limitNames } from '../../shared/judging/limit-names.ts'
import { say } from '../../shared/words/say.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { limitName, quantityName } from '../words/names.ts'
import { unitTyped } from '../words/typed-figure.ts'
import type { Run } from './use-run.ts'
import { askOf, type Beginning, beginningsOf, isWider, type Wish, type WishRow, wishFrom } from './wish.ts'

const beginningName: Record<Beginning, string> = {
  plan: say('by the plan of then'),
  hold: say('in hold all through'),
  awake: say('awake all through'),
}

/** The limits to try, beginning with those of today. */
export function WhatIfForm({
  basis,
  inside,
  run,
}: {
  basis: WhatIfBasis
  /** What stands in the place. */
  inside: readonly PlaceNow[]
  run: Run
}) {
  const wish = useSignal<Wish>(wishFrom(basis, 'plan', 'temperature'))
  const { rows, beginning, quantity } = wish.value
  const put = (change: Partial<Wish>): void => void (wish.value = { ...wish.value, ...change })
  const putRow = (name: LimitName, change: Partial<WishRow>): void =>
    put({ rows: { ...rows, [name]: { ...rows[name], ...change } } })
  const now = run.now.value
  const isRunning = now?.state === 'running'
  return (
    <form
      class="what-if-form"
      aria-label={say('Limits to try')}
      onSubmit={(event) => {
        event.preventDefault()
        if (!isRunning)
          run.begin(
            askOf(
              basis,
              wish.value,
              inside.map(({ id }) => id),
            ),
          )
      }}
    >
      <div class="what-if-row">
        <TextField
          label={say('First day')}
          field="over"
          type="date"
          value={wish.value.firstDay}
          onValue={(firstDay) => put({ firstDay })}
        />
        <TextField
          label={say('Last day')}
          field="over"
          type="date"
          value={wish.value.lastDay}
          onValue={(lastDay) => put({ lastDay })}
        />
        <ChoiceField
          label={say('Quantity')}
          field="quantity"
          value={quantity}
          onValue={(value) =>
            (wish.value = {
              ...wishFrom(basis, beginning, value === 'humidity' ? 'humidity' : 'temperature'),
              ...daysOf(wish.value),
            })
          }
          choices={(['temperature', 'humidity'] as const).map((one) => ({
            value: one,
            label: quantityName[one],
          }))}
        />
        <ChoiceField
          label={say('Limits')}
          field="beginning"
          value={beginning}
          onValue={(value) =>
            (wish.value = { ...wishFrom(basis, value as Beginning, quantity), ...daysOf(wish.value) })
          }
          choices={beginningsOf(basis).map((one) => ({ value: one, label: beginningName[one] }))}
        />
      </div>
      <fieldset class="what-if-limits">
        <legend>
          {say('Limits, {unit}', { unit: quantity === 'temperature' ? unitTyped('temperature') : '%RH' })}
        </legend>
        <p class="hint">
          {beginning === 'plan'
            ? say('They begin with those of today. What you leave as it is follows the plan of that winter.')
            : say('These hold for the whole stretch, whatever the plan was.')}
        </p>
        {limitNames.map((name) => (
          <div class="what-if-limit" role="group" aria-label={limitName[name]} key={name}>
            <span class="what-if-name" aria-hidden="true">
              {limitName[name]}
            </span>
            <TextField
              label={say('Value')}
              field={`limits.${name}`}
              type="number"
              step="any"
              measures={quantity === 'temperature' ? 'temperature' : 'plain'}
              placeholder={say('none')}
              value={rows[name].value}
              onValue={(value) => putRow(name, { value })}
            />
            <TextField
              label={say('for, minutes')}
              field={`for.${name}`}
              type="number"
              min="0"
              step="any"
              value={rows[name].minutes}
              onValue={(minutes) => putRow(name, { minutes })}
            />
          </div>
        ))}
      </fieldset>
      {inside.length > 0 && (
        <label class="check">
          <input
            type="checkbox"
            checked={wish.value.isInside}
            onChange={(event) => put({ isInside: event.currentTarget.checked })}
          />
          {say('The same in what stands inside: {names}', {
            names: inside.map(({ name }) => name).join(', '),
          })}
        </label>
      )}
      <details class="what-if-more">
        <summary>{say('Deadband, return, silence')}</summary>
        <div class="what-if-row">
          <TextField
            label={say('Deadband, {unit}', {
              unit: quantity === 'temperature' ? unitTyped('difference') : '%RH',
            })}
            field="deadband"
            type="number"
            measures={quantity === 'temperature' ? 'difference' : 'plain'}
            min="0"
            step="any"
            value={wish.value.deadband}
            onValue={(deadband) => put({ deadband })}
          />
          <TextField
            label={say('Back for, minutes')}
            field="clearFor"
            type="number"
            min="0"
            step="any"
            value={wish.value.clearMinutes}
            onValue={(clearMinutes) => put({ clearMinutes })}
          />
          <TextField
            label={say('Silent after, minutes')}
            field="silentAfter"
            type="number"
            min="0.1"
            step="any"
            value={wish.value.silentMinutes}
            onValue={(silentMinutes) => put({ silentMinutes })}
          />
        </div>
        <label class="check">
          <input
            type="checkbox"
            checked={wish.value.isGuarded}
            onChange={(event) => put({ isGuarded: event.currentTarget.checked })}
          />
          {say('Ring earlier near freezing, by the doubt of the sensor')}
        </label>
      </details>
      {isWider(basis, wish.value) && (
        <p class="what-if-warning" role="note">
          {say(
            'These limits are wider or slower than those of today. They ring less, and later: that is a risk to the animals. Ask a reptile vet before you keep them.',
          )}
        </p>
      )}
      <ProblemNote problem={run.problem.value} />
      <div class="what-if-acts">
        <button type="submit" class="strong" disabled={isRunning}>
          {say('Try these limits')}
        </button>
        {isRunning ? (
          <button type="button" onClick={() => run.cancel()}>
            {say('Cancel')}
          </button>
        ) : (
          <button
            type="button"
            class="quiet"
            onClick={() => (wish.value = wishFrom(basis, beginning, quantity))}
          >
            {say('As they are today')}
          </button>
        )}
      </div>
      <Progress run={run} />
    </form>
  )
}

const daysOf = ({ firstDay, lastDay }: Wish) => ({ firstDay, lastDay })

function Progress({ run }: { run: Run }) {
  const now = run.now.value
  return (
    <div class="what-if-progress" role="status">
      {now?.state === 'running' && (
        <>
          <progress max={1} value={now.done} aria-label={say('Judged so far')} />
          <span class="soft">
            {say('Judging again: {percent} %.', { percent: Math.floor(now.done * 100) })}
          </span>
        </>
      )}
      {now?.state === 'done' && (
        <span class="soft">{say('Judged again; what came of it stands below.')}</span>
      )}
      {now?.state === 'cancelled' && <span class="soft">{say('Cancelled.')}</span>}
      {now?.state === 'failed' && <span>{now.sentence}</span>}
    </div>
  )
}

import { useSignal } from '@preact/signals'
import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import type { Household } from '../../schemas/household.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { SensorCheck } from '../../schemas/sensor-check.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  type BathQuality,
  longestPreparing,
  longestSettling,
  settlingIntervals,
} from '../../shared/sensing/ice-point.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { awayWords } from '../words/check-words.ts'
import { held } from '../words/held.ts'
import { takeAway } from './acts.ts'
import type { Notes } from './notes.ts'
import { StepList } from './step-list.tsx'
import { quantitiesOf, stepsBefore, type Way, wayHint, wayName, waysFor } from './ways.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** The longest that the daemon takes, in minutes. */
const mostMinutes = 240
/** To dry it and put it back, beside the bath. */
const spareMinutes = 15

const quantityChoices: Readonly<Record<CalibratedQuantity, string>> = {
  temperature: say('Temperature'),
  humidity: say('Humidity'),
}

/** How it is to be checked, what that needs, and what is not watched meanwhile. */
export function ChooseWay({
  sensor,
  household,
  running,
  onBegin,
}: {
  sensor: Sensor
  household: Household
  /** A check that was begun elsewhere, or in a tab that is closed. */
  running: SensorCheck | null
  onBegin: (notes: Notes) => void
}) {
  const page = usePage()
  const act = useAct()
  const ways = waysFor(sensor)
  const quantities = quantitiesOf(sensor.type)
  const way = useSignal<Way>(ways[0] ?? 'certificate')
  const bath = useSignal<BathQuality>('kitchen')
  const quantity = useSignal<CalibratedQuantity>('temperature')
  const stays = useSignal(false)
  const chosen = way.value
  const isIce = chosen === 'ice' || chosen === 'bag'
  const isAway = chosen !== 'certificate' && !(chosen === 'reference' && stays.value)
  const away = awayWords(household, sensor)
  const begin = (): void => {
    const notes = (since: number): Notes => ({
      way: chosen,
      bath: bath.value,
      quantity: isIce ? 'temperature' : quantity.value,
      isAway,
      since: since as Instant,
      immersedAt: null,
      points: [],
      ended: null,
    })
    if (!isAway || running !== null) return onBegin(notes(page.now.peek()))
    void act.run(
      () => takeAway(page, sensor, minutesFor(sensor)),
      (saved) => onBegin(notes(saved.check?.since ?? page.now.peek())),
    )
  }
  return (
    <form
      class="choose-way"
      aria-label={say('Check {sensor}', { sensor: sensor.name })}
      onSubmit={(event) => {
        event.preventDefault()
        begin()
      }}
    >
      <fieldset class="check-ways">
        <legend>{say('How?')}</legend>
        {ways.map((one) => (
          <label key={one} class="check-way">
            <input
              type="radio"
              name="way"
              value={one}
              checked={chosen === one}
              onChange={() => (way.value = one)}
            />
            <span>
              {wayName[one]}
              <span class="hint">{wayHint[one]}</span>
            </span>
          </label>
        ))}
      </fieldset>
      {chosen === 'ice' && sensor.type === 'other' && (
        <p class="hint">{say('Its type is not known: be sure that it is waterproof, cable and all.')}</p>
      )}
      {isIce && (
        <ChoiceField
          label={say('The ice is')}
          field="bath"
          value={bath.value}
          onValue={(value) => (bath.value = value === 'careful' ? 'careful' : 'kitchen')}
          choices={[
            { value: 'kitchen', label: held(say('from tap water, in a mug: 0 °C within ±0.1 K')) },
            {
              value: 'careful',
              label: say('crushed distilled ice in a vacuum flask, with great care: ±0.01'),
            },
          ]}
        />
      )}
      {!isIce && quantities.length > 1 && (
        <ChoiceField
          label={say('What is checked')}
          field="quantity"
          value={quantity.value}
          onValue={(value) => (quantity.value = value === 'humidity' ? 'humidity' : 'temperature')}
          choices={quantities.map((one) => ({ value: one, label: quantityChoices[one] }))}
        />
      )}
      {chosen === 'reference' && (
        <label class="check">
          {sayWith('{input}It stays in its place: the checked one is laid beside it', {
            input: (
              <input
                type="checkbox"
                checked={stays.value}
                onChange={(event) => (stays.value = event.currentTarget.checked)}
              />
            ),
          })}
        </label>
      )}
      <StepList steps={stepsBefore(chosen)} />
      {isAway && running === null && <p class={away.isWatched ? '' : 'check-unwatched'}>{away.sentence}</p>}
      <div class="form-acts">
        <button type="submit" class="strong" disabled={act.isBusy.value}>
          {chosen === 'certificate'
            ? say('Enter it')
            : running !== null
              ? say('Go on with the check')
              : isAway
                ? say('Begin: I take it away')
                : say('Begin')}
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
    </form>
  )
}

/** A bath and its settling; a slow sensor takes longer. */
const minutesFor = ({ expectedEvery }: Sensor): number =>
  Math.min(
    mostMinutes,
    Math.ceil(
      (longestPreparing + Math.max(longestSettling, settlingIntervals * expectedEvery)) / minutes(1),
    ) + spareMinutes,
  )

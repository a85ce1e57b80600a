import { useSignal } from '@preact/signals'
import type { CalibratedQuantity, Reference } from '../../schemas/calibration.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { referenceOf, shownBy } from '../../shared/sensing/comparison.ts'
import { bathHalfWidth } from '../../shared/sensing/ice-point.ts'
import { readingsForSteady } from '../../shared/sensing/ice-point-readings.ts'
import { coverageFactor } from '../../shared/sensing/coverage.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { held } from '../words/held.ts'
import { unitTyped } from '../words/typed-figure.ts'
import { QuietLine } from './quiet-line.tsx'
import { Stage } from './stage.tsx'
import { Trace } from './trace.tsx'
import { useRaw } from './use-raw.ts'
import { say } from '../../shared/words/say.ts'

const inIce = { value: 0, expanded: (coverageFactor * bathHalfWidth.kitchen) / Math.sqrt(3) } as const

/** One point: what it shows comes by itself, what is true is typed, or known of ice. */
export function PointForm({
  title,
  sensor,
  quantity,
  since,
  zone,
  mayBeIce,
  onPoint,
  onGiveUp,
}: {
  title: string
  sensor: Sensor
  quantity: CalibratedQuantity
  since: number
  zone: string
  mayBeIce: boolean
  /** With when the last reading was taken that went into it. */
  onPoint: (reference: Reference, newest: number) => void
  onGiveUp: () => void
}) {
  const page = usePage()
  const { tell } = page
  const truth = useSignal('')
  const doubt = useSignal('')
  const beside = useSignal<'ice' | 'reference'>(mayBeIce ? 'ice' : 'reference')
  const raw = useRaw(sensor.id, quantity, since)
  const readings = raw.readings.value
  const shown = shownBy(readings, quantity, sensor.type)
  const isIce = beside.value === 'ice'
  const unit = quantity === 'temperature' ? unitTyped('temperature') : '%RH'
  const apart = quantity === 'temperature' ? unitTyped('difference') : '%RH'
  const onTake = (): void => {
    if (shown?.isSteady !== true) return
    const known = isIce ? inIce : { value: Number(truth.value), expanded: Number(doubt.value) }
    onPoint(referenceOf(shown, known, quantity, sensor.type), readings.at(-1)?.at ?? since)
  }
  return (
    <Stage title={title}>
      {shown !== null && <p class="reading-now">{tell.shown(shown.mean, quantity)}</p>}
      <p role="status">
        {shown === null
          ? say('Waiting for the first reading.')
          : shown.isSteady
            ? say('Steady: it can be compared.')
            : shown.readings < readingsForSteady
              ? say('Readings come in.')
              : say('Not steady yet.')}
      </p>
      {shown !== null && (
        <p class="soft">
          {say(
            'The mean of the last {part}, which lie within {apart}. Five are needed, half a minute apart.',
            {
              part:
                shown.readings === 1
                  ? say('reading')
                  : say('{readings} readings', { readings: shown.readings }),
              apart: tell.apart(shown.spread, quantity),
            },
          )}
        </p>
      )}
      <QuietLine sensor={sensor} since={readings.at(-1)?.at ?? since} />
      <Trace readings={readings} quantity={quantity} zone={zone} />
      <form
        class="thing-form"
        aria-label={title}
        onSubmit={(event) => {
          event.preventDefault()
          onTake()
        }}
      >
        {mayBeIce && (
          <ChoiceField
            label={say('It lies in')}
            field="beside"
            value={beside.value}
            onValue={(value) => (beside.value = value === 'ice' ? 'ice' : 'reference')}
            choices={[
              { value: 'ice', label: held(say('melting ice: 0 °C')) },
              { value: 'reference', label: say('something else, beside a checked thermometer') },
            ]}
          />
        )}
        {!isIce && (
          <div class="field-pair">
            <TextField
              label={say('The checked one shows, {unit}', { unit })}
              field="true"
              type="number"
              step="any"
              measures={quantity === 'temperature' ? 'temperature' : 'plain'}
              required
              value={truth.value}
              onValue={(value) => (truth.value = value)}
            />
            <TextField
              label={say('It is right within, ± {apart}', { apart })}
              field="expanded"
              type="number"
              step="any"
              measures={quantity === 'temperature' ? 'difference' : 'plain'}
              min="0"
              max="20"
              required
              hint={say('As on its certificate (k = 2).')}
              value={doubt.value}
              onValue={(value) => (doubt.value = value)}
            />
          </div>
        )}
        <ProblemNote problem={raw.problem.value} />
        <div class="form-acts">
          <button type="submit" class="strong" disabled={shown?.isSteady !== true}>
            {say('Take this point')}
          </button>
          <button type="button" class="quiet" onClick={onGiveUp}>
            {say('Give up')}
          </button>
        </div>
      </form>
    </Stage>
  )
}

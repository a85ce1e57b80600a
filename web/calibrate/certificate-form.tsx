import { useSignal } from '@preact/signals'
import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { coverageFactor } from '../../shared/sensing/coverage.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { unitTyped } from '../words/typed-figure.ts'
import { saveCorrection } from './acts.ts'
import { say } from '../../shared/words/say.ts'

/** What somebody else has found. */
export function CertificateForm({
  sensor,
  quantity,
  onOver,
}: {
  sensor: Sensor
  quantity: CalibratedQuantity
  onOver: (sentence: string | null) => void
}) {
  const page = usePage()
  const act = useAct()
  const offset = useSignal('')
  const doubt = useSignal('')
  const note = useSignal('')
  const unit = quantity === 'temperature' ? unitTyped('difference') : '%RH'
  const measures = quantity === 'temperature' ? 'difference' : 'plain'
  const problem = act.problem.value
  return (
    <ThingForm
      label={say('Enter a certificate')}
      act={act}
      fields={['offset', 'uncertainty', 'note']}
      saveWords={say('Enter it')}
      onCancel={() => onOver(null)}
      onSave={() =>
        void act.run(
          () =>
            saveCorrection(page, sensor, {
              method: 'entered',
              quantity,
              references: [],
              offset: Number(offset.value),
              uncertainty: Number(doubt.value) / coverageFactor,
              ...(note.value.trim() === '' ? {} : { note: note.value.trim() }),
            }),
          () => onOver(say('The correction is entered: it counts from now on.')),
        )
      }
    >
      <div class="field-pair">
        <TextField
          label={say('Correction, {unit}', { unit })}
          field="offset"
          type="number"
          step="any"
          measures={measures}
          required
          hint={say('What is added to a reading: −0.3 where it reads 0.3 too much.')}
          problem={problem}
          value={offset.value}
          onValue={(value) => (offset.value = value)}
        />
        <TextField
          label={say('Its uncertainty, ± {unit}', { unit })}
          field="uncertainty"
          type="number"
          step="any"
          measures={measures}
          min="0"
          max="20"
          required
          hint={say('The expanded one, with k = 2.')}
          problem={problem}
          value={doubt.value}
          onValue={(value) => (doubt.value = value)}
        />
      </div>
      <TextField
        label={say('Note')}
        field="note"
        maxLength={300}
        hint={say('Its number, its date, and who made it.')}
        problem={problem}
        value={note.value}
        onValue={(value) => (note.value = value)}
      />
    </ThingForm>
  )
}

import { useSignal, type Signal } from '@preact/signals'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Sensor, SensorType } from '../../schemas/sensor.ts'
import type { Millis } from '../../schemas/units.ts'
import { dataSheets } from '../../shared/sensing/data-sheet.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { sensorTypeName, spotName } from '../words/names.ts'
import { unitTyped } from '../words/typed-figure.ts'
import { DecoderField } from './decoder-field.tsx'
import { freeId } from './free-id.ts'
import { save } from './save.ts'
import { ThingForm } from './thing-form.tsx'
import { inReadersUnits } from '../../shared/words/in-readers-units.ts'
import { say } from '../../shared/words/say.ts'

const fields = [
  'name',
  'place',
  'spot',
  'type',
  'topic',
  'channel',
  'decoder',
  'expectedEvery',
  'silentAfter',
  'lowVoltage',
  'accuracy',
  'placement',
  'id',
]

/** Changes a sensor, or claims one when it is new. */
export function SensorForm({
  sensor,
  isNew,
  household,
  onDone,
}: {
  sensor: Sensor
  isNew: boolean
  household: Household
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const draft = useSignal(sensor)
  const everySeconds = useSignal(String(sensor.expectedEvery / 1000))
  const numbers = {
    lowVoltage: useTyped(sensor.lowVoltage),
    accuracy: useTyped(sensor.accuracy),
    placement: useTyped(sensor.placement),
  }
  const { lowVoltage, accuracy, placement } = numbers
  const sheet = dataSheets.temperature[draft.value.type]
  const problem = act.problem.value
  const set = (change: Partial<Sensor>): void => {
    draft.value = { ...draft.value, ...change }
  }
  const onSave = (): void => {
    const id = isNew ? (freeId(draft.value.name, household.sensors) as SensorId) : sensor.id
    const expectedEvery = Math.round(Number(everySeconds.value) * 1000) as Millis
    const { lowVoltage: _volts, accuracy: _accuracy, placement: _placement, ...most } = draft.value
    // What was found of it since this form was opened stays: the daemon keeps checks and corrections of its own
    const { check: _check, ...kept } = most
    const rest = { ...kept, calibrations: [] }
    const given = Object.entries(numbers).filter(([, typed]) => typed.value.trim() !== '')
    const known = Object.fromEntries(given.map(([name, typed]) => [name, Number(typed.value)]))
    void act.run(() => save(page, 'sensors', { ...rest, ...known, id, expectedEvery }), onDone)
  }
  return (
    <ThingForm
      label={
        isNew
          ? say('Claim {topic}', { topic: sensor.topic })
          : say('Change {sensor}', { sensor: sensor.name })
      }
      act={act}
      fields={fields}
      saveWords={isNew ? say('Claim it') : say('Save')}
      onCancel={onDone}
      onSave={onSave}
    >
      <TextField
        label={say('Name')}
        field="name"
        required
        maxLength={60}
        problem={problem}
        value={draft.value.name}
        onValue={(name) => set({ name })}
      />
      <ChoiceField
        label={say('Place')}
        field="place"
        problem={problem}
        value={draft.value.place ?? ''}
        onValue={(value) => set({ place: value === '' ? null : (value as PlaceId) })}
        choices={[
          {
            value: '',
            label: household.places.length === 0 ? say('none yet: make one under Places') : say('none'),
          },
          ...household.places.map((place) => ({ value: place.id, label: place.name })),
        ]}
      />
      <div class="field-pair">
        <ChoiceField
          label={say('It touches')}
          field="spot"
          problem={problem}
          value={draft.value.spot}
          onValue={(value) => set({ spot: value as Sensor['spot'] })}
          choices={choicesOf(spotName)}
        />
        <ChoiceField
          label={say('Type')}
          field="type"
          problem={problem}
          value={draft.value.type}
          onValue={(value) => set({ type: value as SensorType })}
          choices={choicesOf(sensorTypeName)}
        />
      </div>
      <TextField
        label={say('A reading is expected every, seconds')}
        field="expectedEvery"
        type="number"
        min="1"
        required
        problem={problem}
        value={everySeconds.value}
        onValue={(value) => (everySeconds.value = value)}
      />
      <details class="more">
        <summary>{say('Topic, decoder and battery')}</summary>
        <TextField
          label={say('Topic')}
          field="topic"
          required
          maxLength={200}
          problem={problem}
          value={draft.value.topic}
          onValue={(topic) => set({ topic })}
        />
        <TextField
          label={say('Channel')}
          field="channel"
          hint={say('Which of several in one message; empty takes the only one.')}
          maxLength={120}
          problem={problem}
          value={draft.value.channel}
          onValue={(channel) => set({ channel })}
        />
        <DecoderField
          decoder={draft.value.decoder}
          problem={problem}
          onDecoder={(decoder) => set({ decoder })}
        />
        <TextField
          label={say('Its battery is nearly empty at, volts')}
          field="lowVoltage"
          type="number"
          min="0.1"
          step="any"
          hint={say('Only for a sensor that tells volts and no percent; empty asks nothing.')}
          problem={problem}
          value={lowVoltage.value}
          onValue={(value) => (lowVoltage.value = value)}
        />
      </details>
      <details class="more">
        <summary>{say('More about its accuracy')}</summary>
        <TextField
          label={say('A temperature may be off by, ± {unit}', { unit: unitTyped('difference') })}
          field="accuracy"
          type="number"
          min="0.01"
          max="20"
          step="any"
          measures="difference"
          hint={say('As on its data sheet. Empty takes what is usual for its type: ±{usual} ({source}).', {
            usual: inReadersUnits(`${page.tell.count(sheet.halfWidth)} K`),
            source: sheet.source,
          })}
          problem={problem}
          value={accuracy.value}
          onValue={(value) => (accuracy.value = value)}
        />
        <TextField
          label={say('The animal’s own spot may differ by, ± {unit}', { unit: unitTyped('difference') })}
          field="placement"
          type="number"
          min="0"
          max="20"
          step="any"
          measures="difference"
          hint={say('Compare with a second thermometer beside the animal. Empty counts nothing.')}
          problem={problem}
          value={placement.value}
          onValue={(value) => (placement.value = value)}
        />
      </details>
    </ThingForm>
  )
}

/** A number as it is typed; empty where it is not known. */
const useTyped = (value: number | undefined): Signal<string> =>
  useSignal(value === undefined ? '' : String(value))

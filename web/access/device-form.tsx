import { useSignal } from '@preact/signals'
import type { Device, DeviceNow, MadeDevice } from '../../schemas/access.ts'
import type { Problem } from '../../schemas/api.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { TopicsField } from './topics-field.tsx'
import { say } from '../../shared/words/say.ts'

const kindHint: Record<Device['kind'], string> = {
  sensor: say('It publishes its readings and reads nothing.'),
  signal: say('It reads which alarms stand and whether Brumal runs, and publishes nothing.'),
}

/** A login for a new device, or a new password for one that is there; its topics may change along with it. */
export function DeviceForm({
  device,
  taken,
  onMade,
  onCancel,
}: {
  device: DeviceNow | null
  taken: readonly DeviceNow[]
  onMade: (made: MadeDevice) => void
  onCancel: () => void
}) {
  const { ask } = usePage()
  const act = useAct()
  const clash = useSignal<Problem | null>(null)
  const name = useSignal(device?.name ?? '')
  const kind = useSignal<Device['kind']>(device?.kind ?? 'sensor')
  const topics = useSignal<readonly string[]>(device?.topics ?? [])
  const problem = clash.value ?? act.problem.value
  const save = (): void => {
    const wanted = name.value.trim()
    // Saved under its name it would take the other's password away
    clash.value = taken.some((other) => other.name === wanted) ? nameTaken : null
    if (clash.value !== null) return
    const made: Device = {
      name: wanted,
      kind: kind.value,
      topics: kind.value === 'sensor' ? topics.value.filter((topic) => topic.trim() !== '') : [],
    }
    void act.run(() => ask<MadeDevice>('PUT', pathTo('devices', wanted), made), onMade)
  }
  return (
    <ThingForm
      label={
        device === null
          ? say('Give a device its own login')
          : say('New password for {device}', { device: device.name })
      }
      act={act}
      fields={['name', 'kind', 'topics']}
      saveWords={device === null ? say('Make the login') : say('Make a new password')}
      onCancel={onCancel}
      onSave={save}
    >
      {device === null ? (
        <>
          <TextField
            label={say('Device name')}
            field="name"
            hint={say('Letters, digits, . _ and -. Its user name, and the end of its own topic.')}
            autoComplete="off"
            required
            maxLength={39}
            problem={problem}
            value={name.value}
            onValue={(value) => {
              name.value = value
              clash.value = null
            }}
          />
          <ChoiceField
            label={say('It is')}
            field="kind"
            hint={kindHint[kind.value]}
            problem={problem}
            value={kind.value}
            onValue={(value) => (kind.value = value as Device['kind'])}
            choices={[
              { value: 'sensor', label: say('a sensor') },
              { value: 'signal', label: say('a lamp or siren') },
            ]}
          />
        </>
      ) : (
        <p>
          {say('The old password ends at once: {device} is silent until it has the new one.', {
            device: device.name,
          })}
        </p>
      )}
      {kind.value === 'sensor' && (
        <TopicsField
          own={`brumal/in/${name.value.trim() === '' ? '…' : name.value.trim()}`}
          topics={topics.value}
          problem={problem}
          onTopics={(changed) => (topics.value = changed)}
        />
      )}
    </ThingForm>
  )
}

const nameTaken: Problem = {
  type: 'about:blank',
  title: say('There is a device of this name.'),
  status: 409,
  code: 'nameTaken',
  errors: [
    { path: 'name', message: say('a device of this name is there; give it a new password in its own line') },
  ],
}

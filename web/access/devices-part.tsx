import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { DevicesNow, MadeDevice } from '../../schemas/access.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { ShownOnce } from '../parts/shown-once.tsx'
import { DeviceForm } from './device-form.tsx'
import { DeviceLine } from './device-line.tsx'
import { focusPart, Part } from './part.tsx'
import { SharedLoginSwitch } from './shared-login-switch.tsx'
import { useDoors } from './use-doors.ts'
import { say } from '../../shared/words/say.ts'

/** How often the list is asked for anew, in ms: whoever sets up a device waits for it to be heard. */
const lookEveryMs = 15_000

/** Logins at the broker inside, one for each device (X2). */
export function DevicesPart() {
  const doors = useDoors<DevicesNow>('/api/devices')
  const isMaking = useSignal(false)
  const made = useSignal<MadeDevice | null>(null)
  const said = useSignal('')
  useEffect(() => {
    const timer = setInterval(doors.again, lookEveryMs)
    return () => clearInterval(timer)
  }, [])
  const now = doors.value.value
  if (now === null) return <ProblemNote problem={doors.problem.value} />
  if (!now.isOurs)
    return (
      <Part id="devices" title={say('Devices')}>
        <p>
          {say(
            'This house has a broker of its own: logins for devices are made there. Brumal reads what comes in by it.',
          )}
        </p>
      </Part>
    )

  const done = (sentence: string): void => {
    said.value = sentence
    focusPart('devices')
    doors.again()
  }
  const onMade = (device: MadeDevice): void => {
    isMaking.value = false
    made.value = device
    doors.again()
  }
  return (
    <Part id="devices" title={say('Devices')} said={said}>
      <p class="hint">
        {say(
          'With a login of its own a device speaks for itself alone, and ends without the others noticing.',
        )}
      </p>
      <ul class="things">
        {now.devices.map((device) => (
          <li key={device.name}>
            <DeviceLine device={device} onMade={onMade} onDone={done} />
          </li>
        ))}
      </ul>
      {made.value !== null && (
        <ShownOnce
          key={made.value.password}
          title={say('The login of {device}', { device: made.value.device.name })}
          words={say(
            'Put it into the device now: the password is shown only here, and Brumal keeps no copy of it.',
          )}
          lines={[{ title: say('Password'), text: made.value.password }, ...made.value.snippets]}
          onDone={() => {
            made.value = null
            focusPart('devices')
          }}
        />
      )}
      <button type="button" aria-expanded={isMaking.value} onClick={() => (isMaking.value = !isMaking.value)}>
        {say('Give a device its own login')}
      </button>
      {isMaking.value && (
        <DeviceForm
          device={null}
          taken={now.devices}
          onCancel={() => (isMaking.value = false)}
          onMade={onMade}
        />
      )}
      <SharedLoginSwitch isOpen={now.sharedLogin} onDone={done} />
    </Part>
  )
}

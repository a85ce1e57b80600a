import type { Settings } from '../../schemas/settings.ts'
import type { House } from '../app/house.ts'
import { sensorUser } from '../mqtt/sensor-login.ts'
import type { Broker } from '../ports/broker.ts'
import type { Log } from '../ports/log.ts'
import { startPractice } from '../practice/practice.ts'
import type { PracticeClock } from '../practice/practice-clock.ts'

/** Starts the invented sensors once the broker is up: fourteen nights in a few seconds, then live. */
export function beginPractice(
  settings: Settings,
  broker: Broker & { port?(): number | null },
  password: string,
  clock: PracticeClock,
  house: House,
  log: Log,
) {
  let isLive = false
  let devices: ReturnType<typeof startPractice> | null = null
  let isStopped = false
  let fill: () => void = () => {}
  const filled = new Promise<void>((resolve) => {
    fill = resolve
  })
  const begin = () => {
    if (devices !== null || isStopped || broker.state().name !== 'up') return
    const { host, port } = settings.mqtt
    devices = startPractice({
      brokerUrl: `mqtt://${host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host}:${broker.port?.() ?? port}`,
      user: sensorUser,
      password,
      clock,
      log,
      timeZone: house.state().layout.household.timeZone,
      onStep(at) {
        house.take({ kind: 'timePassed', at }, 'group')
        house.fold()
      },
    })
    devices.ready
      .catch((error: Error) => {
        log.error({ err: error }, 'The practice household could not begin; leave practice and try again.')
        clock.live()
      })
      .finally(() => {
        isLive = true
        fill()
        house.publish({ kind: 'tonight' })
      })
  }
  broker.onState(begin)
  begin()
  return {
    isLive: () => isLive,
    /** Resolves once the past is there: what somebody changes before would fall into the middle of it. */
    filled,
    async stop() {
      isStopped = true
      await devices?.stop()
    },
  }
}

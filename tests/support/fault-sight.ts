import type { SensorId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { FaultDaemon } from './fault-daemon.ts'
import { relay, start } from './fault-house.ts'

/** Every reading that the store holds. */
export function storedIn({ raw }: FaultDaemon) {
  return (['one', 'two'] as const).flatMap((sensor) =>
    raw.store
      .readings(sensor as SensorId, 'temperature', 0 as Instant, (start + 86_400_000) as Instant)
      .map(({ at, value }) => ({ sensor, at: at, value })),
  )
}

/** What people set up: where they were not shown an error, it is kept. */
export const keptIn = ({ raw }: FaultDaemon) => ({
  household: raw.store.household(),
  secret: raw.outbox.channelSecret(relay),
  hasRung: raw.outbox.rungAt(relay) !== null,
  devices: raw.devices.devices().map(({ name }) => name),
  sharedLogin: raw.devices.isSharedLoginOpen(),
})

/** How things stand at the end. */
export function viewOf({ house }: FaultDaemon) {
  const state = house.state()
  return {
    household: state.layout.household,
    limits: [...state.alarms.values()]
      .filter(({ kind }) => kind === 'limit')
      .map(({ id, occurrence, state: { name } }) => `${id} ${occurrence} ${name}`),
    values: state.sensors.map(({ series }) => series.temperature?.good?.value),
  }
}

/** Alarms whose cause still holds. */
export const standingIn = ({ house }: FaultDaemon) =>
  [...house.state().alarms.values()].flatMap(({ id, state }) =>
    state.name === 'unacknowledged' || state.name === 'acknowledged' ? [id] : [],
  )

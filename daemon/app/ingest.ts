import type { ValueNow } from '../../schemas/api.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import { millis } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { valuesOf } from '../../shared/judging/place-now.ts'
import type { Settle } from '../ports/broker.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Arrival, Intake } from '../ports/intake.ts'
import type { House } from './house.ts'
import type { Patience } from './ledger.ts'
import type { Sources } from './sources.ts'

/** New values are gathered this long before the screens are told, so that a flood of readings is not a flood of events. */
const tellEvery: Millis = millis(100)

/** From a decoded message to judged readings in the batch. */
export function makeIntake(world: {
  readonly house: House
  readonly sources: Sources
  readonly clock: Clock
  readonly timer: Timer
  /** A reading came with its own time (N3). Called before it is judged. */
  readonly onStamp?: (at: Instant) => void
}): Intake {
  const { house, sources, clock, timer } = world
  const changed = new Set<string>()

  function tellValues(): void {
    const state = house.state()
    const at = clock.now()
    for (const id of changed) {
      const s = state.layout.sensors.findIndex((sensor) => sensor.id === id)
      const place: PlaceId | null = state.sensors[s]?.place ?? null
      for (const value of valuesOf(state, s, at))
        house.publish({ kind: 'value', place, value: value satisfies ValueNow })
    }
    changed.clear()
  }

  return (arrival, settle) => {
    if (world.onStamp !== undefined && !arrival.retained)
      for (const { at } of arrival.heard) if (at !== null) world.onStamp(at)
    const now = clock.now()
    const isNew = sources.hear(arrival, now)
    if (isNew && house.isHeard()) house.publish({ kind: 'source', topic: arrival.topic })

    const patience = patienceWith(arrival)
    const live = arrival.heard.filter((heard) => !(arrival.retained && heard.at === null))
    for (const heard of arrival.heard) {
      if (arrival.retained && heard.at === null) house.take({ kind: 'lastKnown', ...heard }, patience)
    }
    // Of QoS 0 nobody is told, and a broker's chatter must not fill up what may wait (X3).
    if (patience === 'group') settle(null)
    if (live.length === 0) {
      if (patience !== 'group') house.pass(patience, settle)
      return
    }
    live.forEach((heard, i) => {
      const { sensor, quantity, value } = heard
      const reading = { sensor, quantity, value, at: heard.at ?? now }
      const last: Settle | undefined = patience !== 'group' && i === live.length - 1 ? settle : undefined
      house.take({ kind: 'reading', reading, heardAt: now }, patience, last)
      if (!house.isHeard()) return
      if (changed.size === 0) timer.after(tellEvery, tellValues)
      changed.add(sensor)
    })
  }
}

/** Nobody waits for the answer to QoS 0; to others the sensor itself does, or the broker outside that has it for us. */
function patienceWith({ qos, client }: Arrival): Patience {
  if (qos === 0) return 'group'
  return client === undefined ? 'brokerWaits' : { client }
}

import type { Limit } from '../../schemas/band.ts'
import { hours, millis } from '../../schemas/amounts.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { startInside, stepLimit } from './limit.ts'
import { type Draft, turnAlarm } from './raising.ts'

/**
 * A battery that says so little is changed within days. Common practice, no source; cold makes a cell look emptier than
 * it is, so that it must say so for an hour, and 10 points more end it.
 */
const nearlyEmptyPercent = 15
const percentBack = 10
/** A cell recovers by about this much when it is warm again. Common practice, no source. */
const voltsBack = 0.1

/** Judges a believed word of a sensor about its battery. Volts count only where the sensor has a figure of its own. */
export function judgeBattery(draft: Draft, s: number, quantity: Quantity, at: Instant, value: number): void {
  const sensor = draft.state.sensors[s]
  const spec = draft.state.layout.sensors[s]
  if (sensor === undefined || spec === undefined) return
  if (quantity === 'voltage' && (spec.lowVoltage === undefined || sensor.series.battery !== undefined)) return
  const limit =
    quantity === 'battery'
      ? atOrBelow(nearlyEmptyPercent, percentBack)
      : atOrBelow(spec.lowVoltage ?? 0, voltsBack)
  const before = sensor.battery ?? startInside
  const [after, transitions] = stepLimit(before, limit, { kind: 'reading', at, value })
  if (after === before) return
  draft.state = { ...draft.state, sensors: draft.state.sensors.with(s, { ...sensor, battery: after }) }
  for (const { event, at: when, value: shown } of transitions)
    turnAlarm(
      draft,
      { kind: 'batteryLow', place: sensor.place, sensor: sensor.id, quantity, limit: null, priority: 'low' },
      event === 'raised'
        ? { kind: 'wentOut', at: when, value: shown, threshold: limit.value, priority: 'low' }
        : { kind: 'cameBack', at: when, value: shown },
    )
}

const atOrBelow = (value: number, deadband: number): Limit => ({
  id: 'battery',
  quantity: 'battery',
  compare: 'atOrBelow',
  value,
  deadband,
  for: hours(1),
  clearFor: millis(0),
  counting: 'continuous',
  priority: 'low',
})

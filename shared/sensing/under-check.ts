import { later } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { SensorCheck } from '../../schemas/sensor-check.ts'
import type { Instant } from '../../schemas/units.ts'
import type { QualityState } from './quality.ts'

/** Whether a check is running at `at`: from its beginning, included, to its end, excluded. It ends by itself. */
export const checkHolds = (check: SensorCheck | undefined, at: Instant): check is SensorCheck =>
  check !== undefined && check.since <= at && at < check.until

/** Whether a reading was taken while its sensor lay elsewhere, and so says nothing about its place. */
export const saysNothing = (
  sensor: { readonly check?: SensorCheck | undefined },
  { quantity, at }: { readonly quantity: Quantity; readonly at: Instant },
): boolean => isAboutPlace(quantity) && checkHolds(sensor.check, at)

/** Its battery is a sensor's own, wherever it lies. */
export function isAboutPlace(quantity: Quantity): boolean {
  switch (quantity) {
    case 'battery':
    case 'voltage':
      return false
    case 'temperature':
    case 'humidity':
    case 'door':
    case 'power':
      return true
    default:
      return quantity satisfies never
  }
}

/**
 * The household once the clock was set from `was` to `at`: checks keep their age and last as long as was said (N3). One that is
 * over by both clocks stays where its readings are; where none moves, it is the same household.
 */
export function withChecksMoved(household: Household, was: Instant, at: Instant): Household {
  const by = at - was
  const isOver = ({ until }: SensorCheck): boolean => until <= Math.min(was, at)
  if (household.sensors.every(({ check }) => check === undefined || isOver(check))) return household
  const sensors = household.sensors.map((sensor) => {
    const { check } = sensor
    if (check === undefined || isOver(check)) return sensor
    return { ...sensor, check: { ...check, since: later(check.since, by), until: later(check.until, by) } }
  })
  return { ...household, sensors }
}

/** What is remembered once it has lain elsewhere: the last believed value, but no run of equal ones, and no doubt. */
export function afterCheck(history: QualityState): QualityState {
  if (history.run === null && history.suspect === null) return history
  return { ...history, suspect: null, run: null, runCount: 0 }
}

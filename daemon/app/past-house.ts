import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Layout, ProfileOf } from '../../shared/judging/layout.ts'
import { startWatch } from '../../shared/judging/watch.ts'
import { zoneTimes } from '../../shared/judging/zones.ts'
import { calibrated } from '../../shared/sensing/calibration.ts'
import type { Point, ZonesOf } from '../ports.ts'
import type { House } from './house.ts'

/** What whoever looks into the past asks of a house. */
export type PastHouse = Pick<House, 'state' | 'zonesOf' | 'catchUp'>

/** A house that is only looked at: nobody judges in it, and nothing of it is kept. */
export function pastHouse(household: Household, profileOf: ProfileOf, now: Instant): PastHouse {
  const state = startWatch(household, profileOf, now)
  return { state: () => state, zonesOf: zonesIn(() => state.layout), catchUp: () => undefined }
}

/** The zones of a sensor's values, each by the calibration of its own time. */
export const zonesIn =
  (layoutNow: () => Layout): ZonesOf =>
  (sensor, quantity, stretch, before, good) => {
    const layout = layoutNow()
    const s = layout.sensorIndex.get(sensor) ?? -1
    const calibrations = layout.sensors[s]?.calibrations ?? []
    const meant = ([at, value]: Point): Point => [at, calibrated(calibrations, quantity, at, value)]
    return zoneTimes(layout, s, quantity, stretch, before && meant(before), good.map(meant))
  }

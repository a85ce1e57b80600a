import type { Layout } from '../../shared/judging/layout.ts'
import { withLoggers } from '../../shared/judging/past-layout.ts'
import { zoneTimes } from '../../shared/judging/zones.ts'
import { calibrated } from '../../shared/sensing/calibration.ts'
import type { Point, ZonesOf } from '../ports/zones.ts'

/** The zones of a sensor's or a past logger's values, each by the calibration of its own time. */
export const zonesIn =
  (layoutNow: () => Layout): ZonesOf =>
  (sensor, quantity, stretch, before, good) => {
    const layout = withLoggers(layoutNow())
    const s = layout.sensorIndex.get(sensor) ?? -1
    const calibrations = layout.sensors[s]?.calibrations ?? []
    const meant = ([at, value]: Point): Point => [at, calibrated(calibrations, quantity, at, value)]
    return zoneTimes(layout, s, quantity, stretch, before && meant(before), good.map(meant))
  }

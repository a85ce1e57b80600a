import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { type BathQuality, type IceState, startIcePoint, stepIcePoint } from './ice-point.ts'
import type { IceReading } from './ice-point-readings.ts'
import type { Protection } from './ice-point-steps.ts'

/** What somebody has said of a check so far. */
export interface IceNotes {
  readonly bath: BathQuality
  readonly protection: Protection
  /** When they began to make the bath. */
  readonly since: Instant
  /** When the probe went in; null before. */
  readonly immersedAt: Instant | null
}

/** Where a check stands, worked out from the beginning: a page that was closed meanwhile loses nothing. */
export function replayIcePoint(
  sensor: Pick<Sensor, 'type' | 'expectedEvery'>,
  { bath, protection, since, immersedAt }: IceNotes,
  readings: readonly IceReading[],
  now: Instant,
): IceState {
  let state = startIcePoint(sensor, bath, protection, since)
  if (immersedAt !== null) {
    state = stepIcePoint(state, { kind: 'immersed', at: immersedAt })
    for (const reading of readings)
      if (reading.at > immersedAt) state = stepIcePoint(state, { kind: 'reading', ...reading })
  }
  return stepIcePoint(state, { kind: 'timePassed', at: now })
}

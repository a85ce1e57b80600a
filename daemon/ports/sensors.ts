import type { Series } from '../../schemas/api.ts'
import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { FoundCorrection, RawReadings } from '../../schemas/sensor-check.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { EditRefusal } from './household.ts'
import type { Outcome } from './outcome.ts'

/** Why a sensor is not checked, or its correction neither taken nor taken back. */
export type CheckRefusal =
  | EditRefusal
  | 'noSuchSensor'
  | 'noSuchCalibration'
  | 'notCheckable'
  | 'tooLong'
  | 'badInstant'
  | 'badCorrection'
  | 'sameInstant'
  | 'tooManyCalibrations'
  | 'notNewest'

/** What a sensor said, and what is done to it. */
export interface SensorDesk {
  series(
    sensor: SensorId,
    quantity: Quantity,
    from: Instant,
    to: Instant,
    columns: number,
  ): Outcome<Series, 'noSuchSensor' | 'badStretch'>
  /** Claiming a topic is saving a sensor that names it. */
  saveSensor(sensor: Sensor, by: string): Outcome<Sensor, EditRefusal>
  removeSensor(sensor: SensorId, by: string): Outcome<null, EditRefusal>
  /** Takes it away for a check, for at most 4 h in all; again while that runs moves its end; zero ends it. */
  checkSensor(sensor: SensorId, lasts: Millis, by: string): Outcome<Sensor, CheckRefusal>
  /** The newest readings as it said them, of the last 4 h and not before `since`. */
  rawReadings(
    sensor: SensorId,
    quantity: CalibratedQuantity,
    since: Instant,
  ): Outcome<RawReadings, 'noSuchSensor'>
  /** Adds to what others may add meanwhile. Leaves a running check time enough to put the sensor back. */
  addCalibration(sensor: SensorId, found: FoundCorrection, by: string): Outcome<Sensor, CheckRefusal>
  /** Takes the newest of its quantity back. */
  removeCalibration(
    sensor: SensorId,
    quantity: CalibratedQuantity,
    from: Instant,
    by: string,
  ): Outcome<Sensor, CheckRefusal>
}

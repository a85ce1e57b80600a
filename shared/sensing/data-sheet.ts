import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import type { SensorType } from '../../schemas/sensor.ts'
import { elements } from './elements.ts'

/** What its maker promises of an element for one quantity, in the quantity's unit. */
export interface DataSheet {
  /** Half-width, ±, of what it may be from the truth, uncalibrated. */
  readonly halfWidth: number
  /** The smallest step that it shows. */
  readonly resolution: number
  /** Where both figures come from, for the screen. */
  readonly source: string
}

const memory = (name: string): string => `${name} data sheet, from memory`
const practice = 'common practice, no source'

/** Temperature, K. The half-widths are those that the watch for disagreeing thermometers uses. */
const temperature: Readonly<Record<SensorType, DataSheet>> = {
  ds18b20: { halfWidth: elements.ds18b20.error, resolution: 1 / 16, source: memory('DS18B20') },
  dht22: { halfWidth: elements.dht22.error, resolution: 0.1, source: memory('AM2302 (DHT22)') },
  // The code's own step is 0.0027 K; drivers send two decimals.
  sht3x: { halfWidth: elements.sht3x.error, resolution: 0.01, source: memory('SHT31') },
  bme280: { halfWidth: elements.bme280.error, resolution: 0.01, source: memory('BME280') },
  // Programs for thermistors commonly send one decimal.
  ntc: { halfWidth: elements.ntc.error, resolution: 0.1, source: practice },
  // Class B at 0 to 20 °C: ±(0.3 + 0.005 |t|) K; the step is that of common 15-bit converters, 1/32 K.
  pt1000: { halfWidth: elements.pt1000.error, resolution: 1 / 32, source: 'IEC 60751 class B, from memory' },
  contact: { halfWidth: elements.contact.error, resolution: 0.1, source: practice },
  other: { halfWidth: elements.other.error, resolution: 0.1, source: practice },
}

const unknownHygrometer: DataSheet = { halfWidth: 5, resolution: 1, source: practice }

/** Relative humidity, %RH. */
const humidity: Readonly<Record<SensorType, DataSheet>> = {
  ds18b20: unknownHygrometer,
  // ±2 typical, ±5 at most.
  dht22: { halfWidth: 5, resolution: 0.1, source: memory('AM2302 (DHT22)') },
  sht3x: { halfWidth: 2, resolution: 0.01, source: memory('SHT31') },
  bme280: { halfWidth: 3, resolution: 0.01, source: memory('BME280') },
  ntc: unknownHygrometer,
  pt1000: unknownHygrometer,
  contact: unknownHygrometer,
  other: unknownHygrometer,
}

/** By quantity and type; an element that does not measure a quantity has the figures of an unknown one. */
export const dataSheets: Readonly<Record<CalibratedQuantity, Readonly<Record<SensorType, DataSheet>>>> = {
  temperature,
  humidity,
}

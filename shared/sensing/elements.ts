import type { Quantity } from '../../schemas/quantity.ts'
import type { Quality } from '../../schemas/reading.ts'
import type { SensorType } from '../../schemas/sensor.ts'
import { hours } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

/** What a measuring element can show, and how it looks when it fails. Temperatures in °C. */
export interface Element {
  /** Both ends can be measured. Figures of the data sheet named, value from memory. */
  readonly lowest: number
  readonly highest: number
  /** How far it may be from the truth near freezing, ±, in kelvin: the data sheet's largest, value from memory. */
  readonly error: number
  /** Whether an all-zero frame with a valid checksum reads as 0.0 °C. */
  readonly zeroFrame: boolean
  /** How long one identical temperature is believed; see the constants below. */
  readonly stuckAfter: Millis
}

/** Derived: steps of 0.01 to 0.03 K lie below the element's own noise, so it never shows one value for 6 h. */
const fineStuckAfter: Millis = hours(6)

/** Derived: 1/16 K lies above the noise, and deep soil damps a fridge's cycle below it; half a day of weather does not pass unseen. */
const sixteenthStuckAfter: Millis = hours(12)

/** Derived: steps of 0.1 K and more (many programs round to 0.1) may truly stand for a day; not longer in a house. */
const coarseStuckAfter: Millis = hours(24)

export const elements: Readonly<Record<SensorType, Element>> = {
  // Maxim DS18B20 data sheet: −55 to +125 °C, 1/16 K, ±0.5 K from −10 to +85 °C.
  ds18b20: { lowest: -55, highest: 125, error: 0.5, zeroFrame: true, stuckAfter: sixteenthStuckAfter },
  // Aosong AM2302 (DHT22) data sheet: −40 to +80 °C, 0.1 K, ±0.5 K.
  dht22: { lowest: -40, highest: 80, error: 0.5, zeroFrame: true, stuckAfter: coarseStuckAfter },
  // Sensirion SHT3x data sheet: −40 to +125 °C; the raw code itself spans −45 to +130. ±0.3 K (SHT31, 0 to 90 °C).
  sht3x: { lowest: -40, highest: 125, error: 0.3, zeroFrame: false, stuckAfter: fineStuckAfter },
  // Bosch BME280 data sheet: −40 to +85 °C, ±1 K from 0 to 65 °C. A channel left unmeasured shows a chip-dependent constant: found as stuck.
  bme280: { lowest: -40, highest: 85, error: 1, zeroFrame: false, stuckAfter: fineStuckAfter },
  // Common practice for thermistor tables: −40 to +125 °C, the ends themselves are open and short.
  ntc: { lowest: -40, highest: 125, error: 1, zeroFrame: false, stuckAfter: fineStuckAfter },
  // IEC 60751: −200 to +850 °C; class B ±(0.3 + 0.005 |t|) K.
  pt1000: { lowest: -200, highest: 850, error: 0.4, zeroFrame: false, stuckAfter: fineStuckAfter },
  // A contact measures no temperature; a board's own thermometer beside it may be anything.
  contact: { lowest: -55, highest: 125, error: 2, zeroFrame: true, stuckAfter: coarseStuckAfter },
  // The commonest cheap probe goes unnamed, so its range and fault values are taken.
  other: { lowest: -55, highest: 125, error: 1, zeroFrame: true, stuckAfter: coarseStuckAfter },
}

/**
 * The value that a DS18B20 shows before its first conversion (data sheet, value from memory). A probe goes unnamed so
 * often that `other` and `contact` are held to it too: nothing in an animal room stands at 85 °C.
 */
export const powerOnCelsius = 85

/** Fault values are recognised this near, in the quantity's unit: a trip through °F and back does not hide them. */
const signatureTolerance = 0.005

/** Hygrometers reach 100 %RH plus their error of up to 5 % (AM2302 data sheet: ±2, at most ±5; value from memory). */
const highestHumidity = 105

/** Whether a value is, to the tolerance, the fault value named. */
export const isNear = (value: number, signature: number): boolean =>
  Math.abs(value - signature) < signatureTolerance

/** Whether this element shows 85.0 °C after a loss of power. */
export const showsPowerOn = (type: SensorType): boolean =>
  type === 'ds18b20' || type === 'other' || type === 'contact'

/** The verdict on a temperature by itself, with 85.0 °C let pass: whether that is believed depends on its neighbours. */
export function temperatureAlone(value: number, type: SensorType): Quality {
  switch (type) {
    case 'ds18b20':
    case 'other':
    case 'contact':
      // What common drivers report when no device answers (DEVICE_DISCONNECTED_C).
      if (isNear(value, -127)) return 'busOpen'
      break
    case 'sht3x':
      // Raw codes 0x0000 and 0xFFFF: a bus stuck low or high.
      if (isNear(value, -45) || isNear(value, 130)) return 'saturated'
      break
    case 'ntc':
      if (isNear(value, -40) || isNear(value, 125)) return 'openCircuit'
      break
    case 'pt1000':
      // Resistance read as zero: converters show −242.0, some with more digits.
      if (value > -243 && value < -241) return 'openCircuit'
      break
    case 'dht22':
    case 'bme280':
      break
    default:
      return type satisfies never
  }
  const { lowest, highest } = elements[type]
  return value >= lowest && value <= highest ? 'good' : 'outOfRange'
}

/**
 * The verdict on any other quantity by itself. Exactly 0 %RH is no air on earth but an all-zero frame; exactly 100 is
 * believed, for wet moss does that.
 */
export function otherAlone(
  quantity: Exclude<Quantity, 'temperature'>,
  value: number,
  type: SensorType,
): Quality {
  switch (quantity) {
    case 'humidity':
      if (isNear(value, 0)) return type === 'sht3x' ? 'saturated' : 'busLow'
      return value > 0 && value <= highestHumidity ? 'good' : 'outOfRange'
    case 'battery':
      return value >= 0 && value <= 100 ? 'good' : 'outOfRange'
    case 'voltage':
      // From a coin cell to a mains meter on three phases.
      return value >= 0 && value <= 1000 ? 'good' : 'outOfRange'
    case 'door':
    case 'power':
      return value === 0 || value === 1 ? 'good' : 'outOfRange'
    default:
      return quantity satisfies never
  }
}

import type { Quantity } from './quantity.ts'

/** The unit that a quantity is kept and shown in. */
export const unitOf: Record<Quantity, string> = {
  temperature: '°C',
  humidity: '%RH',
  battery: '%',
  voltage: 'V',
  door: '',
  power: '',
}

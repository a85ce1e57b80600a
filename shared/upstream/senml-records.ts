import type { Quantity } from '../../schemas/quantity.ts'

/** One record of a SenML pack (RFC 8428 §4), in the labels that we write. */
export interface SenmlRecord {
  readonly bn?: string
  readonly bt?: number
  readonly n: string
  readonly u?: string
  readonly v?: number
  readonly vs?: string
  readonly vb?: boolean
  readonly t?: number
}

/** The value labels of one quantity: a number with its unit, or, of a door or of the mains, true or false. */
export function valueLabels(quantity: Quantity, value: number): Pick<SenmlRecord, 'u' | 'v' | 'vb'> {
  const unit = units[quantity]
  return unit === null ? { vb: value === 1 } : { u: unit, v: value }
}

/** IANA registry "SenML Units"; states are booleans and have none. */
const units: Readonly<Record<Quantity, string | null>> = {
  temperature: 'Cel',
  humidity: '%RH',
  battery: '%EL',
  voltage: 'V',
  door: null,
  power: null,
}

/** Seconds since 1970, as SenML counts; read back by rounding to the ms. */
export const senmlTime = (ms: number): number => ms / 1000

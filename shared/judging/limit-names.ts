import { minutes, seconds } from '../../schemas/amounts.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Millis } from '../../schemas/units.ts'

/** The four limits of a band, from below. */
export const limitNames = [
  'lowCritical',
  'low',
  'high',
  'highCritical',
] as const satisfies readonly LimitName[]

export const isLowSide = (limit: LimitName): boolean => limit === 'lowCritical' || limit === 'low'
export const isCritical = (limit: LimitName): boolean => limit === 'lowCritical' || limit === 'highCritical'

/** Coming back needs this much: twice the noise of a 1/16 K element, 1 % of a 0–20 °C range is 0.2 K (EEMUA 191, from memory). */
export const usualDeadband: Partial<Record<Quantity, number>> = { temperature: 0.3, humidity: 3 }

/** Off-delay 60 s, as for temperature in EEMUA 191 (value from memory). */
export const usualClearFor: Millis = seconds(60)

/** On-delays of a keeper's own limits: critical as soon as a second reading could confirm, else half an hour (derived). */
export const usualFor = (limit: LimitName): Millis => (isCritical(limit) ? seconds(60) : minutes(30))

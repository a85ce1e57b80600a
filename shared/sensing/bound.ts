import type { Sensor } from '../../schemas/sensor.ts'
import { elements } from './elements.ts'

/** How far a thermometer may be from the truth, ±, K: the keeper's figure, else its type's. */
export const boundOf = ({ type, accuracy }: Pick<Sensor, 'type' | 'accuracy'>): number =>
  accuracy ?? elements[type].error

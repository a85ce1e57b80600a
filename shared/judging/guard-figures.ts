import { celsius, hours, minutes } from '../../schemas/amounts.ts'
import type { Celsius, Millis } from '../../schemas/units.ts'

/**
 * Critical low limits up to this are about frost, and are guarded; one of 15 °C is about comfort first, and a kelvin
 * too early only cries wolf. Derived: below 4 °C water is on its way to ice, and no published hold limit lies between
 * 1 °C and 15 °C.
 */
export const nearFreezing: Celsius = celsius(4)

/**
 * Between the limit and its guarded value it must stay for so long before it rings. Derived: the cold end of a
 * compressor's run lasts minutes, an animal follows in hours, and whoever is past the limit itself rings at once.
 */
export const doubtFor: Millis = minutes(10)

/**
 * A doubt, once raised, returns when it has been clear for so long. Derived: a cooler runs about once an hour at the slowest
 * (value from memory), and not each run reaches the guarded value; so air that swings round it is one doubt, not one each run.
 */
export const doubtClearFor: Millis = hours(3)

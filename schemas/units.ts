import { z } from 'zod'

/** Milliseconds since the Unix epoch, UTC. Whole, not negative, at most the year 9999. */
export const Instant = z.int().min(0).max(253_402_300_799_999).brand<'Instant'>()
export type Instant = z.infer<typeof Instant>

/** A length of time in milliseconds. Whole, not negative. */
export const Millis = z.int().min(0).brand<'Millis'>()
export type Millis = z.infer<typeof Millis>

/** Degrees Celsius. Wider than any probe here so that fault values (−242, 130) can be named, not refused. */
export const Celsius = z.number().min(-273.15).max(1000).brand<'Celsius'>()
export type Celsius = z.infer<typeof Celsius>

/** A difference of temperatures in kelvin. */
export const Kelvin = z.number().brand<'Kelvin'>()
export type Kelvin = z.infer<typeof Kelvin>

/** Relative humidity over water, 0 to 100. */
export const Percent = z.number().min(0).max(100).brand<'Percent'>()
export type Percent = z.infer<typeof Percent>

/** Vapour pressure in kilopascal. */
export const Kilopascal = z.number().min(0).brand<'Kilopascal'>()
export type Kilopascal = z.infer<typeof Kilopascal>

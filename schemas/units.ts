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

export const instant = (ms: number): Instant => ms as Instant
export const millis = (ms: number): Millis => ms as Millis
export const celsius = (value: number): Celsius => value as Celsius
export const seconds = (n: number): Millis => millis(n * 1000)
export const minutes = (n: number): Millis => millis(n * 60_000)
export const hours = (n: number): Millis => millis(n * 3_600_000)
export const days = (n: number): Millis => millis(n * 86_400_000)

/** `at` moved by `ms` (negative goes back). */
export const later = (at: Instant, ms: number): Instant => (at + ms) as Instant

/** A duration in words or milliseconds: `90 s`, `20 min`, `10 h`, `2 d`, or a bare number of milliseconds. */
export const DurationText = z.union([z.number(), z.string()]).transform((input, ctx): Millis => {
  if (typeof input === 'number') {
    if (Number.isInteger(input) && input >= 0) return millis(input)
  } else {
    const match = /^(\d+(?:\.\d+)?)\s*(ms|s|min|h|d)$/.exec(input.trim())
    if (match) return millis(Math.round(Number(match[1]) * unitMs[match[2] as keyof typeof unitMs]))
  }
  ctx.addIssue({ code: 'custom', message: 'expected a duration such as "90 s", "20 min", "10 h" or "2 d"' })
  return z.NEVER
})

const unitMs = { ms: 1, s: 1000, min: 60_000, h: 3_600_000, d: 86_400_000 } as const

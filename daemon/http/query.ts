import { z } from 'zod'
import { Instant } from '../../schemas/units.ts'

/** A whole number in a query, from `least` to `most`, both included. */
export const wholeNumber = (least: number, most: number) =>
  z
    .string()
    .regex(/^\d{1,15}$/, 'expected a whole number')
    .transform(Number)
    .pipe(z.int().min(least).max(most))

/** A word of a query that may stand there several times. */
export const repeated = <Word extends z.ZodType<unknown, string>>(word: Word, most: number) =>
  z.union([word.transform((one) => [one]), z.array(word).min(1).max(most)])

/** `true` or `false` in a query. */
export const TrueOrFalse = z.enum(['true', 'false']).transform((text) => text === 'true')

/** An instant in a query: Unix milliseconds, or ISO 8601 with `Z` or an offset. Nothing is assumed about zones. */
export const InstantText = z
  .string()
  .max(40)
  .transform((text, ctx): Instant => {
    const parsed = Instant.safeParse(/^\d{1,15}$/.test(text) ? Number(text) : isoMs(text))
    if (parsed.success) return parsed.data
    ctx.addIssue({
      code: 'custom',
      message: 'expected Unix milliseconds or ISO 8601 such as 2026-12-24T20:00:00Z',
    })
    return z.NEVER
  })

const iso = /^(\d{4})-(\d{2})-(\d{2})T\d{2}:\d{2}(?::\d{2}(?:\.\d{1,3})?)?(?:Z|[+-]\d{2}:\d{2})$/

function isoMs(text: string): number {
  const match = iso.exec(text)
  if (match === null) return Number.NaN
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])]
  // Date.parse takes 30 February for 2 March
  if (new Date(Date.UTC(year, month - 1, day)).getUTCDate() !== day) return Number.NaN
  return Date.parse(text)
}

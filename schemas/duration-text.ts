import { z } from 'zod'
import { millis } from './amounts.ts'
import type { Millis } from './units.ts'

/** A duration in words or milliseconds: `90 s`, `20 min`, `10 h`, `2 d`, or a bare number of milliseconds. */
export const DurationText = z
  .union([z.number(), z.string()], { error: notDuration })
  .transform((input, ctx): Millis => {
    if (typeof input === 'number') {
      if (Number.isInteger(input) && input >= 0) return millis(input)
    } else {
      const match = /^(\d+(?:\.\d+)?)\s*(ms|s|min|h|d)$/.exec(input.trim())
      if (match) return millis(Math.round(Number(match[1]) * unitMs[match[2] as keyof typeof unitMs]))
    }
    ctx.addIssue({ code: 'custom', message: expected })
    return z.NEVER
  })

const unitMs = { ms: 1, s: 1000, min: 60_000, h: 3_600_000, d: 86_400_000 } as const

const expected = 'expected a duration such as "90 s", "20 min", "10 h" or "2 d"'

function notDuration({ input }: { readonly input?: unknown }): string {
  return input === undefined ? 'is missing' : expected
}

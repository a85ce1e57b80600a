import { z } from 'zod'

/** A number of bytes in words: `200 MB`, `2 GB`, or a bare number. Powers of 1000, as disks are sold. */
export const BytesText = z
  .union([z.number(), z.string()], { error: 'expected a size such as "200 MB" or "2 GB"' })
  .transform((input, ctx): number => {
    if (typeof input === 'number') {
      if (Number.isInteger(input) && input >= 0) return input
    } else {
      const match = /^(\d+(?:\.\d+)?)\s*(B|kB|MB|GB|TB)$/.exec(input.trim())
      if (match) return Math.round(Number(match[1]) * unitBytes[match[2] as keyof typeof unitBytes])
    }
    ctx.addIssue({ code: 'custom', message: 'expected a size such as "200 MB" or "2 GB"' })
    return z.NEVER
  })

const unitBytes = { B: 1, kB: 1e3, MB: 1e6, GB: 1e9, TB: 1e12 } as const

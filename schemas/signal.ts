import { z } from 'zod'
import { Standing } from './api.ts'
import { Priority } from './band.ts'
import { PlaceId } from './ids.ts'

/**
 * What a lamp or siren needs to know of one place and of everything inside it; the JSON on `brumal/alarm/<place>`. A
 * siren rings while `priority` is high and `unacknowledged` is true, and a lamp shows `state`.
 */
export const Signal = z.strictObject({
  place: PlaceId,
  name: z.string(),
  /** The worst of the place and of what is inside it: out, then unsure, leaving, safe, idle. */
  state: Standing,
  /** Of the worst alarm whose condition holds; null where none does, or where a person has hidden them all. */
  priority: Priority.nullable(),
  /** Whether somebody must still answer an alarm, even one that is over. */
  unacknowledged: z.boolean(),
  sentence: z.string(),
  /** When this was said, as ISO 8601: at a change, and anew whenever the broker comes up. */
  at: z.iso.datetime(),
})
export type Signal = z.infer<typeof Signal>

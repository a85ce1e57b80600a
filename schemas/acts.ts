import { z } from 'zod'

/** More minutes than any rule allows (A2: 480, A3: 30), so that the rule gives the answer; still bounded (X3). */
const mostMinutes = 10_000

const Reason = z.string().trim().min(1, 'say why').max(300)

export const Acknowledge = z.strictObject({ occurrence: z.int().min(0) })
export type Acknowledge = z.infer<typeof Acknowledge>

/** With `occurrence`, a later raising than the one seen is not shelved. */
export const Shelve = z.strictObject({
  occurrence: z.int().min(0).optional(),
  minutes: z.int().min(1).max(mostMinutes),
  reason: Reason,
})
export type Shelve = z.infer<typeof Shelve>

export const TakeOutOfService = z.strictObject({ reason: Reason })
export type TakeOutOfService = z.infer<typeof TakeOutOfService>

/** "I am opening this"; zero ends it (A3). */
export const Tend = z.strictObject({ minutes: z.int().min(0).max(mostMinutes) })
export type Tend = z.infer<typeof Tend>

/** The invented household: running, and whether it may be started. */
export const Practice = z.strictObject({ running: z.boolean(), offered: z.boolean() })
export type Practice = z.infer<typeof Practice>

export const SwitchPractice = z.strictObject({ on: z.boolean() })
export type SwitchPractice = z.infer<typeof SwitchPractice>

/** `/health`: the daemon answers. A broker that is down and a store that fails are told; the daemon still watches. */
export const Health = z.strictObject({
  status: z.literal('ok'),
  broker: z.enum(['starting', 'up', 'down']),
  store: z.enum(['ok', 'failing']),
})
export type Health = z.infer<typeof Health>

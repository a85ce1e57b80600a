import { z } from 'zod'

/**
 * A part of the daemon that another part watches (N1). broker: the way in from the sensors · session: what the broker
 * kept for us while we were away · store: the database takes what it is given · disk: room for more · clock: the time is
 * believable · backup: the nightly copy · loop: judging goes on without standing still · history: the database was whole
 * when it was opened.
 */
export const Stage = z.enum(['broker', 'session', 'store', 'disk', 'clock', 'backup', 'loop', 'history'])
export type Stage = z.infer<typeof Stage>

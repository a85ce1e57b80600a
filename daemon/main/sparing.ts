import type { Log } from '../ports.ts'

/** Housekeeping that a full or failing disk refuses is tried again next time; it must not end the watch (N2). */
export function sparing(keep: () => void, log: Log): () => void {
  let hasFailed = false
  return () => {
    try {
      keep()
      hasFailed = false
    } catch (error) {
      if (!hasFailed) log.error({ err: error }, 'Housekeeping in the store failed; it is tried again.')
      hasFailed = true
    }
  }
}

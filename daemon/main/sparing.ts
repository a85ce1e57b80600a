import type { House } from '../app/house.ts'
import type { Log } from '../ports/log.ts'

/** Housekeeping that a full or failing disk refuses is tried again next time: it ends no watch, and is told (N1, N2). */
export function sparing(
  part: string,
  keep: () => void,
  house: Pick<House, 'housekeeping'>,
  log: Log,
): () => void {
  let hasFailed = false
  return () => {
    try {
      keep()
      if (hasFailed) house.housekeeping(part, null)
      hasFailed = false
    } catch (error) {
      if (!hasFailed) log.error({ err: error }, 'Housekeeping in the store failed; it is tried again.')
      hasFailed = true
      house.housekeeping(part, error instanceof Error ? error : new Error(String(error)))
    }
  }
}

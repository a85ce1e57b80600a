import type { Backups } from '../ports/keeping.ts'
import { type RunCopyJob, runApart } from './run-apart.ts'
import { seconds } from '../../schemas/amounts.ts'

/** A folder that hangs hangs here, too, and somebody waits for the end; the next backup removes what was left. */
const removeWithin = seconds(2)

/**
 * Backups of `data` in `folder`. `ownDisk`: only while that is on another disk than the data. Nothing here touches the
 * folder from the thread that judges: it may be on a network that has gone away.
 */
export function sqliteBackups(
  data: string,
  { folder, keep, ownDisk }: { readonly folder: string; readonly keep: number; readonly ownDisk: boolean },
  run: RunCopyJob = runApart,
): Backups {
  return {
    folder,

    async make(now, signal) {
      try {
        return await run({ kind: 'backUp', data, folder, keep, ownDisk, now }, signal)
      } catch (cause) {
        // Who was killed could not clean up.
        if (signal.aborted)
          await run({ kind: 'removeHalf', folder, now }, AbortSignal.timeout(removeWithin)).catch(() => null)
        throw cause
      }
    },

    list: (now, signal) => run({ kind: 'list', folder, now }, signal),
  }
}

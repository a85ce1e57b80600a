/** A process of its own for one job on a copy, as `run-apart.ts` asks; killed at any moment. */
import { constants, setPriority } from 'node:os'
import { type CopyJob, doCopyJob } from './copy-jobs.ts'
import { StorageError, type StorageFault } from './storage-error.ts'

export type ChildAnswer =
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly code: StorageFault | null; readonly sentence: string }

// A copy can wait; judging cannot.
try {
  setPriority(constants.priority.PRIORITY_BELOW_NORMAL)
} catch {
  // a system that does not let us (a container, a filter of calls) has its copies all the same
}
// Whoever asked is gone, and nobody else needs the answer.
process.once('disconnect', () => process.exit())
process.once('message', (job) => {
  doCopyJob(job as CopyJob).then(
    (value) => answer({ ok: true, value }),
    (cause: unknown) =>
      answer({
        ok: false,
        code: cause instanceof StorageError ? cause.code : null,
        sentence: cause instanceof Error ? cause.message : String(cause),
      }),
  )
})

function answer(what: ChildAnswer): void {
  process.send?.(what)
}

import { join } from 'node:path'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import type { Clock } from '../ports/clock.ts'
import { backUp, restoreFrom } from '../sqlite/backup.ts'
import { lockFolder } from '../sqlite/lock-folder.ts'
import { openDatabase } from '../sqlite/open.ts'
import { sqliteStore } from '../sqlite/store.ts'

type Out = (line: string) => void

/** Copies the database while the daemon runs or not. Returns the exit code. */
export async function backupCommand(
  data: string,
  { to, keep }: { readonly to: string | null; readonly keep: number },
  { clock, out }: { readonly clock: Clock; readonly out: Out },
): Promise<number> {
  const { path, bytes } = await backUp(data, to ?? join(data, 'backups'), { now: clock.now(), keep })
  out(`Backed up to ${path} (${bytesWords(bytes)}), and looked through: whole.`)
  return 0
}

/** Puts a backup in the place of the database; refuses to write over one without a word. Returns the exit code. */
export async function restoreCommand(
  data: string,
  file: string,
  { replace }: { readonly replace: boolean },
  { clock, out }: { readonly clock: Clock; readonly out: Out },
): Promise<number> {
  const lock = lockFolder(data)
  try {
    const { aside } = await restoreFrom(file, data, { now: clock.now(), replaces: replace })
    // Brings an older schema up to date at once, and says in the log where a gap comes from.
    const store = sqliteStore(openDatabase(data))
    store.commit({
      readings: [],
      journal: [
        { at: clock.now(), kind: 'changed', by: 'brumal', text: 'Everything was restored from a backup.' },
      ],
    })
    store.close()
    out(`Restored from ${file}.`)
    if (aside !== null) out(`What was there before is kept as ${join(data, aside)}.`)
    return 0
  } finally {
    lock.release()
  }
}

import { existsSync, readdirSync, renameSync, rmSync } from 'node:fs'
import { basename, dirname } from 'node:path'
import type { Instant } from '../../schemas/units.ts'
import { beside, freePath, moveIfThere, sizeOf, stamp, tails, toDisk } from './files.ts'

/** Why a database was set aside: its bytes had changed, or another was put in its place. */
export type AsideFor = 'damaged' | 'before'

/**
 * Puts the finished file `ready` into the place of `database`, which is set aside with its log, never deleted. Gives the
 * name of what was set aside; null where there was nothing. A death on any line is made good by `finishSwap`: the new
 * file first gets a name that says what is to be done.
 */
export function swapIn(ready: string, database: string, why: AsideFor, now: Instant): string | null {
  const aside = freePath(`${database}.${why}-${stamp(now)}`)
  const coming = `${database}.new.${aside.slice(database.length + 1)}`
  renameSync(ready, coming)
  toDisk(dirname(database))
  return finish(coming, database, aside)
}

/** Ends what `swapIn` began and could not end. */
export function finishSwap(database: string): void {
  if (!existsSync(dirname(database))) return
  const begun = `${basename(database)}.new.`
  for (const name of readdirSync(dirname(database)))
    if (name.startsWith(begun))
      finish(beside(database, name), database, `${database}.${name.slice(begun.length)}`)
}

function finish(coming: string, database: string, asideName: string): string | null {
  const wasMoved = existsSync(asideName)
  const isThere = sizeOf(database) > 0
  // the file itself first: from then on there is no database to be opened by mistake without its log
  const aside = wasMoved && isThere ? freePath(asideName) : asideName
  if (isThere || wasMoved) for (const tail of tails) moveIfThere(database + tail, aside + tail)
  else for (const tail of tails) rmSync(database + tail, { force: true })
  renameSync(coming, database)
  toDisk(dirname(database))
  return isThere || wasMoved ? basename(aside) : null
}

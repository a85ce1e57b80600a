import { createReadStream, createWriteStream, mkdirSync, rmSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { Transform } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { type ImportId, tableBytes } from '../../schemas/import.ts'
import type { Scratch } from '../ports/imports.ts'

/** Tables that wait, as files in a folder of their own, which begins empty: what waited ended with the daemon. */
export function scratchFolder(folder: string): Scratch {
  const pathOf = (id: ImportId): string => join(folder, `${id}.table`)
  rmSync(folder, { recursive: true, force: true })

  return {
    async keep(id, bytes) {
      let count = 0
      const bounded = new Transform({
        transform(chunk: Uint8Array, _encoding, done) {
          count += chunk.length
          done(count > tableBytes ? new TooLarge() : null, chunk)
        },
      })
      try {
        mkdirSync(folder, { recursive: true, mode: 0o700 })
        await pipeline(bytes, bounded, createWriteStream(pathOf(id), { mode: 0o600 }))
        return { ok: true, value: count }
      } catch (cause) {
        await rm(pathOf(id), { force: true })
        if (cause instanceof TooLarge) return tooLarge
        if (isOfDisk(cause)) return diskFull
        throw cause
      }
    },
    read: (id) => createReadStream(pathOf(id)),
    remove: (id) => rm(pathOf(id), { force: true }),
  }
}

class TooLarge extends Error {}

const isOfDisk = (cause: unknown): boolean =>
  cause instanceof Error && 'code' in cause && diskCodes.has(String(cause.code))

const diskCodes = new Set(['ENOSPC', 'EDQUOT', 'EROFS', 'EACCES', 'EPERM', 'EIO'])

const tooLarge = {
  ok: false,
  error: 'tooLarge',
  sentence: `A table may have at most ${tableBytes / 1_048_576} MB. Split it, and send the parts one after another.`,
} as const

const diskFull = {
  ok: false,
  error: 'diskFull',
  sentence: 'The disk has no room for the table, or does not take it. Nothing was changed.',
} as const

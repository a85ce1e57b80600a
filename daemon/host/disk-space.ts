import { statfsSync } from 'node:fs'
import type { DiskSpace } from '../ports/keeping.ts'

/** Room on the disk under `folder`, for whoever is not root: some of it is often kept back. */
export const diskSpace =
  (folder: string): DiskSpace =>
  () => {
    try {
      const { bavail, blocks, bsize } = statfsSync(folder)
      return { freeBytes: bavail * bsize, totalBytes: blocks * bsize }
    } catch {
      return null
    }
  }

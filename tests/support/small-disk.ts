import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** A disk of its own, in memory: it can be filled, made read-only, and taken away. Needs root. */
export interface SmallDisk {
  readonly path: string
  makeReadOnly(): void
  makeWritable(): void
  remove(): void
}

export function smallDisk(megabytes: number): SmallDisk {
  const path = mkdtempSync(join(tmpdir(), 'disk-'))
  mount('-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', path)
  return {
    path,
    makeReadOnly: () => mount('-o', 'remount,ro', path),
    makeWritable: () => mount('-o', 'remount,rw', path),
    remove() {
      execFileSync('umount', ['--lazy', path])
      rmSync(path, { recursive: true })
    },
  }
}

/** Why there can be no small disk here; null where there can. BRUMAL_REQUIRE_PEERS=1 makes that a failure. */
export function noSmallDisk(): string | null {
  try {
    smallDisk(1).remove()
    return null
  } catch (cause) {
    if (process.env['BRUMAL_REQUIRE_PEERS'] === '1') throw cause
    return 'no small disk: mounting one needs root'
  }
}

const mount = (...options: string[]): void => {
  execFileSync('mount', options, { stdio: 'pipe' })
}

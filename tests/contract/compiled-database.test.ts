import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { abortsByItself, notCompiled } from '../../daemon/sqlite/not-compiled.ts'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'brumal-compiled-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

describe('N1: a compiled database', () => {
  test('that is not there, or is another Node’s, is told in one line with what to do; other faults are not', () => {
    const missing = new Error('Could not locate the bindings file. Tried:\n → here\n → there')
    const foreign = Object.assign(new Error('was compiled against a different Node'), {
      code: 'ERR_DLOPEN_FAILED',
    })
    for (const cause of [missing, foreign])
      expect(notCompiled(cause)).toMatch(
        /^The database is not compiled for this Node, v[\d.]+: run npm rebuild [^\n]*\.$/,
      )
    for (const cause of [
      new Error('disk I/O error'),
      Object.assign(new Error('x'), { code: 'ENOENT' }),
      'text',
      null,
    ])
      expect(notCompiled(cause)).toBeNull()
  })

  test('that will end the process is known by the function that it names', () => {
    // As compiled with the headers of Node 24.21: the C++ name of the function, mangled
    const part = join(folder, 'better_sqlite3.node')
    writeFileSync(part, 'ELF\0_ZN4node28RemoveEnvironmentCleanupHookEPN2v87IsolateEPFvPvES3_\0')
    expect(abortsByItself(part)).toMatch(/will end Brumal every few minutes\. Run it on Node 22/)
    writeFileSync(part, 'ELF\0_ZN4node25AddEnvironmentCleanupHookEPN2v87IsolateEPFvPvES3_\0')
    expect(abortsByItself(part)).toBeNull()
    expect(abortsByItself(join(folder, 'absent'))).toBeNull()
  })

  test('of these tests is a sound one', () => {
    expect(abortsByItself()).toBeNull()
  })
})

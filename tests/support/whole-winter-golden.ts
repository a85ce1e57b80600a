import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { expect } from 'vitest'

const fixtures = join(import.meta.dirname, '../../fixtures')

/**
 * Byte for byte as it was read and found right. `WRITE_GOLDEN=1 npm test -- tests/flow/whole-winter` writes it anew: then
 * the difference is to be read.
 */
export function expectGolden(path: string, text: string): void {
  const file = join(fixtures, path)
  if (process.env['WRITE_GOLDEN'] === '1') {
    mkdirSync(dirname(file), { recursive: true })
    writeFileSync(file, text)
    return
  }
  const golden = readFileSync(file, 'utf8')
  const [was, is] = [golden.split('\n'), text.split('\n')]
  const at = is.findIndex((line, i) => line !== was[i])
  const around = (lines: readonly string[]) => lines.slice(Math.max(0, at - 3), at + 4)
  if (at >= 0) expect(around(is), `${path}, line ${at + 1}`).toEqual(around(was))
  expect(text === golden, `${path} differs`).toBe(true)
}

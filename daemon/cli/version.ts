import { readFileSync } from 'node:fs'

/** The version that the package gives itself; `unknown` where no package is found. */
export function version(): string {
  // Compiled, this file lies three folders deep in the package; from source, two.
  for (const up of ['../../../package.json', '../../package.json']) {
    try {
      const found = JSON.parse(readFileSync(new URL(up, import.meta.url), 'utf8')) as Record<string, unknown>
      if (found['name'] === 'brumal') return String(found['version'])
    } catch {
      continue // not there: the other place is tried next
    }
  }
  return 'unknown'
}

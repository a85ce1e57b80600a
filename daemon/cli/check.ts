import { lineFor } from './mistakes.ts'
import { settingKeys, valueAt } from './setting-keys.ts'
import type { LoadedSettings } from './settings.ts'

const nameOf = { default: 'default', file: 'file', url: "the broker's URL" } as const

/** Prints every setting with its value and where it comes from, or every mistake. Exit code 0, or 78 for mistakes. */
export function check(
  loaded: LoadedSettings,
  out: (line: string) => void,
  err: (line: string) => void,
): number {
  if (!loaded.ok) {
    for (const mistake of loaded.mistakes) err(lineFor(loaded.path, mistake))
    return 78
  }
  out(loaded.path === null ? 'No settings file: defaults and environment.' : `Settings file: ${loaded.path}`)
  for (const { path, variable, isSecret } of settingKeys) {
    const value = valueAt(loaded.settings, path)
    const shown = value === undefined ? '–' : isSecret ? '(hidden)' : JSON.stringify(value)
    const origin = loaded.origins[path] ?? 'default'
    out(`${path} = ${shown}  (${origin === 'environment' ? variable : nameOf[origin]})`)
  }
  return 0
}

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

/**
 * What to do where the database's compiled part is not there, or is another Node's; null for every other fault. Its own
 * message lists a dozen folders, and none of what to do.
 */
export function notCompiled(cause: unknown): string | null {
  if (!(cause instanceof Error)) return null
  const isMissing = cause.message.startsWith('Could not locate the bindings file') // of the package bindings
  const isForeign = 'code' in cause && cause.code === 'ERR_DLOPEN_FAILED' // of Node
  if (!isMissing && !isForeign) return null
  return `The database is not compiled for this Node, ${process.version}: run npm rebuild better-sqlite3 where Brumal is installed, or install it anew with npm install --global --allow-scripts=better-sqlite3.`
}

/**
 * Says so where the compiled part is one that ends the process sooner or later; null for a sound one. The header
 * `node_object_wrap.h` of Node 24.19 and newer makes each statement, when it is collected while no script runs, ask for an
 * environment that is not there then: `Assertion failed: (env) != nullptr`, seen within a minute of the practice. The
 * same source compiled with older headers does not name that function.
 */
export function abortsByItself(file: string = compiledPart()): string | null {
  try {
    if (!readFileSync(file).includes('RemoveEnvironmentCleanupHook')) return null
  } catch {
    return null // not there: opening the database says so
  }
  return `The database was compiled with the headers of a Node (24.19 or newer) that will end Brumal every few minutes. Run it on Node 22, and there npm rebuild better-sqlite3.`
}

function compiledPart(): string {
  const found = createRequire(import.meta.url).resolve('better-sqlite3/package.json')
  return join(dirname(found), 'build/Release/better_sqlite3.node')
}

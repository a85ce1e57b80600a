import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { root } from './program.mjs'

/** The one package that is compiled for a processor and a Node: it cannot travel everywhere. */
export const compiled = 'better-sqlite3'

/**
 * Folders below `node_modules` that the program needs to run, from the lock. `without` leaves out some of our own
 * dependencies and what only they need. What is there for building (`prebuild-install`) or typing only is never needed.
 *
 * @param {readonly string[]} without
 * @returns {string[]} such as `node_modules/pino`
 */
export function productionPackages(without = []) {
  const all = lockedPackages()
  const wanted = new Set()
  const want = (from, isLeftOut) => {
    const { dependencies, optionalDependencies } = all[from]
    for (const name of Object.keys({ ...dependencies, ...optionalDependencies })) {
      const path = isLeftOut(name) ? undefined : resolved(all, from, name)
      if (path === undefined || wanted.has(path)) continue
      wanted.add(path)
      want(path, isForBuilding)
    }
  }
  want('', (name) => isForBuilding(name) || without.includes(name))
  return [...wanted].sort()
}

/** Of each of our own dependencies the version that is locked, which is the one that was tested. */
export function lockedDependencies() {
  const all = lockedPackages()
  const names = Object.keys(all[''].dependencies)
  return Object.fromEntries(names.map((name) => [name, all[`node_modules/${name}`].version]))
}

const lockedPackages = () => JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages

const isForBuilding = (name) => name === 'prebuild-install' || name.startsWith('@types/')

/** As Node looks for it: in the folder itself, then in each above. */
function resolved(all, from, name) {
  for (let at = from; ; at = at.slice(0, Math.max(0, at.lastIndexOf('node_modules') - 1))) {
    const path = `${at === '' ? '' : `${at}/`}node_modules/${name}`
    if (all[path] !== undefined) return path
    if (at === '') return undefined
  }
}

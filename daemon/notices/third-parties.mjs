import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('../..', import.meta.url))

/**
 * One work of others that Brumal passes on. `hash` is the SHA-512 of the package as published, in hex, `needs` the
 * `name@version` of those that it works with, `text` what its licence says; null where it came without.
 *
 * @typedef {object} ThirdParty
 * @property {string} name
 * @property {string} version
 * @property {string} licence as an SPDX expression
 * @property {string | null} homepage
 * @property {string | null} hash
 * @property {readonly string[]} needs
 * @property {string | null} text
 */

/**
 * Everything that runs in the daemon, and what Vite puts into the page, by name.
 *
 * @returns {readonly ThirdParty[]}
 */
export function thirdParties() {
  const all = lockedPackages()
  const wanted = new Set()
  const want = (from, names) => {
    for (const name of names) {
      const path = resolved(all, from, name)
      if (path === undefined || wanted.has(path)) continue
      wanted.add(path)
      want(path, namesNeeded(all[path]))
    }
  }
  want('', directNames())
  const packages = [...wanted].map((path) => asThirdParty(all, path))
  // The same version may lie in two folders
  const once = new Map([...packages, sqlite(packages)].map((party) => [labelOf(party), party]))
  return [...once.values()].sort((a, b) => byText(labelOf(a), labelOf(b)))
}

/** What we ask for ourselves: the daemon's own packages, and those of the page. */
export const directNames = () => [...Object.keys(lockedPackages()[''].dependencies), ...packagesOfPage()]

/** @param {{ name: string, version: string }} party */
export const labelOf = ({ name, version }) => `${name}@${version}`

/** Packages that the page or its worker imports, whose code the build copies into `dist/web`. */
function packagesOfPage() {
  const files = readdirSync(join(root, 'web'), { recursive: true }).filter((name) => /\.tsx?$/.test(name))
  const imported = files.flatMap((name) => [
    ...readFileSync(join(root, 'web', name), 'utf8').matchAll(
      /(?:from|import) '((?:@[\w-]+\/)?[\w-]+)[/\w.-]*'/g,
    ),
  ])
  const names = new Set(imported.map(([, name]) => name))
  names.delete('node') // what vite.config.ts builds with
  names.delete('vite')
  return [...names]
}

function asThirdParty(all, path) {
  const { license, integrity } = all[path]
  const name = path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length)
  const about = JSON.parse(readFileSync(join(root, path, 'package.json'), 'utf8'))
  // For Node 24 another database is fetched than the lock names (daemon/bootstrap.mjs)
  const isAsLocked = about.version === all[path].version
  const needs = namesNeeded(all[path]).flatMap((one) => {
    const found = resolved(all, path, one)
    return found === undefined ? [] : [labelOf({ name: one, version: all[found].version })]
  })
  return {
    name,
    version: about.version,
    licence: license ?? '',
    homepage: typeof about.homepage === 'string' ? about.homepage : null,
    hash:
      isAsLocked && integrity?.startsWith('sha512-')
        ? Buffer.from(integrity.slice(7), 'base64').toString('hex')
        : null,
    needs: [...needs, ...(name === 'better-sqlite3' ? [labelOf(sqliteVersion(path))] : [])].sort(byText),
    text: licenceTextIn(join(root, path)),
  }
}

/** The database itself, which comes as one file inside the package that binds it. */
function sqlite(packages) {
  if (!packages.some(({ name }) => name === 'better-sqlite3'))
    throw new Error('SQLite comes with no package.')
  return {
    ...sqliteVersion('node_modules/better-sqlite3'),
    licence: 'blessing',
    homepage: 'https://sqlite.org',
    hash: null,
    needs: [],
    text: 'All of the code and documentation in SQLite has been dedicated to the public domain by the authors.',
  }
}

function sqliteVersion(path) {
  const source = readFileSync(join(root, path, 'deps/sqlite3/sqlite3.h'), 'utf8')
  const version = /#define SQLITE_VERSION\s+"([\d.]+)"/.exec(source)?.[1]
  if (version === undefined) throw new Error('The version of SQLite could not be read.')
  return { name: 'sqlite', version }
}

/** Licence and notice files, one after the other. */
function licenceTextIn(folder) {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isFile() && /^(?:licen[cs]e|copying|notice|unlicense)/i.test(entry.name))
    .map((entry) => entry.name)
    .sort(byText)
  const texts = names.map((name) => readFileSync(join(folder, name), 'utf8').replaceAll('\r\n', '\n').trim())
  return texts.length === 0 ? null : texts.join('\n\n')
}

/** Optional ones and peers, too, where they are there. */
const namesNeeded = ({ dependencies, optionalDependencies, peerDependencies }) =>
  Object.keys({ ...dependencies, ...optionalDependencies, ...peerDependencies }).filter(isShipped)

/** What only fetches or types another package is not passed on. */
const isShipped = (name) => name !== 'prebuild-install' && !name.startsWith('@types/')

const lockedPackages = () => JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages

/** As Node looks for it: in the folder itself, then in each above; only what is really there. */
function resolved(all, from, name) {
  for (let at = from; ; at = at.slice(0, Math.max(0, at.lastIndexOf('node_modules') - 1))) {
    const path = `${at === '' ? '' : `${at}/`}node_modules/${name}`
    if (all[path] !== undefined && existsSync(join(root, path, 'package.json'))) return path
    if (at === '') return undefined
  }
}

const byText = (a, b) => (a < b ? -1 : a > b ? 1 : 0)

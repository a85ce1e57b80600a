import { chmodSync, cpSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { basename, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'

/** Top of the repository. */
export const root = resolve(fileURLToPath(new URL('.', import.meta.url)), '../..')

export const ownPackage = () => JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))

export function writePackage(folder, content) {
  writeFileSync(join(folder, 'package.json'), `${JSON.stringify(content, null, 2)}\n`)
}

/** Copies what is built and these packages, without what no running program reads. Ends the process where nothing is built. */
export function copyProgram(to, packages) {
  if (Number.parseInt(process.versions.node, 10) >= 24) {
    process.stderr.write('Make packages with Node 20 or 22: the database in them is compiled for those.\n')
    process.exit(1)
  }
  if (!existsSync(join(root, 'dist/web/index.html'))) {
    process.stderr.write('dist/ is missing: run `npm run build` first.\n')
    process.exit(1)
  }
  mkdirSync(to, { recursive: true })
  cpSync(join(root, 'dist'), join(to, 'dist'), { recursive: true, filter: isNeeded })
  for (const path of packages) {
    const from = join(root, path)
    // A package inside of another one's folder comes by itself, so that only what is listed goes in.
    const filter = (file) => isNeeded(file) && (file === from || basename(file) !== 'node_modules')
    cpSync(from, join(to, path), { recursive: true, filter })
  }
  for (const path of filesBelow(to))
    chmodSync(path, path.endsWith('/dist/daemon/cli/brumal.js') ? 0o755 : 0o644)
}

/** Neither types nor maps, nor the sources and leftovers of the database's compiling; of texts the licences. */
function isNeeded(file) {
  const path = file.slice(root.length + 1)
  const inDatabase = /^node_modules\/better-sqlite3\/(.+)$/.exec(path)?.[1]
  if (inDatabase !== undefined) {
    return /^(?:package\.json|LICENSE|lib(?:\/.*)?|build|build\/Release|build\/Release\/better_sqlite3\.node)$/.test(
      inDatabase,
    )
  }
  if (/(?:^|\/)(?:licen[cs]e|copying|notice)[^/]*$/i.test(path)) return true
  return !/\.(?:map|d\.[cm]?ts|[cm]?ts|md|markdown|tsbuildinfo)$/i.test(path) && !/\/\./.test(path)
}

function filesBelow(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name))
}

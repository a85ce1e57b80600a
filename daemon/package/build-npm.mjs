// npm run package:npm [-- --out <folder>]
// Builds brumal-<version>.tgz for `npm install --global`. Its packages travel inside of it, so that whoever installs it
// runs the very versions that were tested: a lock does not count where a package is installed, nor do its `overrides`.
// The database alone is fetched and compiled, or fetched ready-made, by the npm that installs it.
import { execFileSync } from 'node:child_process'
import { copyFileSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { copyProgram, ownPackage, root, writePackage } from './program.mjs'
import { compiled, lockedDependencies, productionPackages } from './production-packages.mjs'

const { values: asked } = parseArgs({ options: { out: { type: 'string', default: root } } })
const stage = mkdtempSync(join(tmpdir(), 'brumal-npm-'))
try {
  copyProgram(stage, productionPackages([compiled]))
  for (const name of ['README.md', 'LICENSE']) copyFileSync(join(root, name), join(stage, name))
  const { name, version, description, license, type, bin, engines, files } = ownPackage()
  const dependencies = lockedDependencies()
  const bundleDependencies = Object.keys(dependencies).filter((dependency) => dependency !== compiled)
  const own = { name, version, description, license, type, private: true, engines, bin, files }
  writePackage(stage, { ...own, dependencies, bundleDependencies })
  const out = resolve(asked.out)
  mkdirSync(out, { recursive: true })
  const packing = ['pack', '--ignore-scripts', '--silent', '--pack-destination', out]
  const file = execFileSync('npm', packing, { cwd: stage, encoding: 'utf8' }).trim()
  process.stdout.write(`${join(out, file)}\n`)
} finally {
  rmSync(stage, { recursive: true, force: true })
}

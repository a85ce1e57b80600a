// npm run package:deb [-- --out <folder>] [-- --version <version>] [-- --quick]
// Builds brumal_<version>_<arch>.deb with nothing but dpkg-deb, from what is built and installed here. The compiled
// database goes in, so a package is for this processor and for this Node's major version.
import { execFileSync } from 'node:child_process'
import { chmodSync, copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { copyProgram, ownPackage, root, writePackage } from './program.mjs'
import { productionPackages } from './production-packages.mjs'

const here = fileURLToPath(new URL('.', import.meta.url))
const { values: asked } = parseArgs({
  options: {
    out: { type: 'string', default: root },
    version: { type: 'string' },
    // Without compressing: for tests.
    quick: { type: 'boolean', default: false },
  },
})
const source = ownPackage()
const version = asked.version ?? source.version
const arch = execFileSync('dpkg', ['--print-architecture'], { encoding: 'utf8' }).trim()
const major = Number(process.versions.node.split('.')[0])

const stage = mkdtempSync(join(tmpdir(), 'brumal-deb-'))
try {
  chmodSync(stage, 0o755)
  const program = join(stage, 'usr/lib/brumal')
  copyProgram(program, productionPackages())
  const { name, description, license, type, bin } = source
  writePackage(program, { name, version, description, license, type, bin, private: true })
  put('brumal.service', 'usr/lib/systemd/system/brumal.service', 0o644)
  put('brumal.yaml', 'etc/brumal/brumal.yaml', 0o640)
  put('debian/brumal.sh', 'usr/bin/brumal', 0o755)
  putDocuments()
  putControl(program)
  mkdirSync(asked.out, { recursive: true })
  const file = join(asked.out, `brumal_${version}_${arch}.deb`)
  const packing = asked.quick ? ['-Znone'] : []
  execFileSync('dpkg-deb', ['--root-owner-group', ...packing, '--build', stage, file], { stdio: 'pipe' })
  process.stdout.write(`${file}\n`)
} finally {
  rmSync(stage, { recursive: true, force: true })
}

function putDocuments() {
  const doc = join(stage, 'usr/share/doc/brumal')
  mkdirSync(doc, { recursive: true })
  copyFileSync(join(root, 'README.md'), join(doc, 'README.md'))
  const license = readFileSync(join(root, 'LICENSE'), 'utf8')
  const others = 'The packages below /usr/lib/brumal/node_modules each carry their own licence.\n'
  writeFileSync(join(doc, 'copyright'), `${license}\n${others}`)
}

function putControl(program) {
  const kilobytes = Number(execFileSync('du', ['-sk', stage], { encoding: 'utf8' }).split('\t')[0])
  const control = {
    Package: 'brumal',
    Version: version,
    Architecture: arch,
    Maintainer: 'Brumal <brumal@brumal.example>',
    // systemd brings systemd-notify; without it the watchdog would hear nothing.
    Depends: `${nodeFor(program)}, systemd, init-system-helpers, passwd, util-linux`,
    Section: 'misc',
    Priority: 'optional',
    'Installed-Size': kilobytes,
    Description: `${source.description}\n It runs as a service of its own user; the page is on port 8420, the broker on 1883.`,
  }
  const folder = join(stage, 'DEBIAN')
  mkdirSync(folder)
  const text = Object.entries(control).map(([key, value]) => `${key}: ${value}\n`)
  writeFileSync(join(folder, 'control'), text.join(''))
  writeFileSync(join(folder, 'conffiles'), '/etc/brumal/brumal.yaml\n')
  for (const name of ['preinst', 'postinst', 'prerm', 'postrm'])
    put(`debian/${name}.sh`, `DEBIAN/${name}`, 0o755)
}

/** The compiled database fits the major version that it was compiled for and no other: it would not load. */
function nodeFor(program) {
  const made = join(program, 'node_modules/better-sqlite3')
  execFileSync(process.execPath, ['-e', `new (require(${JSON.stringify(made)}))(':memory:').close()`], {
    cwd: program,
    stdio: 'pipe',
  })
  // See abortsByItself in daemon/sqlite/not-compiled.ts: such a package would guard nobody for longer than minutes.
  if (readFileSync(join(made, 'build/Release/better_sqlite3.node')).includes('RemoveEnvironmentCleanupHook'))
    throw new Error(
      'The database was compiled with the headers of Node 24.19 or newer: build the package with Node 22.',
    )
  const oldest = major === 20 ? source.engines.node.replace(/^>=/, '') : `${major}`
  return `nodejs (>= ${oldest}), nodejs (<< ${major + 1}~)`
}

function put(from, to, mode) {
  const path = join(stage, to)
  mkdirSync(dirname(path), { recursive: true })
  copyFileSync(join(here, from), path)
  chmodSync(path, mode)
}

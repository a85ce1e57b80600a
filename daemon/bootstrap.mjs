// Plain JavaScript on purpose: this runs before anything is installed, so it may import from `node:` only.
import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  accessSync,
  constants as access,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { constants, tmpdir } from 'node:os'
import { delimiter, dirname, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'

const root = fileURLToPath(new URL('..', import.meta.url))
const program = join(root, 'dist/daemon/cli/brumal.js')
const installStamp = join(root, 'node_modules/.brumal-installed')
const buildStamp = join(root, 'dist/.built-from')

/** Everything that the built program is made from. */
const sources = ['daemon', 'schemas', 'shared', 'web', 'tsconfig.json', 'package-lock.json']

/** The oldest Node that the packages run on. */
const oldestNode = [20, 20]

/** Tried with the whole of the tests. */
const databaseOf24 = '13.2.0'

const endings = ['SIGINT', 'SIGTERM', 'SIGHUP']

const [task, ...args] = process.argv.slice(2)
const tasks = { start, test, build: () => install().then(build) }
try {
  const [major, minor] = process.versions.node.split('.').map(Number)
  if (major < oldestNode[0] || (major === oldestNode[0] && minor < oldestNode[1])) {
    refuse(`Brumal needs Node ${oldestNode.join('.')} or newer; this is Node ${process.versions.node}.`)
  }
  if (!Object.hasOwn(tasks, task)) refuse('Use: node daemon/bootstrap.mjs start|test|build [arguments]', 64)
  await tasks[task](args)
} catch (error) {
  if (error.exitCode === undefined) throw error
  process.stderr.write(`${error.message}\n`)
  process.exitCode = error.exitCode
}

async function start(extra) {
  await makeReady()
  // In this same process: signals reach the daemon directly, its exit code is ours, and a small board keeps the memory.
  process.argv = [process.argv[0], program, ...extra]
  await import(pathToFileURL(program).href)
}

async function makeReady() {
  await install()
  if (read(buildStamp) !== fingerprint(sources) || !existsSync(program)) await build()
}

/** Installs the locked packages unless they are there already, made for this Node. */
async function install() {
  const wanted = `${fingerprint(['package-lock.json'])} abi ${process.versions.modules}`
  if (read(installStamp) === wanted) return
  if (read(installStamp) !== null || !isInstalledByHand()) {
    say('Installing packages (first time, about two minutes) …')
    // Development packages hold the compiler, so they are asked for even where NODE_ENV is production.
    if ((await npm(['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'])) !== 0) {
      refuse('Installing packages failed. On Debian, compiling needs: apt-get install python3 make g++')
    }
  }
  await fitDatabase()
  writeFileSync(installStamp, wanted)
}

/**
 * The locked better-sqlite3 12 takes Node 20; compiled with the headers of Node 24.19 or newer it ends the process every
 * few minutes (`daemon/sqlite/not-compiled.ts`). Its next version does not, brings its compiled part along, and takes no
 * Node 20. It comes with what it needs inside of it, so that every other package stays as it is locked.
 */
async function fitDatabase() {
  if (Number.parseInt(process.versions.node, 10) < 24) return
  const own = join(root, 'node_modules/better-sqlite3')
  const { version } = JSON.parse(read(join(own, 'package.json')) ?? '{}')
  if (version === databaseOf24) return
  say('Fetching the database for this Node …')
  const apart = mkdtempSync(join(root, 'node_modules/.database-')) // on the disk where it is moved
  try {
    const quietly = ['--no-audit', '--no-fund', '--loglevel=error']
    if ((await npm(['install', '--prefix', apart, `better-sqlite3@${databaseOf24}`, ...quietly])) !== 0)
      refuse('Fetching the database for Node 24 failed. Node 22 takes the one that is locked.')
    const [all, next] = [join(apart, 'node_modules'), join(apart, 'node_modules/better-sqlite3')]
    mkdirSync(join(next, 'node_modules'), { recursive: true })
    for (const name of readdirSync(all))
      if (name !== 'better-sqlite3' && !name.startsWith('.'))
        renameSync(join(all, name), join(next, 'node_modules', name))
    rmSync(own, { recursive: true, force: true })
    renameSync(next, own)
  } finally {
    rmSync(apart, { recursive: true, force: true })
  }
}

/** True when somebody ran `npm ci`: npm keeps a copy of the lock in node_modules once every install script has run. */
function isInstalledByHand() {
  const copy = read(join(root, 'node_modules/.package-lock.json'))
  if (copy === null) return false
  const there = JSON.parse(copy).packages
  const locked = Object.entries(JSON.parse(read(join(root, 'package-lock.json')) ?? '{}').packages ?? {})
  return (
    existsSync(join(root, 'node_modules/better-sqlite3/build/Release/better_sqlite3.node')) &&
    locked.every(([path, { version, optional }]) => {
      return path === '' || optional === true || there[path]?.version === version
    })
  )
}

/** Compiles into a folder of its own and swaps it in, so that a failed build leaves the last good one alone. */
async function build() {
  const compiler = join(root, 'node_modules/typescript/bin/tsc')
  if (!existsSync(compiler)) {
    refuse('The compiler is missing: install with the development packages (npm ci --include=dev).')
  }
  const made = fingerprint(sources)
  const next = join(root, `dist.next-${process.pid}`)
  const old = join(root, `dist.old-${process.pid}`)
  try {
    say('Building the daemon …')
    const daemon = ['-p', 'daemon/tsconfig.build.json', '--outDir', next, '--incremental', 'false']
    if ((await node(compiler, daemon)) !== 0) refuse('Building the daemon failed: see the lines above.')
    for (const name of readdirSync(join(root, 'shared/words')).filter((one) => one.endsWith('.json')))
      copyFileSync(join(root, 'shared/words', name), join(next, 'shared/words', name))
    say('Building the web page …')
    const vite = join(root, 'node_modules/vite/bin/vite.js')
    const page = ['build', '-c', 'web/vite.config.ts', '--outDir', join(next, 'web'), '--logLevel', 'warn']
    if ((await node(vite, page)) !== 0) refuse('Building the web page failed: see the lines above.')
    const notices = join(root, 'daemon/notices/write-notices.mjs')
    if ((await node(notices, [next])) !== 0) refuse('Writing the notices failed: see the lines above.')
    writeFileSync(join(next, '.built-from'), made)
    if (existsSync(join(root, 'dist'))) renameSync(join(root, 'dist'), old)
    renameSync(next, join(root, 'dist'))
  } finally {
    rmSync(next, { recursive: true, force: true })
    rmSync(old, { recursive: true, force: true })
  }
}

/** Runs the tests and ends with one plain line of counts. Fails also when no test ran. */
async function test(extra) {
  await makeReady()
  const folder = mkdtempSync(join(tmpdir(), 'brumal-test-'))
  const report = join(folder, 'report.json')
  try {
    const vitest = join(root, 'node_modules/vitest/vitest.mjs')
    const reporters = [
      '--reporter=default',
      '--reporter=./tests/support/second-try.ts',
      '--reporter=json',
      `--outputFile.json=${report}`,
    ]
    const code = await node(vitest, ['run', '--config', 'tests/vitest.config.ts', ...reporters, ...extra])
    const counts = countTests(read(report))
    const missing = missingPeers()
    if (counts.skipped > 0 && missing.length > 0) {
      const names = missing.join(' and ')
      say(`Left out: tests that need ${names}. To run them on Debian: apt-get install ${missing.join(' ')}`)
    }
    if (counts.passed + counts.failed === 0) say('No test ran.')
    else if (code !== 0 && counts.failed === 0) say('The run failed outside a test: see the lines above.')
    const skipped = counts.skipped > 0 ? `, ${counts.skipped} skipped` : ''
    say(`${counts.passed} passed, ${counts.failed} failed${skipped}`)
    process.exitCode = code !== 0 || counts.failed > 0 || counts.passed === 0 ? 1 : 0
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** A test file that failed without any failed test in it (it could not be loaded) counts as one failure. */
function countTests(report) {
  const counts = { passed: 0, failed: 0, skipped: 0 }
  for (const file of report === null ? [] : JSON.parse(report).testResults) {
    const states = file.assertionResults.map((result) => result.status)
    const failed = states.filter((state) => state === 'failed').length
    counts.passed += states.filter((state) => state === 'passed').length
    counts.failed += file.status === 'failed' ? Math.max(1, failed) : failed
    counts.skipped += states.filter((state) => state !== 'failed' && state !== 'passed').length
  }
  return counts
}

/** Debian packages of the programs that some tests run against, where those are not installed. */
function missingPeers() {
  const programs = { mosquitto: 'mosquitto', chromium: 'chromium', systemd: 'systemd-notify' }
  const folders = [...(process.env['PATH'] ?? '').split(delimiter), '/usr/sbin']
  return Object.keys(programs).filter(
    (name) => !folders.some((folder) => isProgram(join(folder, programs[name]))),
  )
}

function isProgram(path) {
  try {
    accessSync(path, access.X_OK)
    return true
  } catch {
    return false // absent, or not ours to run: either way the tests cannot use it
  }
}

/** Hash over names and contents: a fresh checkout of the same sources needs no new build. */
function fingerprint(names) {
  const hash = createHash('sha256')
  for (const name of names) {
    for (const path of filesIn(join(root, name))) hash.update(`${path}\0${read(path)}\0`)
  }
  return hash.digest('hex')
}

/** The file itself, or every file below the folder; none when there is nothing of that name. */
function filesIn(path) {
  if (!existsSync(path)) return []
  if (!statSync(path).isDirectory()) return [path]
  return readdirSync(path, { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => (entry.isDirectory() ? filesIn(join(path, entry.name)) : [join(path, entry.name)]))
}

function read(path) {
  return existsSync(path) ? readFileSync(path, 'utf8') : null
}

function node(script, scriptArgs) {
  return run(process.execPath, [script, ...scriptArgs])
}

/** The npm that started us when there is one, else the one on the path. */
function npm(npmArgs) {
  const running = process.env['npm_execpath']
  return running?.endsWith('.js')
    ? run(process.execPath, [running, ...npmArgs], withHeaders())
    : run('npm', npmArgs, withHeaders())
}

/** Compiles against the headers that came with this very Node, where they are: nothing to fetch, and never another's. */
function withHeaders() {
  const prefix = dirname(dirname(process.execPath))
  const has = existsSync(join(prefix, 'include', 'node', 'node.h'))
  return has && process.env['npm_config_nodedir'] === undefined
    ? { ...process.env, npm_config_nodedir: prefix }
    : process.env
}

/** Resolves with the exit code. A signal to us ends the child first and then the task: nothing is left running. */
function run(command, commandArgs, env = process.env) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, commandArgs, { cwd: root, stdio: 'inherit', env })
    let signalled = null
    const pass = (signal) => {
      signalled = signal
      child.kill(signal)
    }
    for (const signal of endings) process.on(signal, pass)
    child.on('error', (cause) => reject(new Error(`cannot run ${command}`, { cause })))
    child.on('exit', (code) => {
      for (const signal of endings) process.off(signal, pass)
      if (signalled === null) resolve(code ?? 1)
      else reject(asRefusal('Interrupted.', 128 + constants.signals[signalled]))
    })
  })
}

function say(sentence) {
  process.stdout.write(`${sentence}\n`)
}

/** Ends the task with one plain sentence instead of a stack. */
function refuse(sentence, exitCode) {
  throw asRefusal(sentence, exitCode)
}

function asRefusal(sentence, exitCode = 1) {
  return Object.assign(new Error(sentence), { exitCode })
}

// npm run test:node -- <version, such as 22, 24 or 20.19.2> [--keep] [test files and options of vitest]
// Runs the tests on another Node than the one here, in a copy of this tree. That Node comes as an npm package, with its
// headers: without npm_config_nodedir the database would be compiled against those of the Node that runs npm, and the
// module would load by luck or not at all. With --keep the copy and what is installed in it stay for the next time.
import { execFileSync, spawnSync } from 'node:child_process'
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { root } from './program.mjs'

const [version, ...words] = process.argv.slice(2)
const rest = words.filter((word) => word !== '--keep')
const arch = { x64: 'x64', arm64: 'arm64', arm: 'armv7l' }[process.arch]
if (!/^\d+(?:\.\d+){0,2}$/.test(version ?? '') || process.platform !== 'linux' || arch === undefined) {
  process.stderr.write(
    'Use, on Linux: npm run test:node -- <version of Node, such as 22> [--keep] [test files]\n',
  )
  process.exit(64)
}

const scratch = join(tmpdir(), `brumal-on-node-${version}`)
const tree = join(scratch, 'tree')
const node = join(scratch, 'node/node_modules', `node-linux-${arch}`)
try {
  if (!existsSync(join(node, 'bin/node'))) fetchNode()
  if (!existsSync(join(node, 'include/node/node.h'))) throw new Error('That Node comes without its headers.')
  process.exitCode = runTests()
} finally {
  if (rest.length === words.length) rmSync(scratch, { recursive: true, force: true })
}

function fetchNode() {
  const held = join(scratch, 'node')
  mkdirSync(held, { recursive: true })
  const quietly = ['--no-audit', '--no-fund', '--ignore-scripts', '--no-save']
  execFileSync('npm', ['install', '--prefix', held, ...quietly, `node-linux-${arch}@${version}`], {
    stdio: 'inherit',
  })
}

function runTests() {
  const env = { ...process.env, PATH: `${node}/bin:${process.env.PATH}`, npm_config_nodedir: node }
  // npm passes itself on to what it starts, and it would be the other Node's.
  for (const name of ['npm_execpath', 'npm_node_execpath', 'NODE']) delete env[name]
  const run = (command, args) => spawnSync(command, args, { cwd: tree, env, stdio: 'inherit' }).status ?? 1
  copyTree()
  run('node', ['-p', '`Node ${process.version}, modules ${process.versions.modules}`'])
  const lock = readFileSync(join(tree, 'package-lock.json'), 'utf8')
  const isInstalled =
    read(join(tree, 'node_modules/.brumal-installed')) !== null && read(join(scratch, 'lock')) === lock
  const installed = isInstalled ? 0 : run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error'])
  if (installed !== 0) return installed
  copyFileSync(join(tree, 'package-lock.json'), join(scratch, 'lock'))
  return run('node', ['daemon/bootstrap.mjs', 'test', ...rest])
}

/** What git knows or would add, over what an earlier run left, but for what is installed and built. */
function copyTree() {
  for (const name of existsSync(tree) ? readdirSync(tree) : [])
    if (name !== 'node_modules' && name !== 'dist') rmSync(join(tree, name), { recursive: true })
  const listed = execFileSync('git', ['ls-files', '-co', '--exclude-standard', '-z'], {
    cwd: root,
  }).toString()
  for (const path of listed.split('\0').filter((name) => name !== '' && existsSync(join(root, name)))) {
    mkdirSync(dirname(join(tree, path)), { recursive: true })
    copyFileSync(join(root, path), join(tree, path))
  }
}

function read(path) {
  return existsSync(path) ? readFileSync(path, 'utf8') : null
}

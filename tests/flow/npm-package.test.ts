import { type ChildProcess, execFileSync, spawn, spawnSync } from 'node:child_process'
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { cannotPack } from '../support/packing-node.ts'
import { until } from '../support/until.ts'

const root = new URL('../..', import.meta.url).pathname
const compiled = 'node_modules/better-sqlite3/build/Release/better_sqlite3.node'

describe.skipIf(cannotPack !== null)(`installed as an npm package ${cannotPack ?? ''}`, () => {
  let folder: string
  let packed: string
  /** What it said to being started before the database was compiled. */
  let uncompiled: { readonly status: number | null; readonly stderr: string }
  let daemon: ChildProcess | null = null
  beforeAll(() => {
    // In memory: thousands of small files, which a slow disk takes its time for.
    const above = existsSync('/dev/shm') ? '/dev/shm' : tmpdir()
    folder = mkdtempSync(join(above, 'brumal-npm-'))
    const builder = join(root, 'daemon/package/build-npm.mjs')
    packed = execFileSync(process.execPath, [builder, '--out', folder], {
      encoding: 'utf8',
      env: { ...process.env, TMPDIR: above },
    }).trim()
    // Compiling the database takes minutes and is npm's business: the one that is compiled here is put in its place.
    const quickly = ['--ignore-scripts', '--no-audit', '--no-fund', '--prefer-offline', '--silent']
    execFileSync('npm', ['install', '--prefix', join(folder, 'installed'), ...quickly, packed], {
      stdio: 'pipe',
    })
    uncompiled = spawnSync(program(), { cwd: folder, encoding: 'utf8' })
    mkdirSync(join(folder, 'installed', compiled, '..'), { recursive: true })
    cpSync(join(root, compiled), join(folder, 'installed', compiled))
  }, 240_000)
  afterAll(() => {
    daemon?.kill('SIGKILL')
    rmSync(folder, { recursive: true, force: true })
  })

  const program = () => join(folder, 'installed/node_modules/.bin/brumal')
  const brumal = (...args: string[]) => {
    const { status, stdout } = spawnSync(program(), args, { cwd: folder, encoding: 'utf8' })
    return { code: status, out: stdout.trim() }
  }

  test('the package holds the program and its page, and neither tests nor sources nor maps', () => {
    const names = execFileSync('tar', ['tf', packed], { encoding: 'utf8' }).trim().split('\n')
    expect(names).toEqual(expect.arrayContaining(['package/dist/web/index.html', 'package/README.md']))
    const own = names.filter((name) => !name.startsWith('package/node_modules/'))
    expect(own.filter((name) => /\.(?:map|tsx?)$|\/tests\/|\/fixtures\//.test(name))).toEqual([])
  })

  test('what is installed with it are the very versions that were tested', () => {
    const all = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as {
      packages: Record<string, { version: string } | undefined>
    }
    for (const name of ['fastify', 'aedes', 'content-disposition', '@fastify/static']) {
      const path = join(folder, 'installed/node_modules/brumal/node_modules', name, 'package.json')
      const { version } = JSON.parse(readFileSync(path, 'utf8')) as { version: string }
      expect([name, version]).toEqual([name, all.packages[`node_modules/${name}`]?.version])
    }
  })

  test('with the database not compiled, as npm leaves it unasked, it says so in one line and what to do', () => {
    expect(uncompiled.status).toBe(1)
    expect(uncompiled.stderr).toMatch(
      /^brumal: The database is not compiled for this Node, v[\d.]+: run npm rebuild .*\.\n$/,
    )
  })

  test('installed, it says its version, checks its settings, and watches', { timeout: 60_000 }, async () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { version: string }
    expect(brumal('--version')).toEqual({ code: 0, out: version })
    expect(brumal('check').code).toBe(0)

    const env = {
      ...process.env,
      BRUMAL_HTTP_PORT: '0',
      BRUMAL_MQTT_PORT: '0',
      BRUMAL_HTTP_HOST: '127.0.0.1',
    }
    daemon = spawn(program(), { cwd: folder, env, stdio: ['ignore', 'pipe', 'pipe'] })
    let printed = ''
    for (const stream of [daemon.stdout, daemon.stderr])
      stream?.on('data', (chunk: Buffer) => (printed += chunk.toString()))
    const port = () => /http:\/\/localhost:(\d+)/.exec(printed)?.[1]
    await until(() => port() !== undefined || daemon?.exitCode !== null, 'its page', 45_000)
    expect(printed).toMatch(/set-up code\s+[0-9A-Z-]{14}/)
    const page = await fetch(`http://127.0.0.1:${port()}/`)
    expect([page.status, await page.text()]).toEqual([200, expect.stringContaining('<!doctype html>')])
    const ended = new Promise((resolve) => daemon?.once('exit', resolve))
    daemon.kill('SIGTERM')
    expect(await ended).toBe(0)
  })
})

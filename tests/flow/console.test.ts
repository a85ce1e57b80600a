import { spawn } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { hashPassword, passwordFits } from '../../daemon/http/doors/password.ts'
import { lockFolder } from '../../daemon/sqlite/lock-folder.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { instant } from '../../schemas/amounts.ts'
import type { PersonId } from '../../schemas/ids.ts'
import { brumal, built } from '../support/brumal.ts'
import { root } from '../support/repository.ts'
import { until } from '../support/until.ts'

let folder: string
let data: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'brumal-console-'))
  data = join(folder, 'data')
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const run = (...args: string[]) => brumal(args, { BRUMAL_DATA: data, BRUMAL_SETTINGS: '' })

describe('the executable', () => {
  test.each([
    [['--version'], /^\d+\.\d+\.\d+\n$/],
    [['--help'], /^Usage: brumal /],
    ...['run', 'practice', 'check', 'replay', 'simulate', 'export', 'report', 'import', 'password'].map(
      (name): [string[], RegExp] => [[name, '--help'], new RegExp(`^Usage: brumal ${name} `)],
    ),
  ])('%j answers on stdout and ends with 0', async (args, expected) => {
    const { code, out, err } = await run(...args)
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(expected)
  })

  test.each([
    [['rnu'], /^brumal: there is no command rnu \(see brumal --help\)\n$/],
    [['--loud'], /^brumal: unknown option '--loud'\n$/],
    [['check', 'x'], /^brumal: too many arguments for 'check'/],
    [['import'], /^brumal: give exactly one of a household file, --readings, --undo and --list\n$/],
    [['replay', '--readings', 'x.csv'], /^brumal: give exactly one of --rules and --household\n$/],
  ])('%j is wrong use: 64, and one sentence on stderr', async (args, sentence) => {
    const { code, out, err } = await run(...args)
    expect({ code, out }).toEqual({ code: 64, out: '' })
    expect(err).toMatch(sentence)
  })

  test('bad settings end with 78 whatever was asked, every mistake on a line of its own', async () => {
    const file = join(folder, 'bad.yaml')
    writeFileSync(file, 'http:\n  port: x\nlogLevel: loud\n')
    for (const command of [[], ['check'], ['export'], ['import', 'x.yaml'], ['password']]) {
      const { code, out, err } = await run(...command, '--settings', file)
      expect({ code, out }).toEqual({ code: 78, out: '' })
      expect(err.trim().split('\n')).toEqual([
        `${file}:3: logLevel: expected one of fatal, error, warn, info, debug, trace, silent`,
        `${file}:2: http.port: expected a number`,
      ])
    }
  })

  test('nothing to export, nobody to give a password: 1, one sentence, and no folder is made', async () => {
    expect(await run('export')).toEqual({
      code: 1,
      out: '',
      err: `brumal: there is no household in ${data} yet\n`,
    })
    expect(await run('password')).toMatchObject({
      code: 1,
      err: `brumal: nobody can sign in to ${data} yet\n`,
    })
    expect(existsSync(data)).toBe(false)
  })
})

describe('npm start', () => {
  /** As a terminal's Ctrl-C and a supervisor do: to npm and all that it has started, at once. */
  test.each(['SIGINT', 'SIGTERM'] as const)('ends in good order on %s to its whole group', async (signal) => {
    const own = join(folder, `group-${signal}`)
    const child = spawn('npm', ['start'], {
      cwd: root,
      detached: true,
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, BRUMAL_DATA: own, BRUMAL_HTTP_PORT: '0', BRUMAL_MQTT_PORT: '0' },
    })
    const group = -(child.pid ?? 0)
    let said = ''
    child.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()))
    const ended = new Promise((resolve) => child.once('close', (code, by) => resolve(code ?? by)))
    try {
      await until(async () => said.includes('Brumal is watching'), 'npm start to be watching', 15_000)
      process.kill(group, signal)
      expect(await ended).toBe(0)
      expect(() => process.kill(group, 0)).toThrow('ESRCH')
    } finally {
      if (child.exitCode === null && child.signalCode === null) process.kill(group, 'SIGKILL')
    }
    const store = sqliteStore(openDatabase(own))
    try {
      expect(store.journal({ limit: 1 }).map(({ kind }) => kind)).toEqual(['stopped'])
    } finally {
      store.close()
    }
  })
})

describe('import and export', () => {
  const text = `version: 1
name: Winter house
timeZone: Europe/Vienna
places:
  - { id: fridge, name: Fridge, kind: fridge }
`
  test('a household goes in, comes out the same, and the journal says so', async () => {
    const [first, second] = [join(folder, 'first.yaml'), join(folder, 'second.yaml')]
    writeFileSync(first, text)
    expect(await run('import', first)).toEqual({
      code: 0,
      out: 'Imported Winter house: 1 place, 0 sensors, 0 animals.\n',
      err: '',
    })
    expect(await run('export', '--out', second)).toEqual({ code: 0, out: '', err: '' })
    expect((await run('import', second)).code).toBe(0)
    expect((await run('export')).out).toBe(readFileSync(second, 'utf8'))
    const store = sqliteStore(openDatabase(data))
    try {
      expect(store.journal({ limit: 9 }).map(({ kind }) => kind)).toEqual(['changed', 'changed'])
    } finally {
      store.close()
    }
  })

  test('a wrong household changes nothing', async () => {
    const before = (await run('export')).out
    const wrong = join(folder, 'wrong.yaml')
    writeFileSync(wrong, `${text}animals: 5\n`)
    const { code, err } = await run('import', wrong)
    expect({ code, err }).toEqual({ code: 1, err: `${wrong}:6: animals: expected a list\n` })
    expect(await run('import', join(folder, 'absent.yaml'))).toMatchObject({ code: 1, out: '' })
    expect((await run('export')).out).toBe(before)
  })

  test('report writes the winter as a page, of one animal or of all; what is not there is one sentence', async () => {
    const withJuno = join(folder, 'juno.yaml')
    writeFileSync(
      withJuno,
      `${text}animals:\n  - { id: juno, name: Juno, species: testudo-hermanni, place: fridge, mode: goesDown }\n`,
    )
    expect((await run('import', withJuno)).code).toBe(0)
    const page = join(folder, 'winter.html')
    expect(await run('report', '--season', '2026/27', '--out', page)).toEqual({ code: 0, out: '', err: '' })
    expect(readFileSync(page, 'utf8')).toContain('<h1>Winter house, winter 2026/27</h1>')
    expect((await run('report', '--animal', 'juno')).out).toContain('Hermann&#39;s tortoise')
    expect(await run('report', '--animal', 'pebble')).toMatchObject({
      code: 1,
      out: '',
      err: 'brumal: There is no animal pebble.\n',
    })
    expect(await run('report', '--season', '2026/28')).toMatchObject({ code: 1, out: '' })
    expect((await run('import', join(folder, 'first.yaml'))).code).toBe(0)
  })

  test('import refuses while a Brumal runs on the folder; export works', async () => {
    const lock = lockFolder(data)
    try {
      const { code, err } = await run('import', join(folder, 'first.yaml'))
      expect(code).toBe(1)
      expect(err).toMatch(/^brumal: Another Brumal is already running on /)
      expect((await run('export')).code).toBe(0)
    } finally {
      lock.release()
    }
  })
})

describe('a forgotten password', () => {
  const ada = 'ada' as PersonId
  const session = { tokenHash: 'h', person: ada, agent: '', ...times(1) }
  function times(at: number) {
    return { createdAt: instant(at), seenAt: instant(at), expiresAt: instant(Date.UTC(2999, 0, 1)) }
  }

  async function say(line: string, ...args: string[]) {
    const child = spawn(process.execPath, [built, 'password', ...args], {
      env: { ...process.env, BRUMAL_DATA: data },
    })
    let err = ''
    child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()))
    child.stdin.end(line)
    const code = await new Promise((resolve) => child.on('close', resolve))
    return { code, err }
  }

  test('X1: is replaced from the console, while the daemon has the folder too, and all sessions end', async () => {
    const db = openDatabase(data)
    try {
      const people = sqlitePeople(db)
      const passwordHash = await hashPassword('the old one is gone', randomBytes)
      people.savePerson({ id: ada, name: 'Ada', role: 'keeper', passwordHash })
      people.savePerson({ id: 'ben' as PersonId, name: 'Ben', role: 'sitter', passwordHash })
      people.saveSession(session)

      expect(await say('short\n')).toEqual({
        code: 1,
        err: 'brumal: the password is unchanged: use at least 10 characters\n',
      })
      expect(await say('')).toMatchObject({ code: 1 })
      expect(await say('a new one for Zoe\n', '--name', 'Zoe')).toEqual({
        code: 1,
        err: 'brumal: there is no Zoe among Ada, Ben\n',
      })
      expect(people.session('h')).not.toBeNull()
      expect(people.people()[0]?.passwordHash).toBe(passwordHash)

      const { code, err } = await say('deep winter sleep\n')
      expect({ code, err }).toEqual({
        code: 0,
        err: 'Ada has a new password and is signed out everywhere.\n',
      })
      const [stored, other] = people.people()
      expect(await passwordFits('deep winter sleep', stored?.passwordHash ?? '')).toBe(true)
      expect(other?.passwordHash).toBe(passwordHash)
      expect(people.session('h')).toBeNull()
    } finally {
      db.close()
    }
  })
})

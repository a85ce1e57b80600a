import { type ChildProcess, fork, spawn } from 'node:child_process'
import { once } from 'node:events'
import { cpSync, existsSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { JudgedReading } from '../../daemon/ports/store.ts'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { later, seconds } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { built } from '../support/brumal.ts'
import { report } from './report.ts'

/** As many readings as may wait for a fold before one is made out of turn (`mostUnfolded` in the house). */
const fullTable = 50_000
const sensors = 20

/**
 * From the start of the built daemon to "is watching" and an answer from `/health`, on copies of the store in `filled`:
 * as an orderly stop left it, and as `kill -9` left it with all waiting readings to be judged again. The file's pages
 * are in the machine's memory both times.
 */
export async function restart(filled: string, readings: number, rounds: number): Promise<void> {
  if (!existsSync(built)) return console.log('restart left out: dist/ is missing, run `npm run build` first')
  const orderly = mkdtempSync(join(tmpdir(), 'brumal-bench-'))
  const killed = mkdtempSync(join(tmpdir(), 'brumal-bench-'))
  try {
    cpSync(filled, orderly, { recursive: true })
    cpSync(filled, killed, { recursive: true })
    await start(orderly, 'SIGTERM') // brings the schema up to date and writes its first lines, as any run has
    const child = fork(new URL('main.ts', import.meta.url).pathname, ['--part', 'die', '--folder', killed], {
      execArgv: ['--import', 'tsx'],
    })
    const [, signal] = (await once(child, 'exit')) as [number | null, string | null]
    if (signal !== 'SIGKILL') throw new Error('the process that fills the table did not die')
    const log = statSync(join(killed, `${databaseName}-wal`)).size
    const times: Record<'orderly' | 'killed', number[]> = { orderly: [], killed: [] }
    for (let round = 0; round < rounds; round++)
      for (const [name, folder] of round % 2 === 0
        ? kinds(orderly, killed)
        : kinds(orderly, killed).reverse())
        times[name].push(await onCopy(folder))
    report('restart: spawn to judging after a stop (aim 2,000)', 'ms', readings, times.orderly)
    report(
      `restart: spawn to judging after kill -9, ${fullTable} readings waiting, log of ${(log / 1e6).toFixed(1)} MB (aim 2,000)`,
      'ms',
      readings + fullTable,
      times.killed,
    )
  } finally {
    for (const folder of [orderly, killed]) rmSync(folder, { recursive: true, force: true })
  }
}

const kinds = (orderly: string, killed: string): ['orderly' | 'killed', string][] => [
  ['orderly', orderly],
  ['killed', killed],
]

/** Commits readings newer than the last snapshot until the table is full, ten at a time, and kills itself. */
export function die(folder: string): void {
  const store = sqliteStore(openDatabase(folder))
  const last = store.span('probe-0' as SensorId, 'temperature')?.last
  if (last === undefined) throw new Error('the store is empty')
  for (let n = 0; n < fullTable; n += 10) {
    const readings = Array.from({ length: 10 }, (_, k): JudgedReading => {
      const i = n + k
      return {
        sensor: `probe-${i % sensors}` as SensorId,
        quantity: 'temperature',
        at: later(last, seconds(10) * (1 + Math.floor(i / sensors)) + (i % sensors) * 500),
        value: 5 + ((i * 7) % 5) / 16,
        quality: 'good',
      }
    })
    store.commit({ readings, journal: [] })
  }
  process.kill(process.pid, 'SIGKILL')
}

async function onCopy(folder: string): Promise<number> {
  const copy = mkdtempSync(join(tmpdir(), 'brumal-bench-'))
  try {
    cpSync(folder, copy, { recursive: true })
    return await start(copy, 'SIGKILL')
  } finally {
    rmSync(copy, { recursive: true, force: true })
  }
}

/** Milliseconds until it says that it watches and answers; then ends it. */
async function start(data: string, end: NodeJS.Signals): Promise<number> {
  const began = performance.now()
  const child = spawn(process.execPath, [built], {
    cwd: data,
    env: {
      ...process.env,
      BRUMAL_DATA: data,
      BRUMAL_HTTP_PORT: '0',
      BRUMAL_HTTP_HOST: '127.0.0.1',
      BRUMAL_MQTT_PORT: '0',
      BRUMAL_MQTT_HOST: '127.0.0.1',
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  try {
    const answer = await fetch(`http://127.0.0.1:${await portOf(child)}/health`)
    if (!answer.ok) throw new Error(`/health answered ${answer.status}`)
    return performance.now() - began
  } finally {
    if (child.exitCode === null && child.signalCode === null) {
      const gone = once(child, 'exit')
      child.kill(end)
      await gone
    }
  }
}

function portOf(child: ChildProcess): Promise<string> {
  let output = ''
  return new Promise((resolve, reject) => {
    const hear = (chunk: Buffer) => {
      output += chunk.toString()
      const port = /is watching: http:\/\/localhost:(\d+)/.exec(output)?.[1]
      if (port !== undefined) resolve(port)
    }
    child.stdout?.on('data', hear)
    child.stderr?.on('data', hear)
    child.once('exit', (code) => reject(new Error(`the daemon ended with ${code}:\n${output}`)))
  })
}

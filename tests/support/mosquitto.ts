import { spawn } from 'node:child_process'
import type { ChildProcess } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { connect, createServer } from 'node:net'
import type { AddressInfo } from 'node:net'
import { tmpdir, userInfo } from 'node:os'
import { join } from 'node:path'
import { until } from './until.ts'

const program = ['/usr/sbin/mosquitto', '/usr/local/sbin/mosquitto', '/usr/local/bin/mosquitto'].find(
  (path) => existsSync(path),
)

/** Why tests against Mosquitto are left out, or null. With BRUMAL_REQUIRE_PEERS=1 they run, and fail without it. */
export const mosquittoMissing: string | null =
  program === undefined && process.env['BRUMAL_REQUIRE_PEERS'] !== '1' ? 'Mosquitto is not installed' : null

export interface Mosquitto {
  readonly url: string
  readonly port: number
  /** Temporary; goes with `stop` unless it was given. */
  readonly folder: string
  /** Ends it in good order (SIGTERM: it saves its sessions) and removes the temporary folder. */
  stop(): Promise<void>
  /** SIGTERM, then the same again on the same port. */
  restart(): Promise<void>
  /** SIGKILL; `restart` brings it back. */
  kill(): Promise<void>
  /** SIGHUP: reads the password file and the like anew. */
  reload(): void
}

/**
 * Starts a real Mosquitto on 127.0.0.1 with a configuration of its own. `config` lines follow its first listener.
 * Nameless clients are let in unless a line says otherwise. Sessions are kept over a restart.
 */
export async function startMosquitto(
  given: { readonly config?: readonly string[]; readonly port?: number; readonly folder?: string } = {},
): Promise<Mosquitto> {
  const executable = program
  if (executable === undefined) throw new Error('Mosquitto is not installed')
  const port = given.port ?? (await freePort())
  const folder = given.folder ?? mkdtempSync(join(tmpdir(), 'brumal-mosquitto-'))
  const lines = given.config ?? []
  const file = join(folder, 'mosquitto.conf')
  writeFileSync(
    file,
    [
      `user ${userInfo().username}`,
      'persistence true',
      `persistence_location ${folder}/`,
      'log_type error',
      'log_type warning',
      `listener ${port} 127.0.0.1`,
      ...(lines.some((line) => line.startsWith('allow_anonymous')) ? [] : ['allow_anonymous true']),
      ...lines,
      '',
    ].join('\n'),
  )
  let said = ''
  let child: ChildProcess | null = null

  async function run(): Promise<void> {
    const started = spawn(executable as string, ['-c', file], { stdio: ['ignore', 'pipe', 'pipe'] })
    child = started
    started.stdout.on('data', (text: Buffer) => (said += text.toString()))
    started.stderr.on('data', (text: Buffer) => (said += text.toString()))
    await until(async () => {
      if (started.exitCode !== null) throw new Error(`Mosquitto ended at once: ${said}`)
      return answers(port)
    }, `Mosquitto on port ${port}: ${said}`)
  }

  async function end(signal: 'SIGTERM' | 'SIGKILL'): Promise<void> {
    const running = child
    child = null
    if (!running || running.exitCode !== null || running.signalCode !== null) return
    const exited = new Promise((resolve) => running.once('exit', resolve))
    running.kill(signal)
    await exited
  }

  await run()
  return {
    url: `mqtt://127.0.0.1:${port}`,
    port,
    folder,
    async stop() {
      await end('SIGTERM')
      if (given.folder === undefined) rmSync(folder, { recursive: true, force: true })
    },
    async restart() {
      await end('SIGTERM')
      await run()
    },
    kill: () => end('SIGKILL'),
    reload: () => void child?.kill('SIGHUP'),
  }
}

/** A port of 127.0.0.1 that is free now. */
export function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer()
    server.once('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address() as AddressInfo
      server.close(() => resolve(port))
    })
  })
}

function answers(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1')
    socket.once('connect', () => resolve(true))
    socket.once('error', () => resolve(false))
    socket.once('connect', () => socket.destroy())
  })
}

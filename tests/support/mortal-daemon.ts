import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { join } from 'node:path'
import { built } from './brumal.ts'
import { until } from './until.ts'

/** The built program on a folder that has been set up, to be killed: nobody waits for its page. */
export interface MortalDaemon {
  /** It ended without having been told to: with what it printed. */
  expectAlive(): void
  /** SIGKILL; gives exit code and signal of the death as the system reports them. */
  kill(): Promise<readonly [code: number | null, signal: NodeJS.Signals | null]>
  /** SIGTERM, and how long it took to end. */
  end(): Promise<{ readonly code: number | null; readonly ms: number }>
  hasSaid(text: string): boolean
}

export function startMortal(folder: string, env: NodeJS.ProcessEnv): MortalDaemon {
  let printed = ''
  const child = spawn(process.execPath, [built], {
    cwd: folder,
    env: {
      ...process.env,
      BRUMAL_DATA: join(folder, 'data'),
      BRUMAL_HTTP_PORT: '0',
      BRUMAL_HTTP_HOST: '127.0.0.1',
      BRUMAL_MQTT_HOST: '127.0.0.1',
      BRUMAL_TIMEZONE: 'Europe/Vienna',
      ...env,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  child.stdout.on('data', (chunk: Buffer) => (printed += chunk.toString()))
  child.stderr.on('data', (chunk: Buffer) => (printed += chunk.toString()))
  const exit = once(child, 'exit') as Promise<[number | null, NodeJS.Signals | null]>
  alive.add(child)
  child.once('exit', () => alive.delete(child))

  function expectAlive(): void {
    if (child.exitCode !== null || child.signalCode !== null)
      throw new Error(`the daemon ended by itself with ${child.exitCode ?? child.signalCode}:\n${printed}`)
  }

  return {
    expectAlive,
    async kill() {
      expectAlive()
      child.kill('SIGKILL')
      return exit
    },
    async end() {
      expectAlive()
      const began = performance.now()
      child.kill('SIGTERM')
      const [code] = await exit
      return { code, ms: performance.now() - began }
    },
    hasSaid: (text) => printed.includes(text),
  }
}

const alive = new Set<ReturnType<typeof spawn>>()

/** For afterEach: nothing is left running when a test fails half-way. */
export async function endMortals(): Promise<void> {
  for (const child of alive) child.kill('SIGKILL')
  await until(() => alive.size === 0, 'every daemon to be gone')
}

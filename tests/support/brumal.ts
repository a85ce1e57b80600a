import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { join } from 'node:path'

const root = new URL('../..', import.meta.url).pathname
/** The program as built: `npm test` builds it before the tests run. */
export const built = join(root, 'dist/daemon/cli/brumal.js')

export interface Ran {
  readonly code: number
  readonly out: string
  readonly err: string
}

/** Runs the built `brumal` to its end. */
export async function brumal(args: readonly string[], env: NodeJS.ProcessEnv = {}): Promise<Ran> {
  if (!existsSync(built)) throw new Error('dist/ is missing: run `npm run build` first.')
  const child = spawn(process.execPath, [built, ...args], {
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  const out: Buffer[] = []
  const err: Buffer[] = []
  child.stdout.on('data', (chunk: Buffer) => out.push(chunk))
  child.stderr.on('data', (chunk: Buffer) => err.push(chunk))
  const code = await new Promise<number>((resolve, reject) => {
    child.on('error', reject)
    child.on('close', (status) => resolve(status ?? 1))
  })
  return { code, out: Buffer.concat(out).toString(), err: Buffer.concat(err).toString() }
}

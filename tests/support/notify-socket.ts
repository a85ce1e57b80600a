import { type ChildProcess, spawn } from 'node:child_process'
import { accessSync, constants, readdirSync, readFileSync } from 'node:fs'
import { delimiter, join } from 'node:path'
import { until } from './until.ts'

const program = (process.env['PATH'] ?? '')
  .split(delimiter)
  .map((folder) => join(folder, 'systemd-notify'))
  .find(isProgram)

/** Where systemd-notify is. */
export const systemdNotify: string = program ?? '/usr/bin/systemd-notify'

/** Why tests against systemd-notify are left out, or null. With BRUMAL_REQUIRE_PEERS=1 they run, and fail without it. */
export const notifyMissing: string | null =
  program === undefined && process.env['BRUMAL_REQUIRE_PEERS'] !== '1'
    ? 'systemd-notify is not installed'
    : null

/** A socket that takes messages as systemd does. `barriers` are questions whether all before was taken: sd_notify(3). */
export interface NotifySocket {
  readonly messages: readonly string[]
  readonly barriers: () => number
  readonly pid: number
  stop(): Promise<void>
}

/** Node has no datagram sockets of the unix family; `@name` is one that no file shows. */
const receiver = `
import json, socket, sys
name, holds = sys.argv[1], sys.argv[2] == 'holds'
taken = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
taken.bind('\\0' + name[1:] if name.startswith('@') else name)
print(json.dumps('bound'), flush=True)
kept = []
while True:
    text, files, _, _ = socket.recv_fds(taken, 4096, 4)
    kept += files
    if not holds:
        for file in kept: __import__('os').close(file)
        kept = []
    print(json.dumps(text.decode()), flush=True)
`

/** Takes what is sent to `address`. One that `holds` never answers a barrier: a systemd that hangs. */
export async function takeNotes(address: string, as: 'answers' | 'holds' = 'answers'): Promise<NotifySocket> {
  const child = spawn('python3', ['-c', receiver, address, as], { stdio: ['ignore', 'pipe', 'pipe'] })
  const lines: string[] = []
  let said = ''
  let rest = ''
  child.stdout.on('data', (chunk: Buffer) => {
    const parts = (rest + chunk.toString()).split('\n')
    rest = parts.pop() ?? ''
    lines.push(...parts.map((part) => JSON.parse(part) as string))
  })
  child.stderr.on('data', (chunk: Buffer) => (said += chunk.toString()))
  await until(() => {
    if (child.exitCode !== null) throw new Error(`python3 ended at once: ${said}`)
    return lines[0] === 'bound'
  }, 'the socket to be bound')
  return {
    get messages() {
      return lines.slice(1).filter((line) => !isBarrier(line))
    },
    barriers: () => lines.filter(isBarrier).length,
    pid: child.pid ?? 0,
    stop: () => ended(child),
  }
}

const isBarrier = (line: string): boolean => line === 'BARRIER=1'

function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve()
  const exited = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  child.kill('SIGKILL')
  return exited
}

/** Processes that this one has started and that still run, besides `others`: proc(5). */
export function childrenBesides(others: readonly number[]): readonly number[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name) && parentOf(name) === process.pid)
    .map(Number)
    .filter((pid) => !others.includes(pid))
}

function parentOf(pid: string): number | null {
  try {
    // The name of the program stands in brackets and may hold anything; state and parent follow.
    const after = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ').at(-1)
    return Number(after?.split(' ')[1])
  } catch {
    return null // gone meanwhile
  }
}

function isProgram(path: string): boolean {
  try {
    accessSync(path, constants.X_OK)
    return true
  } catch {
    return false
  }
}

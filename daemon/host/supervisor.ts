import { type ChildProcess, spawn } from 'node:child_process'
import type { Socket } from 'node:net'
import { millis, seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Supervisor } from '../ports/supervisor.ts'

/** systemd takes it within milliseconds; `systemd-notify` itself waits as long for it to be taken. */
const patience: Millis = seconds(5)
/** Until it has heard that we are ready, systemd takes us for starting, and ends a start that lasts too long. */
const retryEvery: Millis = seconds(5)
/** sd_watchdog_enabled(3) advises half of the time; a third lets one message be lost. */
const parts = 3
/** Of what the client says when it fails: a line. */
const whyLength = 200

/**
 * Tells systemd that judging has begun, that it goes on, and that it ends: sd_notify(3). An event loop that stands still
 * says nothing, so that systemd ends the daemon (`WatchdogSec=`) and starts it again. Does nothing where no supervisor
 * listens (`NOTIFY_SOCKET`).
 *
 * Node has no datagram sockets of the unix family, so `systemd-notify` speaks for us: the unit needs
 * `NotifyAccess=all`. One at a time, each bounded; what fails is said once, and once more when it works again.
 */
export function systemdSupervisor(world: {
  readonly env: NodeJS.ProcessEnv
  readonly clock: Pick<Clock, 'uptime'>
  readonly log: Log
}): Supervisor {
  const { env, clock, log } = world
  const socket = env['NOTIFY_SOCKET'] ?? ''
  if (socket === '') return { ready() {}, alive() {}, stopping() {} }

  const every = watchdogEvery(env, log)
  let current: Sending | null = null
  let phase: 'starting' | 'ready' | 'stopping' = 'starting'
  /** What systemd has yet to hear; beats are not kept, the next one says the same. */
  let unheard: readonly string[] | null = null
  let sentAt: Millis | null = null
  let failures = 0

  function send(words: readonly string[]): void {
    sentAt = clock.uptime()
    current = startSending(words, { PATH: env['PATH'], NOTIFY_SOCKET: socket }, (failure) => {
      current = null
      if (failure === null && unheard === words) unheard = null
      say(failure)
      if (phase === 'stopping' && words !== farewell) send(farewell)
    })
  }

  function say(failure: Failure | null): void {
    if (phase === 'stopping') return
    if (failure === null) {
      if (failures > 0) log.info({ failures }, 'systemd hears Brumal again.')
      failures = 0
      return
    }
    failures += 1
    if (failures === 1) log.error({ why: failure.why }, failure.isMissing ? missing : unheardBySystemd)
  }

  return {
    ready() {
      if (phase === 'stopping') return
      phase = 'ready'
      unheard = every === null ? greeting : [...greeting, beat]
      if (current === null) send(unheard)
    },
    alive() {
      if (phase !== 'ready' || current !== null) return
      const words = unheard ?? (every === null ? null : [beat])
      const wait = unheard === null ? every : retryEvery
      if (words === null || wait === null) return
      if (sentAt === null || clock.uptime() - sentAt >= wait) send(words)
    },
    stopping() {
      if (phase === 'stopping') return
      phase = 'stopping'
      if (current === null) send(farewell)
      else current.end()
    },
  }
}

const beat = 'WATCHDOG=1'
const greeting = ['READY=1', 'STATUS=Watching.']
const farewell = ['STOPPING=1', 'STATUS=Stopping.']

const missing =
  'systemd cannot hear Brumal and will end it before long: the program systemd-notify is missing. Install the package systemd, or write Type=exec and no WatchdogSec= in the unit.'
const unheardBySystemd =
  'systemd does not hear Brumal; it goes on and tries again. Does the unit say NotifyAccess=all?'

/** How often to pass on that we are alive; null where nobody waits for it. */
function watchdogEvery(env: NodeJS.ProcessEnv, log: Log): Millis | null {
  const { WATCHDOG_USEC: usec, WATCHDOG_PID: pid } = env
  if (usec === undefined || usec === '') return null
  if (!/^[1-9]\d{0,15}$/.test(usec)) {
    log.warn({ WATCHDOG_USEC: usec }, 'The watchdog of systemd is not understood and gets no answer.')
    return null
  }
  if (pid !== undefined && pid !== '' && pid !== String(process.pid)) {
    log.warn(
      { watched: pid, own: process.pid },
      'The watchdog of systemd is meant for another process and gets no answer from Brumal. Let ExecStart= name node itself, not npm or a shell.',
    )
    return null
  }
  return millis(Math.floor(Number(usec) / 1000 / parts))
}

interface Failure {
  readonly why: string
  readonly isMissing: boolean
}

interface Sending {
  /** Cuts it short. */
  end(): void
}

/** Runs `systemd-notify` once, with nothing of our environment but what it needs (X4). Never keeps us from ending. */
function startSending(
  words: readonly string[],
  env: { readonly PATH: string | undefined; readonly NOTIFY_SOCKET: string },
  onEnd: (failure: Failure | null) => void,
): Sending {
  let child: ChildProcess
  try {
    child = spawn('systemd-notify', [...words], { env, stdio: ['ignore', 'ignore', 'pipe'] })
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause)
    setImmediate(() => onEnd({ why, isMissing: false }))
    return { end() {} }
  }
  // Absent where there were no descriptors left for a pipe; a pipe holds the loop as the child does.
  const stderr = child.stderr as Socket | null | undefined
  let said = ''
  let isOver = false
  const deadline = setTimeout(() => child.kill('SIGKILL'), patience)
  deadline.unref()
  child.unref()
  stderr?.unref()
  stderr?.on('data', (chunk: Buffer) => {
    said = (said + chunk.toString()).slice(0, whyLength)
  })
  const over = (failure: Failure | null): void => {
    if (isOver) return
    isOver = true
    clearTimeout(deadline)
    onEnd(failure)
  }
  child.on('error', (cause: NodeJS.ErrnoException) => {
    over({ why: cause.code ?? cause.message, isMissing: cause.code === 'ENOENT' })
  })
  // What it came to, not how late we look: a loop that stood still is no failure of the message.
  child.on('close', (code, signal) => {
    if (code === 0) return over(null)
    const how = signal === null ? `it ended with ${code}` : 'it took too long'
    over({ why: said.trim() === '' ? how : said.trim(), isMissing: false })
  })
  return {
    end() {
      // The farewell follows when this has ended.
      child.ref()
      stderr?.ref()
      child.kill('SIGKILL')
    },
  }
}

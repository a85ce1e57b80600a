import { pino } from 'pino'
import type { Log } from '../ports/log.ts'

/** Fields that must never be written, whoever passes them (X4). */
const secrets = ['password', 'passwordHash', 'token', 'code', 'key', 'cookie', 'authorization']

/** One JSON line per event on stdout, for a supervisor; on a terminal, a line for people. */
export function openLog(level: string, out: NodeJS.WriteStream): Log {
  const redact = [...secrets, ...secrets.map((name) => `*.${name}`)]
  const log = pino(
    { level, redact, base: null },
    out.isTTY ? { write: (line) => out.write(forPeople(line)) } : out,
  )
  return {
    debug: (about, sentence) => log.debug(about, sentence),
    info: (about, sentence) => log.info(about, sentence),
    warn: (about, sentence) => log.warn(about, sentence),
    error: (about, sentence) => log.error(about, sentence),
  }
}

const marks: Record<number, string> = { 40: 'Warning: ', 50: 'Error: ', 60: 'Fatal: ' }

function forPeople(line: string): string {
  const { level, time, msg, err } = JSON.parse(line) as {
    level: number
    time: number
    msg: string
    err?: { message?: string }
  }
  const because = err?.message === undefined ? '' : ` (${err.message})`
  return `${new Date(time).toTimeString().slice(0, 8)}  ${marks[level] ?? ''}${msg}${because}\n`
}

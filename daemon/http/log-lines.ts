import type { FastifyBaseLogger } from 'fastify'
import type { Log } from '../ports/log.ts'

/**
 * fastify's own lines in our log. Of what fastify hands over only the error is kept: its requests carry cookies and
 * bodies (X4).
 */
export function logForFastify(log: Log): FastifyBaseLogger {
  const line =
    (level: keyof Log) =>
    (about: unknown, sentence?: string): void =>
      log[level](errorIn(about), typeof about === 'string' ? about : (sentence ?? 'http'))
  const lines = {
    level: 'info',
    fatal: line('error'),
    error: line('error'),
    warn: line('warn'),
    info: line('debug'), // one line per request is for debugging
    debug: line('debug'),
    trace: () => undefined,
    silent: () => undefined,
    child: (): FastifyBaseLogger => lines,
  }
  return lines
}

function errorIn(about: unknown): object {
  if (about instanceof Error) return { err: about }
  if (typeof about === 'object' && about !== null && 'err' in about) return { err: about.err }
  return {}
}

import type { FastifyInstance } from 'fastify'
import { millis } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Log } from '../ports/log.ts'

const firstWait = millis(1000)
const longestWait = millis(30_000)

/** Listens, and tries again for as long as somebody else has the port: the watch goes on without a page meanwhile. */
export function keepListening(
  server: FastifyInstance,
  at: { readonly host: string; readonly port: number },
  log: Log,
  onUp: (port: number) => void,
): { stop(): void } {
  let timeout: NodeJS.Timeout | undefined
  let isStopped = false
  const attempt = (wait: Millis) => {
    if (isStopped) return
    server.listen(at).then(
      () => {
        const address = server.server.address()
        onUp(typeof address === 'object' && address !== null ? address.port : at.port)
      },
      (error: NodeJS.ErrnoException) => {
        log.error({ code: error.code, port: at.port }, sentenceFor(error, at))
        timeout = setTimeout(() => attempt(millis(Math.min(wait * 2, longestWait))), wait)
      },
    )
  }
  attempt(firstWait)
  return {
    stop() {
      isStopped = true
      clearTimeout(timeout)
    },
  }
}

function sentenceFor(error: NodeJS.ErrnoException, { host, port }: { host: string; port: number }): string {
  switch (error.code) {
    case 'EADDRINUSE':
      return `The dashboard cannot open: port ${port} is already taken by another program on this machine. Watching goes on; trying again.`
    case 'EACCES':
      return `The dashboard cannot open: this user may not use port ${port}. Choose one above 1023. Watching goes on; trying again.`
    case 'EADDRNOTAVAIL':
      return `The dashboard cannot open: ${host} is not an address of this machine. Watching goes on; trying again.`
    default:
      return `The dashboard cannot open on ${host}:${port}: ${error.message}. Watching goes on; trying again.`
  }
}

import { createServer, connect, type AddressInfo, type Socket } from 'node:net'

/** A line to a port of this machine that can be made slow: what a page's worker fetches goes over it too. */
export interface SlowLine {
  readonly port: number
  /** Ends what is connected; from now on each piece takes so long there and so long back, ms, and a new connection once both. */
  delay(ms: number): void
  close(): Promise<void>
}

export async function openSlowLine(to: number): Promise<SlowLine> {
  let late = 0
  const open = new Set<Socket>()
  const server = createServer((near) => {
    const far = connect(to, '127.0.0.1')
    const began = performance.now() + 2 * late
    for (const [from, into] of [
      [near, far],
      [far, near],
    ] as const) {
      open.add(from)
      from.on('error', () => into.destroy())
      from.on('close', () => {
        open.delete(from)
        into.destroy()
      })
      // pieces stay in order: each waits for as long as the one before it, at least
      let next = 0
      from.on('data', (piece) => {
        const now = performance.now()
        next = Math.max(next, now + late, began)
        setTimeout(() => into.write(piece), next - now)
      })
    }
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    port: (server.address() as AddressInfo).port,
    delay(ms) {
      late = ms
      for (const socket of open) socket.destroy()
    },
    async close() {
      for (const socket of open) socket.destroy()
      await new Promise((resolve) => server.close(resolve))
    },
  }
}

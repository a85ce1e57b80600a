import { connect, createServer } from 'node:net'
import type { AddressInfo, Server, Socket } from 'node:net'

/** Stands before a server on 127.0.0.1 and hands every byte on, both ways. */
export interface FrontDoor {
  readonly port: number
  /** Connections that are open now, and how many there have been. */
  open(): number
  count(): number
  /** The next connection's TLS greeting is answered with a fatal alert. */
  refuseTls(): void
  /** Everything that came in. */
  bytes(): Buffer
  /** Breaks every connection, then stops the server behind, whose last connections end with that. */
  stop(): Promise<void>
}

/** Makes `behind` listen on a free port of its own. */
export async function openFrontDoor(
  behind: Pick<Server, 'listen' | 'address' | 'close'>,
): Promise<FrontDoor> {
  await new Promise<void>((resolve) => behind.listen(0, '127.0.0.1', resolve))
  const inner = (behind.address() as AddressInfo).port
  const sockets = new Set<Socket>()
  const chunks: Buffer[] = []
  let count = 0
  let refusals = 0
  const door = createServer((socket) => {
    count += 1
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    if (refusals > 0) {
      refusals -= 1
      socket.once('data', () => socket.end(handshakeFailure))
      return
    }
    const onward = connect(inner, '127.0.0.1')
    onward.on('error', () => onward.destroy())
    onward.on('close', () => socket.end().resume()) // resumed, or its end would never be seen
    socket.on('close', () => onward.destroy())
    socket.on('data', (chunk: Buffer) => chunks.push(chunk))
    socket.pipe(onward).pipe(socket)
  })
  await new Promise<void>((resolve) => door.listen(0, '127.0.0.1', resolve))
  return {
    port: (door.address() as AddressInfo).port,
    open: () => sockets.size,
    count: () => count,
    refuseTls: () => void (refusals += 1),
    bytes: () => Buffer.concat(chunks),
    async stop() {
      for (const socket of sockets) socket.destroy()
      await new Promise((resolve) => door.close(resolve))
      await new Promise((resolve) => behind.close(resolve))
    },
  }
}

/** TLS record: alert, TLS 1.2, 2 bytes: fatal, handshake_failure (RFC 5246 §7.2). */
const handshakeFailure = Buffer.from([0x15, 0x03, 0x03, 0x00, 0x02, 0x02, 0x28])

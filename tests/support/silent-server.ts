import { connect, createServer, type AddressInfo, type Socket } from 'node:net'

/** Takes every connection and says nothing, ever. */
export interface SilentServer {
  readonly port: number
  /** Connections that are open now. */
  open(): number
  /** Everything that came in. */
  bytes(): Buffer
  stop(): Promise<void>
}

export async function startSilentServer(): Promise<SilentServer> {
  const chunks: Buffer[] = []
  const { port, sockets, stop } = await listening((socket) => {
    socket.on('data', (chunk: Buffer) => chunks.push(chunk))
  })
  return { port, open: () => sockets.size, bytes: () => Buffer.concat(chunks), stop }
}

/** Hands bytes on both ways until it falls silent: then it takes none, and its connections stay open. */
export async function startFallingSilent(
  behind: number,
): Promise<Omit<SilentServer, 'bytes'> & { fallSilent(): void }> {
  const onwards = new Set<Socket>()
  const { port, sockets, stop } = await listening((socket) => {
    const onward = connect(behind, '127.0.0.1')
    onwards.add(onward)
    onward.on('error', () => onward.destroy())
    socket.on('close', () => onward.destroy())
    socket.pipe(onward).pipe(socket)
  })
  return {
    port,
    open: () => sockets.size,
    fallSilent() {
      for (const socket of [...sockets, ...onwards]) socket.unpipe().pause()
    },
    stop,
  }
}

async function listening(onSocket: (socket: Socket) => void) {
  const sockets = new Set<Socket>()
  const server = createServer({ allowHalfOpen: true }, (socket) => {
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    onSocket(socket)
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    port: (server.address() as AddressInfo).port,
    sockets,
    async stop() {
      for (const socket of sockets) socket.destroy()
      await new Promise((resolve) => server.close(resolve))
    },
  }
}

import { connect, createServer } from 'node:net'
import type { AddressInfo, Socket } from 'node:net'
import { parser } from 'mqtt-packet'
import type { Packet } from 'mqtt-packet'

interface Tapped {
  readonly from: 'client' | 'server'
  readonly packet: Packet
}

export interface Tap {
  readonly port: number
  /** Everything that went by, in order. */
  readonly seen: readonly Tapped[]
  /** Message ids of the PUBACKs that one side wrote. */
  acks(from: Tapped['from']): number[]
  count(from: Tapped['from'], cmd: Packet['cmd']): number
  /** Breaks every connection, as a pulled cable would look to both ends. */
  cut(): void
  readonly close: () => Promise<void>
}

/** A wire in between on 127.0.0.1: passes bytes on unchanged and notes the MQTT packets in them. */
export async function tapInFrontOf(target: () => number): Promise<Tap> {
  const seen: Tapped[] = []
  const sockets = new Set<Socket>()
  const server = createServer((client) => {
    const upstream = connect(target(), '127.0.0.1')
    link(client, upstream, 'client')
    link(upstream, client, 'server')
  })

  function link(source: Socket, sink: Socket, from: Tapped['from']): void {
    const packets = parser({ protocolVersion: 4 })
    packets.on('packet', (packet: Packet) => seen.push({ from, packet }))
    sockets.add(source)
    source.on('data', (bytes) => {
      packets.parse(bytes)
      sink.write(bytes)
    })
    source.on('error', () => sink.destroy())
    source.on('close', () => {
      sockets.delete(source)
      sink.end()
    })
  }

  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const cut = () => {
    for (const socket of sockets) socket.destroy()
  }
  return {
    port: (server.address() as AddressInfo).port,
    seen,
    acks: (from) =>
      seen.flatMap((tapped) =>
        tapped.from === from && tapped.packet.cmd === 'puback' ? [tapped.packet.messageId ?? 0] : [],
      ),
    count: (from, cmd) => seen.filter((tapped) => tapped.from === from && tapped.packet.cmd === cmd).length,
    cut,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
        cut()
      }),
  }
}

import { connectAsync } from 'mqtt'
import type { IClientOptions, MqttClient } from 'mqtt'
import type { Broker, Packet, Settle } from '../../daemon/ports/broker.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { Log } from '../../daemon/ports/log.ts'
import { instant, millis } from '../../schemas/amounts.ts'

export const realClock: Clock = {
  now: () => instant(Date.now()),
  uptime: () => millis(Math.round(performance.now())),
}

/** Chance that never strays: each wait is cut to its half. */
export const noChance = (): number => 0

export interface KeptLog extends Log {
  readonly lines: readonly string[]
}

/** Keeps each line as text, level first. */
export function keptLog(): KeptLog {
  const lines: string[] = []
  const keep = (level: string) => (about: object, sentence: string) =>
    void lines.push(`${level} ${sentence} ${JSON.stringify(about)}`)
  return { lines, debug: keep('debug'), info: keep('info'), warn: keep('warn'), error: keep('error') }
}

export interface Arrived {
  readonly packet: Packet
  readonly settle: Settle
}

/** Starts the broker and keeps what arrives, unsettled. */
export function listenTo(broker: Broker): { readonly arrived: Arrived[]; readonly texts: () => string[] } {
  const arrived: Arrived[] = []
  broker.start((packet, settle) => arrived.push({ packet, settle }))
  return { arrived, texts: () => arrived.map(({ packet }) => textOf(packet.payload)) }
}

export const textOf = (payload: Uint8Array): string => Buffer.from(payload).toString()

/** A client of an independent library, as a sensor or a lamp would be. */
export function client(port: number, options: IClientOptions = {}): Promise<MqttClient> {
  return connectAsync(
    `mqtt://127.0.0.1:${port}`,
    { protocolVersion: 4, reconnectPeriod: 50, connectTimeout: 3000, ...options },
    false,
  )
}

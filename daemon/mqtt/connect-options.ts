import type { IClientOptions } from 'mqtt'
import type { ExternalBroker } from '../../schemas/settings.ts'
import type { BrokerAddress } from './address.ts'
import type { Loss } from './sentences.ts'

const KEEPALIVE_S = 30 // a dead broker is noticed within 45 s
const SOCKET_PAYLOAD_BYTES = 16 * 1024 * 1024 // of one WebSocket frame

export const badAddress = { kind: 'badAddress' } as const satisfies Loss

/**
 * How to reach a broker, with its PEM files, or what is wrong with one of those. `readFile` throws as node:fs does; it is
 * asked at each try, so that a renewed certificate is taken up.
 */
export function connectOptions(
  at: BrokerAddress,
  world: {
    readonly settings: Pick<ExternalBroker, 'caFile' | 'certFile' | 'keyFile'>
    readonly readFile: (path: string) => Uint8Array
  },
): IClientOptions | Loss {
  const options: IClientOptions = {
    protocol: at.protocol,
    host: at.host,
    hostname: at.host,
    port: at.port,
    path: at.path,
    keepalive: KEEPALIVE_S,
    wsOptions: { maxPayload: SOCKET_PAYLOAD_BYTES },
  }
  if (at.user !== undefined) options.username = at.user
  if (at.password !== undefined) options.password = at.password
  if (!at.isEncrypted) return options

  for (const [option, key] of pemFiles) {
    const path = world.settings[key]
    if (path === undefined) continue
    try {
      options[option] = Buffer.from(world.readFile(path))
    } catch (thrown) {
      const error = thrown instanceof Error ? thrown : new Error(String(thrown))
      return { kind: 'file', path, key, error }
    }
  }
  return options
}

const pemFiles = [
  ['ca', 'caFile'],
  ['cert', 'certFile'],
  ['key', 'keyFile'],
] as const

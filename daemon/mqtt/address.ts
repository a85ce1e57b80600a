import type { ExternalBroker } from '../../schemas/settings.ts'

type Protocol = 'mqtt' | 'mqtts' | 'ws' | 'wss'

/** Where and as whom to connect, taken apart so that nothing with a password in it is ever shown (X4). */
export interface BrokerAddress {
  readonly protocol: Protocol
  readonly host: string
  readonly port: number
  /** Of a WebSocket address, query included. */
  readonly path: string
  readonly isEncrypted: boolean
  readonly user: string | undefined
  readonly password: string | undefined
  /** `mqtts://host:8883`, without credentials. */
  readonly shown: string
}

/** Null when the URL cannot be read. The settings' own `user` and `password` win over the URL's. */
export function brokerAddress(
  settings: Pick<ExternalBroker, 'url' | 'user' | 'password'>,
): BrokerAddress | null {
  let url: URL
  try {
    url = new URL(settings.url)
  } catch {
    return null
  }
  const protocol = url.protocol.slice(0, -1)
  if (!isProtocol(protocol)) return null
  const port = url.port === '' ? defaultPort[protocol] : Number(url.port)
  return {
    protocol,
    host: protocol.startsWith('ws') ? url.hostname : url.hostname.replace(/^\[|\]$/g, ''),
    port,
    path: `${url.pathname === '' ? '/' : url.pathname}${url.search}`,
    isEncrypted: protocol === 'mqtts' || protocol === 'wss',
    user: settings.user ?? plain(url.username),
    password: settings.password ?? plain(url.password),
    shown: `${protocol}://${url.hostname}:${port}`,
  }
}

const defaultPort = { mqtt: 1883, mqtts: 8883, ws: 80, wss: 443 } as const
const isProtocol = (text: string): text is Protocol => Object.hasOwn(defaultPort, text)

function plain(part: string): string | undefined {
  if (part === '') return undefined
  try {
    return decodeURIComponent(part)
  } catch {
    return part // a lone % is the password's own
  }
}

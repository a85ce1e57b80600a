import { readFileSync } from 'node:fs'
import { createServer } from 'node:http'
import type { IncomingHttpHeaders, IncomingMessage, RequestListener, ServerResponse } from 'node:http'
import { createServer as createTlsServer } from 'node:https'
import type { Certificate } from './certificates.ts'
import { openFrontDoor } from './front-door.ts'
import type { FrontDoor } from './front-door.ts'

/** How a receiver treats one request. `holds` answers 200 only once `release` is called. */
export type Behaviour =
  | { readonly status: number; readonly headers?: Readonly<Record<string, string>>; readonly body?: string }
  | 'holds'
  | 'closes'
  | 'closesInHead'
  | 'closesInBody'
  | 'stopsInBody'
  | 'neverEnds'
  | 'babbles'

export interface Received {
  readonly method: string
  readonly path: string
  readonly headers: IncomingHttpHeaders
  readonly body: Buffer
}

export interface HttpReceiver extends Pick<FrontDoor, 'port' | 'open' | 'count' | 'refuseTls' | 'bytes'> {
  /** `http://127.0.0.1:port` or, with a certificate, https. */
  readonly origin: string
  readonly requests: readonly Received[]
  /** The next requests are treated so, one each, in order; then as `usually`. */
  behave(...next: readonly Behaviour[]): void
  release(): void
  stop(): Promise<void>
}

/** A real HTTP(S) server that records what it gets and misbehaves when told to. */
export async function startHttpReceiver(
  given: { readonly certificate?: Certificate; readonly usually?: (request: Received) => Behaviour } = {},
): Promise<HttpReceiver> {
  const requests: Received[] = []
  const queue: Behaviour[] = []
  const held: ServerResponse[] = []
  const listen: RequestListener = (message, response) => {
    void received(message).then((request) => {
      if (request === null) return
      requests.push(request)
      const usual = given.usually?.(request) ?? { status: 200 }
      treat(queue.shift() ?? usual, response, held)
    })
  }
  const { certificate } = given
  const server =
    certificate === undefined
      ? createServer(listen)
      : createTlsServer({ cert: readFileSync(certificate.cert), key: readFileSync(certificate.key) }, listen)
  const door = await openFrontDoor(server)
  return {
    port: door.port,
    open: door.open,
    count: door.count,
    refuseTls: door.refuseTls,
    bytes: door.bytes,
    origin: `${certificate === undefined ? 'http' : 'https'}://127.0.0.1:${door.port}`,
    requests,
    behave: (...next) => void queue.push(...next),
    release: () => held.splice(0).forEach((response) => response.end('late')),
    stop: door.stop,
  }
}

async function received(message: IncomingMessage): Promise<Received | null> {
  const chunks: Buffer[] = []
  try {
    for await (const chunk of message) chunks.push(chunk as Buffer)
  } catch {
    return null // the sender left in the middle of its request
  }
  const { method = '', url = '', headers } = message
  return { method, path: url, headers, body: Buffer.concat(chunks) }
}

function treat(behaviour: Behaviour, response: ServerResponse, held: ServerResponse[]): void {
  const { socket } = response
  if (typeof behaviour === 'object') {
    response.writeHead(behaviour.status, behaviour.headers)
    response.end(behaviour.body ?? '')
    return
  }
  switch (behaviour) {
    case 'holds':
      held.push(response)
      return
    case 'closes':
      socket?.destroy()
      return
    case 'closesInHead':
      socket?.end('HTTP/1.1 201 Crea')
      return
    case 'closesInBody':
      socket?.end('HTTP/1.1 201 Created\r\nContent-Length: 100\r\n\r\nhalf of it')
      return
    case 'stopsInBody':
      socket?.write('HTTP/1.1 201 Created\r\nContent-Length: 100\r\n\r\nhalf of it')
      return
    case 'neverEnds':
      response.writeHead(200)
      pour(response)
      return
    case 'babbles':
      socket?.end('220 frog-house.example ESMTP\r\n')
      return
    default:
      behaviour satisfies never
  }
}

/** At most 64 MiB, as fast as it is taken. */
function pour(response: ServerResponse, left = 1024): void {
  if (left === 0 || response.destroyed) return
  response.write(Buffer.alloc(65_536), (failure) => {
    if (!failure) pour(response, left - 1)
  })
}

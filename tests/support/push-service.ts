import { createECDH, createPublicKey, randomBytes, verify } from 'node:crypto'
import ece from 'http_ece'
import type { ChannelSecret } from '../../schemas/contact.ts'
import type { Certificate } from './certificates.ts'
import { startHttpReceiver } from './http-receiver.ts'
import type { Behaviour, HttpReceiver, Received } from './http-receiver.ts'

interface PushMessage {
  readonly plaintext: string
  readonly ttl: number
  readonly urgency: string | undefined
  readonly topic: string | undefined
  readonly jwt: { readonly aud: string; readonly exp: number; readonly sub: string }
  readonly bodyLength: number
}

/** One browser that subscribed. */
export interface Subscription {
  readonly secret: Extract<ChannelSecret, { kind: 'push' }>
  /** Every message taken for it, oldest first. */
  readonly taken: readonly PushMessage[]
  /** What a sleeping phone would find on waking: of those with one topic, the newest (RFC 8030 §5.4). */
  pending(): readonly PushMessage[]
}

export interface PushService extends HttpReceiver {
  /** `applicationServerKey`: the only VAPID key whose messages this subscription takes (RFC 8292 §4). */
  subscribe(applicationServerKey: string): Subscription
  /** Why messages were not taken that no behaviour asked to refuse. */
  readonly faults: readonly string[]
}

interface Kept {
  readonly applicationServerKey: string
  readonly open: (body: Buffer) => string
  readonly taken: PushMessage[]
}

/**
 * A push service and the browsers behind it, over HTTPS: checks the headers (RFC 8030), the VAPID token's signature,
 * audience and end (RFC 8292), and decrypts with the browser's own keys (RFC 8291).
 */
export async function startPushService(certificate: Certificate): Promise<PushService> {
  const browsers = new Map<string, Kept>()
  const faults: string[] = []
  const usually = (request: Received): Behaviour => {
    const browser = browsers.get(request.path)
    if (browser === undefined) return { status: 404 }
    const [status, fault, message] = judged(request, browser, receiver.origin)
    if (message !== null) browser.taken.push(message)
    else faults.push(fault)
    return { status, headers: { Location: '/m/1', TTL: request.headers['ttl'] as string }, body: fault }
  }
  const receiver = await startHttpReceiver({ certificate, usually })

  return {
    ...receiver,
    faults,
    subscribe(applicationServerKey) {
      const key = createECDH('prime256v1')
      const p256dh = key.generateKeys('base64url')
      const auth = randomBytes(16).toString('base64url')
      const path = `/p/${randomBytes(16).toString('base64url')}`
      const taken: PushMessage[] = []
      const open = (body: Buffer): string =>
        ece.decrypt(body, { version: 'aes128gcm', privateKey: key, authSecret: auth }).toString()
      browsers.set(path, { applicationServerKey, open, taken })
      return {
        secret: { kind: 'push', endpoint: `${receiver.origin}${path}`, p256dh, auth },
        taken,
        pending: () =>
          taken.filter(
            ({ topic }, place) =>
              topic === undefined || !taken.slice(place + 1).some((newer) => newer.topic === topic),
          ),
      }
    },
  }
}

type Judgement = readonly [status: number, fault: string, message: PushMessage | null]

function judged({ method, headers, body }: Received, browser: Kept, origin: string): Judgement {
  const ttl = headers['ttl']
  const topic = headers['topic'] as string | undefined
  const urgency = headers['urgency'] as string | undefined
  if (method !== 'POST') return [405, 'not a POST', null]
  if (typeof ttl !== 'string' || !/^\d+$/.test(ttl)) return [400, 'no TTL', null]
  if (urgency !== undefined && !/^(?:very-low|low|normal|high)$/.test(urgency))
    return [400, 'no such urgency', null]
  if (topic !== undefined && !/^[A-Za-z0-9_-]{1,32}$/.test(topic)) return [400, 'no topic', null]
  if (headers['content-encoding'] !== 'aes128gcm') return [415, 'another content coding', null]
  if (body.length > 4096) return [413, 'too long', null]
  const [fault, jwt] = tokenOf(headers.authorization ?? '', browser.applicationServerKey, origin)
  if (jwt === null) return [403, fault, null]
  try {
    const plaintext = browser.open(body)
    return [201, '', { plaintext, ttl: Number(ttl), urgency, topic, jwt, bodyLength: body.length }]
  } catch (failure) {
    return [400, `cannot be decrypted: ${String(failure)}`, null]
  }
}

/** RFC 8292 §2 and §3; the signature of ES256 is r and s, 32 bytes each (RFC 7518 §3.4). */
function tokenOf(
  authorization: string,
  applicationServerKey: string,
  origin: string,
): readonly [fault: string, jwt: PushMessage['jwt'] | null] {
  const match = /^vapid t=([\w-]+)\.([\w-]+)\.([\w-]+), k=([\w-]+)$/.exec(authorization)
  if (match === null) return ['no VAPID token', null]
  const [, head = '', claims = '', signature = '', k = ''] = match
  if (k !== applicationServerKey) return ['another key than the subscription’s', null]
  const point = Buffer.from(k, 'base64url')
  const jwk = {
    kty: 'EC',
    crv: 'P-256',
    x: point.subarray(1, 33).toString('base64url'),
    y: point.subarray(33).toString('base64url'),
  }
  const key = { key: createPublicKey({ key: jwk, format: 'jwk' }), dsaEncoding: 'ieee-p1363' as const }
  const isSigned = verify(
    'sha256',
    Buffer.from(`${head}.${claims}`),
    key,
    Buffer.from(signature, 'base64url'),
  )
  if (!isSigned) return ['a forged token', null]
  const { alg } = parsed(head) as { alg: string }
  const jwt = parsed(claims) as PushMessage['jwt']
  const seconds = Date.now() / 1000
  if (alg !== 'ES256') return ['another algorithm', null]
  if (jwt.aud !== origin) return [`a token for ${jwt.aud}`, null]
  if (jwt.exp <= seconds || jwt.exp > seconds + 86_400) return ['a token past its end, or too long', null]
  return ['', jwt]
}

const parsed = (part: string): unknown => JSON.parse(Buffer.from(part, 'base64url').toString())

import { readFileSync } from 'node:fs'
import type { Socket } from 'node:net'
import { SMTPServer } from 'smtp-server'
import type { Certificate } from './certificates.ts'
import { openFrontDoor } from './front-door.ts'
import type { FrontDoor } from './front-door.ts'

/** How a mail server treats one connection. `holdsMessage` takes the message, and says so only once `release` is called. */
export type MailBehaviour =
  | { readonly at: 'greeting' | 'sender' | 'recipient' | 'message'; readonly code: number }
  | 'holdsGreeting'
  | 'holdsMessage'
  | 'closesAtGreeting'
  | 'closesAtMessage'
  | 'takes'

interface Mail {
  readonly from: string
  readonly to: readonly string[]
  readonly isEncrypted: boolean
  readonly user: string | null
  /** As it came, dots unstuffed, lines ended by CR LF. */
  readonly raw: string
}

export interface MailReceiver extends Pick<FrontDoor, 'port' | 'open' | 'count' | 'refuseTls'> {
  readonly mails: readonly Mail[]
  /** The next connections are treated so, one each, in order; then the mail is taken. */
  behave(...next: readonly MailBehaviour[]): void
  release(): void
  stop(): Promise<void>
}

/** A real SMTP server. With a login, mail is taken only after it; without `certificate` there is no STARTTLS. */
export async function startMailServer(given: {
  readonly security: 'tls' | 'starttls' | 'none'
  readonly certificate?: Certificate
  readonly login?: { readonly user: string; readonly password: string }
}): Promise<MailReceiver> {
  const mails: Mail[] = []
  const queue: MailBehaviour[] = []
  const bySession = new Map<string, MailBehaviour>()
  const held: (() => void)[] = []
  const { login, certificate, security } = given
  const at = (id: string, place: string): Error | null => {
    const behaviour = bySession.get(id)
    if (typeof behaviour !== 'object' || behaviour.at !== place) return null
    return Object.assign(new Error('told to refuse'), { responseCode: behaviour.code })
  }
  const socketOf = (id: string): Socket | undefined =>
    [...(server.connections as Set<unknown>)]
      .map((connection) => connection as { id: string; _socket: Socket })
      .find((connection) => connection.id === id)?._socket

  const server = new SMTPServer({
    secure: security === 'tls',
    name: 'mail.frog-house.example',
    logger: false,
    disableReverseLookup: true,
    allowInsecureAuth: security === 'none',
    authOptional: login === undefined,
    disabledCommands: [...(login ? [] : ['AUTH']), ...(security === 'starttls' ? [] : ['STARTTLS'])],
    closeTimeout: 100,
    ...(certificate && { cert: readFileSync(certificate.cert), key: readFileSync(certificate.key) }),
    onConnect(session, callback) {
      const behaviour = queue.shift() ?? 'takes'
      bySession.set(session.id, behaviour)
      if (behaviour === 'holdsGreeting') held.push(() => callback())
      else if (behaviour === 'closesAtGreeting') socketOf(session.id)?.destroy()
      else callback(at(session.id, 'greeting'))
    },
    onAuth({ username, password }, _session, callback) {
      if (username === login?.user && password === login?.password) callback(null, { user: username })
      else callback(Object.assign(new Error(`not ${password ?? ''}`), { responseCode: 535 }))
    },
    onMailFrom: (_address, session, callback) => callback(at(session.id, 'sender')),
    onRcptTo: (_address, session, callback) => callback(at(session.id, 'recipient')),
    onData(stream, session, callback) {
      const chunks: Buffer[] = []
      stream.on('data', (chunk: Buffer) => chunks.push(chunk))
      stream.on('end', () => {
        const behaviour = bySession.get(session.id)
        if (behaviour === 'closesAtMessage') return void socketOf(session.id)?.destroy()
        const refusal = at(session.id, 'message')
        if (refusal !== null) return void callback(refusal)
        const { mailFrom, rcptTo } = session.envelope
        mails.push({
          from: mailFrom === false ? '' : mailFrom.address,
          to: rcptTo.map(({ address }) => address),
          isEncrypted: session.secure,
          user: typeof session.user === 'string' ? session.user : null,
          raw: Buffer.concat(chunks).toString(),
        })
        if (behaviour === 'holdsMessage') held.push(() => callback())
        else callback()
      })
    },
  })
  server.on('error', () => undefined) // a client that left or refused our certificate: the sender's side is what is tested
  const door = await openFrontDoor(server.server)
  return {
    port: door.port,
    open: door.open,
    count: door.count,
    refuseTls: door.refuseTls,
    mails,
    behave: (...next) => void queue.push(...next),
    release: () => held.splice(0).forEach((answer) => answer()),
    stop: () => door.stop(),
  }
}

/** A mail's header fields, unfolded, and its text, decoded (RFC 2045, RFC 2047): only what our own mails use. */
export function readMail(raw: string): {
  readonly headers: Readonly<Record<string, string>>
  readonly text: string
} {
  const end = raw.indexOf('\r\n\r\n')
  const lines = raw
    .slice(0, end)
    .replace(/\r\n[ \t]+/g, ' ')
    .split('\r\n')
  const headers = Object.fromEntries(
    lines.map((line) => [
      line.slice(0, line.indexOf(':')).toLowerCase(),
      decodedWords(line.slice(line.indexOf(':') + 2)),
    ]),
  )
  const body = raw.slice(end + 4)
  const coding = headers['content-transfer-encoding']
  if (coding === 'base64') return { headers, text: Buffer.from(body, 'base64').toString() }
  return { headers, text: coding === 'quoted-printable' ? unquoted(body.replace(/=\r\n/g, '')) : body }
}

/** RFC 2047: space between encoded words is dropped. */
export const decodedWords = (text: string): string =>
  text.replace(/\?=\s+=\?/g, '?==?').replace(/(?:=\?UTF-8\?[BQ]\?[^?]*\?=)+/gi, (words) => {
    const parts = [...words.matchAll(/=\?UTF-8\?([BQ])\?([^?]*)\?=/gi)]
    return Buffer.concat(
      parts.map(([, coding, part = '']) =>
        coding?.toUpperCase() === 'B'
          ? Buffer.from(part, 'base64')
          : Buffer.from(unquoted(part.replaceAll('_', ' ')), 'utf8'),
      ),
    ).toString()
  })

const unquoted = (text: string): string =>
  Buffer.from(
    text.replace(/=([0-9A-F]{2})/gi, (_all, hex: string) => String.fromCharCode(parseInt(hex, 16))),
    'latin1',
  ).toString()

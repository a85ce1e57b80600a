import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { Agent } from 'node:https'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect } from 'vitest'
import { mailSender } from '../../daemon/notify/mail.ts'
import type { MailServer } from '../../daemon/notify/mail.ts'
import { relaySender } from '../../daemon/notify/relay.ts'
import { newVapidKeys, webPushSender } from '../../daemon/notify/web-push.ts'
import { webhookSender } from '../../daemon/notify/webhook.ts'
import type { Delivery } from '../../daemon/ports/outbox.ts'
import { Channel, ChannelSecret } from '../../schemas/contact.ts'
import { Message, Parcel } from '../../schemas/outbox.ts'
import type { Instant } from '../../schemas/units.ts'
import { makeCertificates } from './certificates.ts'
import type { Certificates } from './certificates.ts'
import { startHttpReceiver } from './http-receiver.ts'
import type { Behaviour, HttpReceiver } from './http-receiver.ts'
import { startMailServer } from './mail-server.ts'
import type { MailBehaviour, MailReceiver } from './mail-server.ts'
import { startPushService } from './push-service.ts'

/** Sunday 2026-01-11, 02:00 UTC. */
export const now = Date.UTC(2026, 0, 11, 2) as Instant
export const clock = { now: () => now }

export type Change = Partial<Omit<Parcel, 'message'>> & { readonly message?: Partial<Message> }

/** An alarm of an invented household, born now, worth sending for two hours. */
export function aParcel({ message, ...rest }: Change = {}): Parcel {
  return Parcel.parse({
    key: 'limit:box-1:temperature:lowCritical/3/raised/ada-phone',
    kind: 'raised',
    contact: 'ada',
    channel: 'ada-phone',
    alarm: 'limit:box-1:temperature:lowCritical',
    occurrence: 3,
    bornAt: now,
    dueAt: now,
    expiresAt: now + 7_200_000,
    tries: 0,
    state: 'waiting',
    outcome: null,
    ...rest,
    message: Message.parse({
      title: 'ALARM Box 1 0.4 °C, too cold',
      text: 'Box 1 is too cold.\nFirst: look at the fridge door.',
      priority: 'high',
      link: 'https://brumal.frog-house.example/alarms?open=box-1&sign=link-signature-5512',
      acknowledgeLink: 'https://brumal.frog-house.example/ack/answer-signature-7734',
      ...message,
    }),
  })
}

export const vapid = { subject: 'mailto:ada@frog-house.example', ...newVapidKeys() }
export const relayToken = 'relay-token-4d1f'
export const webhookHeaders = { 'X-Gateway-Key': 'webhook-key-9a2c' }
export const mailLogin = { user: 'brumal', password: 'mail-password-88e1' }
const alwaysSecret = [
  vapid.privateKey,
  relayToken,
  ...Object.values(webhookHeaders),
  mailLogin.password,
  'link-signature-5512',
  'answer-signature-7734',
]

/** X4: whatever came of a try is one sentence for the journal, and no key, token, password or signed link is in it. */
export function checked(delivery: Delivery, ...secrets: readonly string[]): Delivery {
  expect(delivery.sentence).toMatch(/^[A-Z].{5,298}\.$|^[A-Z].{5,298}\?$/)
  for (const secret of [...alwaysSecret, ...secrets]) expect(JSON.stringify(delivery)).not.toContain(secret)
  return delivery
}

/** What a receiver may do, in words that fit any kind of channel. */
export type Conduct =
  | 'takes'
  | 'is not found'
  | 'is gone'
  | 'finds it too long'
  | 'wants a pause of 90 s'
  | 'wants a pause until 02:02'
  | 'fails'
  | 'is away'
  | 'refuses the login'
  | 'refuses the message'
  | 'hangs'
  | 'hangs before anything'
  | 'refuses TLS'
  | 'closes'
  | 'closes in its answer'
  | 'closes behind its answer'
  | 'stops behind its answer'
  | 'answers without end'
  | 'speaks another protocol'
  | 'sends us elsewhere'

/** One kind of channel with its real receiver, both over TLS. */
export interface Subject {
  readonly kind: Channel['kind']
  /** Sends and checks that the sentence holds no secret. */
  send(change?: Change, signal?: AbortSignal): Promise<Delivery>
  /** The same, to a receiver elsewhere. */
  sendTo(host: string, port: number): Promise<Delivery>
  /** The same, but trusting the system's authorities, which do not know the receiver's. */
  sendMistrusting(): Promise<Delivery>
  behave(...next: readonly Conduct[]): void
  release(): void
  /** How many whole messages have reached the receiver, taken or not; for mail, those that it kept. */
  arrived(): number
  open(): number
  stop(): Promise<void>
}

export interface CertificateFolder extends Certificates {
  readonly agent: Agent
  readonly caText: string
  remove(): void
}

export function certificateFolder(): CertificateFolder {
  const folder = mkdtempSync(join(tmpdir(), 'brumal-channels-'))
  const made = makeCertificates(folder)
  const caText = readFileSync(made.ca, 'utf8')
  const remove = () => rmSync(folder, { recursive: true, force: true })
  return { ...made, caText, agent: new Agent({ ca: caText }), remove }
}

const never = (): AbortSignal => AbortSignal.timeout(15_000)

const httpConduct: Readonly<Record<Conduct, Behaviour | 'refusesTls' | null>> = {
  takes: { status: 201 },
  'is not found': { status: 404 },
  'is gone': { status: 410 },
  'finds it too long': { status: 413 },
  'wants a pause of 90 s': { status: 429, headers: { 'Retry-After': '90' } },
  'wants a pause until 02:02': { status: 429, headers: { 'Retry-After': 'Sun, 11 Jan 2026 02:02:00 GMT' } },
  fails: { status: 500, body: `error: ${relayToken} ${webhookHeaders['X-Gateway-Key']}` },
  'is away': { status: 503 },
  'refuses the login': { status: 401 },
  'refuses the message': { status: 400, body: 'link-signature-5512 is no good' },
  hangs: 'holds',
  'hangs before anything': null, // HTTP has no greeting
  'refuses TLS': 'refusesTls',
  closes: 'closes',
  'closes in its answer': 'closesInHead',
  'closes behind its answer': 'closesInBody',
  'stops behind its answer': 'stopsInBody',
  'answers without end': 'neverEnds',
  'speaks another protocol': 'babbles',
  'sends us elsewhere': { status: 307, headers: { Location: `http://elsewhere.invalid/${relayToken}` } },
}

const mailConduct: Readonly<Record<Conduct, MailBehaviour | 'refusesTls' | null>> = {
  takes: 'takes',
  'is not found': null, // a mailbox that is not there is a 550, among many other things
  'is gone': null,
  'finds it too long': { at: 'message', code: 552 },
  'wants a pause of 90 s': null, // SMTP names no time
  'wants a pause until 02:02': null,
  fails: { at: 'message', code: 451 },
  'is away': { at: 'greeting', code: 421 },
  'refuses the login': { at: 'sender', code: 530 },
  'refuses the message': { at: 'recipient', code: 550 },
  hangs: 'holdsMessage',
  'hangs before anything': 'holdsGreeting',
  'refuses TLS': 'refusesTls',
  closes: 'closesAtGreeting',
  'closes in its answer': 'closesAtMessage',
  'closes behind its answer': null, // its answer is one line
  'stops behind its answer': null,
  'answers without end': null,
  'speaks another protocol': null,
  'sends us elsewhere': null,
}

/** False where a receiver of this kind has no way to do it: the tables say why. */
export const canBe = (kind: Channel['kind'], conduct: Conduct): boolean =>
  (kind === 'mail' ? mailConduct : httpConduct)[conduct] !== null

function behaving<Told>(
  table: Readonly<Record<Conduct, Told | 'refusesTls' | null>>,
  receiver: { behave(...next: readonly Told[]): void; refuseTls(): void },
): Pick<Subject, 'behave'> {
  return {
    behave(...next) {
      for (const conduct of next) {
        const told = table[conduct]
        if (told === null) throw new Error(`such a receiver never ${conduct}`)
        if (told === 'refusesTls') receiver.refuseTls()
        else receiver.behave(told)
      }
    },
  }
}

const overHttp = (receiver: HttpReceiver) => ({
  ...behaving<Behaviour>(httpConduct, receiver),
  release: receiver.release,
  arrived: () => receiver.requests.length,
  open: receiver.open,
  stop: receiver.stop,
})

export async function pushSubject({ good, agent }: CertificateFolder): Promise<Subject> {
  const service = await startPushService(good)
  const { secret } = service.subscribe(vapid.publicKey)
  const channel = Channel.parse({ id: 'ada-phone', kind: 'push', label: 'Ada’s phone' })
  if (channel.kind !== 'push') throw new Error('not a push channel')
  const trusting = webPushSender({ vapid, clock, agent })
  const mistrusting = webPushSender({ vapid, clock })
  const keys = [secret.endpoint, new URL(secret.endpoint).pathname, secret.p256dh, secret.auth]
  const send = async (sender: typeof trusting, change: Change, signal: AbortSignal, endpoint: string) =>
    checked(await sender.send(channel, { ...secret, endpoint }, aParcel(change), signal), ...keys)
  return {
    kind: 'push',
    ...overHttp(service),
    send: (change = {}, signal = never()) => send(trusting, change, signal, secret.endpoint),
    sendTo: (host, port) => send(trusting, {}, never(), `https://${host}:${port}/p/1`),
    sendMistrusting: () => send(mistrusting, {}, never(), secret.endpoint),
  }
}

export async function relaySubject({ good, agent }: CertificateFolder): Promise<Subject> {
  const receiver = await startHttpReceiver({ certificate: good })
  const secret = ChannelSecret.parse({ kind: 'relay', token: relayToken })
  const send = async (origin: string, change: Change, signal: AbortSignal, trusts = true) => {
    const channel = Channel.parse({
      id: 'ada-relay',
      kind: 'relay',
      label: 'Relay',
      url: `${origin}/ada-topic`,
    })
    if (channel.kind !== 'relay') throw new Error('not a relay channel')
    const sender = relaySender({ clock, ...(trusts ? { agent } : {}) })
    return checked(await sender.send(channel, secret, aParcel(change), signal))
  }
  return {
    kind: 'relay',
    ...overHttp(receiver),
    send: (change = {}, signal = never()) => send(receiver.origin, change, signal),
    sendTo: (host, port) => send(`https://${host}:${port}`, {}, never()),
    sendMistrusting: () => send(receiver.origin, {}, never(), false),
  }
}

export async function webhookSubject({ good, agent }: CertificateFolder): Promise<Subject> {
  const receiver = await startHttpReceiver({ certificate: good })
  const secret = ChannelSecret.parse({ kind: 'webhook', headers: webhookHeaders })
  const send = async (origin: string, change: Change, signal: AbortSignal, trusts = true) => {
    const template = '{"say":"{{title}}","more":"{{text}}","id":"{{key}}"}'
    const channel = Channel.parse({
      id: 'ada-sms',
      kind: 'webhook',
      label: 'SMS',
      url: `${origin}/sms?login=url-login`,
      template,
    })
    if (channel.kind !== 'webhook') throw new Error('not a webhook channel')
    const sender = webhookSender({ clock, ...(trusts ? { agent } : {}) })
    return checked(await sender.send(channel, secret, aParcel(change), signal), 'url-login')
  }
  return {
    kind: 'webhook',
    ...overHttp(receiver),
    send: (change = {}, signal = never()) => send(receiver.origin, change, signal),
    sendTo: (host, port) => send(`https://${host}:${port}`, {}, never()),
    sendMistrusting: () => send(receiver.origin, {}, never(), false),
  }
}

export const from = 'Brumal <brumal@frog-house.example>'
export const mailChannel = {
  id: 'ada-mail',
  kind: 'mail',
  label: 'Mail',
  address: 'ada@frog-house.example',
} as unknown as Extract<Channel, { kind: 'mail' }>

export async function mailSubject({ good, caText }: CertificateFolder): Promise<Subject> {
  const server: MailReceiver = await startMailServer({
    security: 'tls',
    certificate: good,
    login: mailLogin,
  })
  const send = async (host: string, port: number, change: Change, signal: AbortSignal, ca?: string) => {
    const settings: MailServer = { host, port, security: 'tls', ...mailLogin, from, ...(ca ? { ca } : {}) }
    return checked(await mailSender(settings).send(mailChannel, null, aParcel(change), signal))
  }
  return {
    kind: 'mail',
    ...behaving<MailBehaviour>(mailConduct, server),
    release: server.release,
    arrived: () => server.mails.length,
    open: server.open,
    stop: server.stop,
    send: (change = {}, signal = never()) => send('127.0.0.1', server.port, change, signal, caText),
    sendTo: (host, port) => send(host, port, {}, never(), caText),
    sendMistrusting: () => send('127.0.0.1', server.port, {}, never()),
  }
}

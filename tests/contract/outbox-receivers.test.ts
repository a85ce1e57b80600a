import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { relaySender } from '../../daemon/notify/relay.ts'
import type { Sender, Senders } from '../../daemon/ports/outbox.ts'
import { hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { Channel } from '../../schemas/contact.ts'
import type { Message, Parcel } from '../../schemas/outbox.ts'
import {
  canBe,
  type CertificateFolder,
  certificateFolder,
  type Conduct,
  mailSubject,
  now,
  pushSubject,
  relaySubject,
  type Subject,
  webhookSubject,
} from '../support/channel-world.ts'
import { startHttpReceiver } from '../support/http-receiver.ts'
import { freePort } from '../support/mosquitto.ts'
import { anOutboxWorld, channelId, channelNamed, type TestedOutbox } from '../support/outbox-world.ts'
import { type SimulatedTime, simulatedTime } from '../support/simulated-time.ts'
import { temporaryFolder } from '../support/store-world.ts'
import { until } from '../support/until.ts'

type Kind = Channel['kind']
const starts = { push: pushSubject, relay: relaySubject, mail: mailSubject, webhook: webhookSubject } as const
const nameOf = { push: 'ada-push', relay: 'ada-relay', mail: 'ada-mail', webhook: 'ada-sms' } as const
const kinds = Object.keys(starts) as Kind[]

/** A name that no server can have (RFC 1035 §2.3.4), so that the question never leaves this machine. */
const noName = `${'a'.repeat(64)}.invalid`

let certificates: CertificateFolder
beforeAll(() => {
  certificates = certificateFolder()
})
afterAll(() => certificates.remove())

let folder: ReturnType<typeof temporaryFolder>
let time: SimulatedTime
let world: TestedOutbox
let subjects: Map<Kind, Subject>
/** Where everything goes while the network is down; null while it is up. */
let downTo: readonly [host: string, port: number] | null
let underWay: { readonly hasArrived: () => boolean; readonly signal: AbortSignal }[]
/** Tries to come, in order, of which some are left without an answer. */
let isLeft: boolean[]
let tried: { readonly kind: Kind; readonly at: number }[]
let saidNow: (parcel: Parcel) => Message | null

beforeEach(() => {
  folder = temporaryFolder()
  time = simulatedTime(now)
  subjects = new Map()
  underWay = []
  isLeft = []
  tried = []
  downTo = null
  saidNow = ({ message }) => message
})
afterEach(async () => {
  await world.outbox.stop()
  world.close()
  folder.remove()
  for (const subject of subjects.values()) await subject.stop()
})

/** The real senders and receivers of these kinds, both over TLS; only time is simulated. */
async function open(...these: readonly Kind[]): Promise<void> {
  for (const kind of these) subjects.set(kind, await starts[kind](certificates))
  const senderOf = (kind: Kind): Sender<Kind> | null => {
    const subject = subjects.get(kind)
    if (subject === undefined) return null
    return {
      async send(_channel, _secret, parcel, signal) {
        tried.push({ kind, at: time.clock.now() })
        const before = subject.arrived()
        const isHeld = downTo === null && isLeft.shift() === true
        const one = { hasArrived: () => isHeld && subject.arrived() > before, signal }
        underWay.push(one)
        const delivery =
          downTo === null ? await subject.send(parcel, signal) : await subject.sendTo(...downTo)
        underWay.splice(underWay.indexOf(one), 1)
        return delivery
      },
    }
  }
  const senders = Object.fromEntries(kinds.map((kind) => [kind, senderOf(kind)])) as unknown as Senders
  const contacts = { ada: these.map((kind) => nameOf[kind]) }
  world = anOutboxWorld({
    folder: folder.path,
    time,
    senders,
    contacts,
    refresh: (parcel) => saidNow(parcel),
  })
  await world.start()
}

/** Lets the network do its part, and time pass from one thing that is due to the next, for so long or until it is done. */
async function play(isDone: () => boolean, atMost: number = hours(2)): Promise<void> {
  const end = time.clock.now() + atMost
  const hangs = () => underWay.some(({ hasArrived, signal }) => !signal.aborted && hasArrived())
  for (;;) {
    await until(() => underWay.length === 0 || hangs(), 'every try to end or to hang')
    await time.settle()
    if (underWay.length > 0 && !hangs()) continue
    if (underWay.length === 0 && isDone()) return
    const wait = time.next() ?? 0
    if (time.clock.now() + wait > end) return time.pass(end - time.clock.now())
    await time.pass(wait)
  }
}

interface Row {
  readonly conduct: readonly Conduct[]
  /** What is nearest to it in SMTP, where that has no such thing. */
  readonly ofMail?: readonly Conduct[]
  readonly downFor?: number
  readonly answersLate?: boolean
  readonly tries: number
  readonly state: 'delivered' | 'failed'
  readonly heard: readonly string[]
  readonly outcome: RegExp
  /** Between the first try and the second, in ms. */
  readonly firstWait?: number
}

const gone = ['failed a', 'gone ada %', 'ada out of reach']
const lost = ['failed a', 'ada out of reach']
const taken = ['delivered a', 'ada reached']
const never = (conduct: Conduct): readonly Conduct[] => Array.from({ length: 20 }, () => conduct)

/** Chance is 0.5, so the waits are 3.75 s, 7.5 s, 15 s and so on; the message is worth sending for ten minutes. */
const rows: Readonly<Record<string, Row>> = {
  'answers 404': {
    conduct: ['is not found'],
    tries: 1,
    state: 'failed',
    heard: gone,
    outcome: /no longer there \(404\)/,
  },
  'answers 410': {
    conduct: ['is gone'],
    tries: 1,
    state: 'failed',
    heard: gone,
    outcome: /no longer there \(410\)/,
  },
  'has no such mailbox (550)': {
    conduct: [],
    ofMail: ['refuses the message'],
    tries: 1,
    state: 'failed',
    heard: lost,
    outcome: /refuses the message \(550\)/,
  },
  'answers 413 (552)': {
    conduct: ['finds it too long'],
    tries: 1,
    state: 'failed',
    heard: lost,
    outcome: /\((?:413|552)\)/,
  },
  'answers 429, wants 90 s': {
    conduct: ['wants a pause of 90 s'],
    tries: 2,
    state: 'delivered',
    heard: taken,
    outcome: /took the message/,
    firstWait: 90_000,
  },
  'is away (421), then takes it': {
    conduct: [],
    ofMail: ['is away'],
    tries: 2,
    state: 'delivered',
    heard: taken,
    outcome: /took the message/,
    firstWait: 3750,
  },
  'answers 500 (451), then takes it': {
    conduct: ['fails'],
    tries: 2,
    state: 'delivered',
    heard: taken,
    outcome: /took the message/,
    firstWait: 3750,
  },
  'hangs at every try': {
    conduct: never('hangs'),
    tries: 8,
    state: 'failed',
    heard: ['ada out of reach', 'failed a'],
    outcome: /did not answer in the time that a try has\.$/,
    firstWait: 18_750,
  },
  'refuses TLS twice': {
    conduct: ['refuses TLS', 'refuses TLS'],
    tries: 3,
    state: 'delivered',
    heard: taken,
    outcome: /took the message/,
    firstWait: 3750,
  },
  'cannot be found by its name for 30 s': {
    conduct: [],
    downFor: 30_000,
    tries: 5,
    state: 'delivered',
    heard: ['ada out of reach', 'delivered a', 'ada reached'],
    outcome: /took the message/,
    firstWait: 3750,
  },
  'answers after we gave up': {
    conduct: ['hangs'],
    answersLate: true,
    tries: 2,
    state: 'delivered',
    heard: taken,
    outcome: /took the message/,
    firstWait: 18_750,
  },
}

const table: string[] = []
afterAll(() => {
  const head = 'channel'.padEnd(8) + 'the receiver'.padEnd(38) + 'tries  arrived  over    state      outcome'
  console.log([head, ...table].join('\n'))
})

describe.each(kinds)('to a misbehaving receiver of kind %s', (kind) => {
  const possible = Object.entries(rows).filter(([, { conduct, ofMail, downFor }]) =>
    kind === 'mail' && ofMail !== undefined
      ? true
      : (conduct.length > 0 || downFor !== undefined) && conduct.every((one) => canBe(kind, one)),
  )

  test.each(possible)('A4: one that %s', async (name, row) => {
    await open(kind)
    const subject = subjects.get(kind)
    if (subject === undefined) throw new Error('no receiver')
    const conduct = kind === 'mail' ? (row.ofMail ?? row.conduct) : row.conduct
    subject.behave(...conduct)
    isLeft = conduct.map((one) => one === 'hangs')
    if (row.downFor !== undefined) downTo = [noName, 443]
    const begun = time.clock.now()
    const channel = channelId(nameOf[kind])
    await world.put(world.born('a', { channel, expiresAt: later(begun, minutes(10)) }))
    if (row.downFor !== undefined) await play(() => false, row.downFor)
    downTo = null
    await play(() => world.outbox.waiting() === 0)
    if (row.answersLate) subject.release()
    await play(() => world.outbox.waiting() === 0)

    const parcel = world.stored('a')
    const took = (time.clock.now() - begun) / 1000
    table.push(
      `${kind.padEnd(8)}${name.padEnd(38)}${String(parcel?.tries).padStart(5)}${String(subject.arrived()).padStart(9)}` +
        `${took.toFixed(1).padStart(7)} s ${String(parcel?.state).padEnd(10)} ${parcel?.outcome}`,
    )
    expect(parcel).toMatchObject({ state: row.state, tries: row.tries })
    expect(parcel?.outcome).toMatch(row.outcome)
    expect(world.heard).toEqual(row.heard.map((words) => words.replace('%', channel)))
    expect(tried).toHaveLength(row.tries)
    if (row.firstWait !== undefined) expect((tried[1]?.at ?? 0) - (tried[0]?.at ?? 0)).toBe(row.firstWait)
    expect(took).toBeLessThanOrEqual(600)
    expect(world.store.waiting()).toEqual([])
    // Given up is gone for good: no late answer changes it, and nothing more is sent.
    subject.release()
    await play(() => false, hours(1))
    expect(world.stored('a')).toEqual(parcel)
    expect(tried).toHaveLength(row.tries)
    await until(() => subject.open() === 0, 'the connections to be closed')
  })
})

test('A4: an hour without a network and 20 repeats of one alarm end with one message by each channel, true as it is then', async () => {
  await open('push', 'relay', 'mail', 'webhook')
  downTo = ['127.0.0.1', await freePort()]
  saidNow = ({ message }) => ({ ...message, text: `as it is at ${time.clock.now() - now}` })
  for (let i = 0; i < 20; i++) {
    const parcels = kinds.map((kind) =>
      world.born(`${kind} ${i}`, { channel: channelId(nameOf[kind]), kind: i === 0 ? 'raised' : 'again' }),
    )
    await world.put(...parcels)
    await play(() => false, minutes(3))
  }
  expect(world.heard).toEqual(['ada out of reach'])
  expect([...subjects.values()].map((subject) => subject.arrived())).toEqual([0, 0, 0, 0])
  const inVain = tried.length
  downTo = null
  await play(() => world.outbox.waiting() === 0, minutes(5))
  await play(() => false, hours(1))

  const line = kinds.map((kind) => `${kind} ${subjects.get(kind)?.arrived()}`).join(', ')
  console.log(`after an hour's outage (${inVain} tries in vain, 80 messages) arrived: ${line}`)
  expect([...subjects.values()].map((subject) => subject.arrived())).toEqual([1, 1, 1, 1])
  expect(tried).toHaveLength(inVain + 4)
  // ten messages for each channel would be a burst: all but the last of each were replaced, and say so
  const ends = world.store.recent(100).map(({ state, outcome }) => `${state}: ${outcome}`)
  expect(ends.filter((words) => words === 'replaced: Something newer was said instead.')).toHaveLength(76)
  expect(ends.filter((words) => words.startsWith('delivered: '))).toHaveLength(4)
  const [last] = world.store.recent(1)
  expect(last?.message.text).toMatch(/^as it is at 36\d{5}$/)
  expect(world.heard.filter((words) => words.startsWith('ada '))).toEqual(['ada out of reach', 'ada reached'])
}, 60_000)

test('A4: the same key goes with each try of one message, with the secret of its channel as it is then', async () => {
  await open('push')
  const receiver = await startHttpReceiver()
  try {
    const relay = channelNamed('ada-phone')
    if (relay.kind !== 'relay') throw new Error('not a relay')
    const sender = relaySender({ clock: time.clock })
    const real = anOutboxWorld({
      folder: folder.path,
      time,
      contacts: { ada: ['ada-phone'] },
      senders: {
        push: null,
        mail: null,
        webhook: null,
        relay: {
          send: (_channel, secret, parcel, signal) =>
            sender.send({ ...relay, url: `${receiver.origin}/ada` }, secret, parcel, signal),
        },
      },
    })
    real.store.saveChannelSecret(channelId('ada-phone'), { kind: 'relay', token: 'old-token' })
    receiver.behave({ status: 401 }, 'closes', { status: 200 })
    await real.start()
    await real.put(real.born('a'))
    await until(() => real.stored('a')?.tries === 1, 'the first try')
    // A login is put right while the message waits.
    real.store.saveChannelSecret(channelId('ada-phone'), { kind: 'relay', token: 'new-token' })
    for (const tries of [2, 3]) {
      await time.pass(seconds(10))
      await until(() => real.stored('a')?.tries === tries, `try ${tries}`)
    }
    expect(receiver.requests.map(({ headers }) => headers['idempotency-key'])).toEqual(['"a"', '"a"', '"a"'])
    expect(receiver.requests.map(({ headers }) => headers.authorization)).toEqual([
      'Bearer old-token',
      'Bearer new-token',
      'Bearer new-token',
    ])
    expect(real.stored('a')?.state).toBe('delivered')
    await real.outbox.stop()
    real.close()
  } finally {
    await receiver.stop()
  }
})

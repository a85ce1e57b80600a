import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Delivery } from '../../daemon/ports/outbox.ts'
import {
  canBe,
  certificateFolder,
  mailSubject,
  pushSubject,
  relaySubject,
  webhookSubject,
} from '../support/channel-world.ts'
import type { CertificateFolder, Conduct, Subject } from '../support/channel-world.ts'
import { freePort } from '../support/mosquitto.ts'
import { until } from '../support/until.ts'

let certificates: CertificateFolder
beforeAll(() => {
  certificates = certificateFolder()
})
afterAll(() => certificates.remove())

/** What each conduct of a receiver comes to, whatever the channel, and how long it asks us to wait. */
const comesTo: readonly (readonly [Conduct, Delivery['outcome'], retryAfter: number | null])[] = [
  ['takes', 'delivered', null],
  ['is not found', 'gone', null],
  ['is gone', 'gone', null],
  ['finds it too long', 'refused', null],
  ['refuses the message', 'refused', null],
  ['sends us elsewhere', 'refused', null],
  ['wants a pause of 90 s', 'later', 90_000],
  ['wants a pause until 02:02', 'later', 120_000],
  ['fails', 'later', null],
  ['is away', 'later', null],
  ['refuses the login', 'later', null],
  ['refuses TLS', 'later', null],
  ['closes', 'later', null],
  ['closes in its answer', 'later', null],
  ['speaks another protocol', 'later', null],
  ['closes behind its answer', 'delivered', null],
  ['answers without end', 'delivered', null],
]

const kinds = {
  push: pushSubject,
  relay: relaySubject,
  webhook: webhookSubject,
  mail: mailSubject,
} as const

describe.each(Object.entries(kinds))('a %s channel', (name, start) => {
  const kind = name as keyof typeof kinds
  let channel: Subject
  beforeEach(async () => {
    channel = await start(certificates)
  })
  afterEach(() => channel.stop())

  const nothingStaysOpen = () => until(() => channel.open() === 0, 'the connection to be closed')

  test.each(comesTo.filter(([conduct]) => canBe(kind, conduct)))(
    'when the receiver %s, it is %s',
    async (conduct, outcome, retryAfter) => {
      channel.behave(conduct)
      const delivery = await channel.send()
      expect(delivery).toMatchObject({ outcome })
      if (delivery.outcome === 'later') expect(delivery.retryAfter).toBe(retryAfter)
      await nothingStaysOpen()
    },
  )

  test('a receiver that failed once takes the next try', async () => {
    channel.behave('fails', 'takes')
    expect(await channel.send()).toMatchObject({ outcome: 'later' })
    expect(await channel.send()).toMatchObject({ outcome: 'delivered' })
    expect(channel.arrived()).toBe(channel.kind === 'mail' ? 1 : 2)
  })

  test('a refused TLS greeting does not spoil the next try', async () => {
    channel.behave('refuses TLS')
    expect(await channel.send()).toMatchObject({ outcome: 'later' })
    expect(await channel.send()).toMatchObject({ outcome: 'delivered' })
  })

  const hanging = ['hangs', 'hangs before anything', 'stops behind its answer'] as const
  test.each(hanging.filter((conduct) => canBe(kind, conduct)))(
    'when the receiver %s, the try ends with its time',
    async (conduct) => {
      channel.behave(conduct)
      const started = performance.now()
      const delivery = await channel.send({}, AbortSignal.timeout(300))
      // 300 ms of time, and the rest for a busy machine to notice; a sender's own patience is 15 s
      expect(performance.now() - started).toBeLessThan(3000)
      // an answer whose head said yes is a yes, whatever becomes of its body
      const isYes = conduct === 'stops behind its answer'
      expect(delivery).toMatchObject({ outcome: isYes ? 'delivered' : 'later' })
      if (!isYes) expect(delivery.sentence).toMatch(/did not answer in the time that a try has\.$/)
      await nothingStaysOpen()
    },
  )

  test('an answer that comes after we gave up is nobody’s', async () => {
    channel.behave('hangs')
    const time = new AbortController()
    const sending = channel.send({}, time.signal)
    await until(() => channel.arrived() === 1, 'the message to arrive')
    time.abort()
    expect(await sending).toMatchObject({ outcome: 'later', retryAfter: null })
    channel.release()
    await nothingStaysOpen()
    expect(await channel.send()).toMatchObject({ outcome: 'delivered' })
  })

  test('a try whose time is over before it starts sends nothing', async () => {
    expect(await channel.send({}, AbortSignal.abort())).toMatchObject({ outcome: 'later', retryAfter: null })
    expect(channel.arrived()).toBe(0)
  })

  test('where nobody listens, it is tried again later', async () => {
    const delivery = await channel.sendTo('127.0.0.1', await freePort())
    expect(delivery).toMatchObject({ outcome: 'later', retryAfter: null })
    expect(delivery.sentence).toContain('is not there: nothing listens at this address.')
  })

  test('a name that no server can have is looked up in vain and tried again later', async () => {
    // a label of 64 characters is one too long (RFC 1035 §2.3.4), so the question never leaves this machine
    const delivery = await channel.sendTo(`${'a'.repeat(64)}.invalid`, 443)
    expect(delivery).toMatchObject({ outcome: 'later', retryAfter: null })
    expect(delivery.sentence).toContain('cannot be found by its name')
  })

  test('X4: to a receiver with a certificate that nobody vouches for, nothing is sent', async () => {
    const delivery = await channel.sendMistrusting()
    expect(delivery).toMatchObject({ outcome: 'later', retryAfter: null })
    expect(delivery.sentence).toContain('shows a certificate from an unknown authority')
    expect(channel.arrived()).toBe(0)
  })
})

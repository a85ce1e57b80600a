import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { JournalLine } from '../../schemas/api.ts'
import type { AnswerNow, MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import { type CertificateFolder, certificateFolder, mailLogin, relayToken } from '../support/channel-world.ts'
import { addContact, answerToken, hurry, relayTo } from '../support/contacts.ts'
import { type Daemon, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { startHttpReceiver } from '../support/http-receiver.ts'
import { startMailServer } from '../support/mail-server.ts'
import { startPushService } from '../support/push-service.ts'
import { until } from '../support/until.ts'

let certificates: CertificateFolder
beforeAll(() => {
  certificates = certificateFolder()
})
afterAll(() => certificates.remove())

const ends: (() => Promise<unknown>)[] = []
afterAll(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function aHouse(env: NodeJS.ProcessEnv = {}): Promise<Daemon> {
  const daemon = await startDaemon({ env: { NODE_EXTRA_CA_CERTS: certificates.ca, ...env } })
  ends.push(() => daemon.stop())
  await tortoiseHouse(daemon)
  return daemon
}

async function aReceiver(certificate = true) {
  const receiver = await startHttpReceiver(certificate ? { certificate: certificates.good } : {})
  ends.push(receiver.stop)
  return receiver
}

/** −1 °C for five minutes, heard now: past every delay, so the alarm is raised at once. */
const freeze = (daemon: Daemon) => daemon.publish('brumal/in/probe', senml(-1, Date.now() - 300_000))

const story = async (daemon: Daemon): Promise<string[]> =>
  (await daemon.call<JournalLine[]>('GET', '/api/journal?limit=200'))
    .toReversed()
    .filter(({ alarm, contact }) => alarm !== undefined || contact !== undefined)
    .filter(({ kind }) => kind !== 'changed')
    .map(({ kind, contact, by }) => [kind, contact ?? by].join(' '))

describe('from a raised alarm to a person who acts, through the built program', () => {
  test('A6: push, relay, mail and webhook all have it within two seconds, exactly as documented', async () => {
    const service = await startPushService(certificates.good)
    const mail = await startMailServer({ security: 'tls', certificate: certificates.good, login: mailLogin })
    ends.push(service.stop, mail.stop)
    const [relay, hook] = [await aReceiver(), await aReceiver()]
    const daemon = await aHouse({
      BRUMAL_MAIL_HOST: '127.0.0.1',
      BRUMAL_MAIL_PORT: String(mail.port),
      BRUMAL_MAIL_USER: mailLogin.user,
      BRUMAL_MAIL_PASSWORD: mailLogin.password,
      BRUMAL_MAIL_FROM: 'Brumal <brumal@frog-house.example>',
      BRUMAL_MAIL_CA_FILE: certificates.ca,
      BRUMAL_HTTP_ADDRESS: 'https://brumal.frog-house.example/',
    })
    const { pushKey } = await daemon.call<TellingNow>('GET', '/api/telling')
    const phone = service.subscribe(pushKey)
    const template = '{"to":"+000","say":"{{title}}","more":"{{text}}","id":"{{key}}"}'
    await addContact(daemon, 'ada', [
      { channel: { id: 'phone', kind: 'push', label: 'Phone' }, secret: phone.secret },
      {
        channel: { id: 'relay', kind: 'relay', label: 'Relay', url: `${relay.origin}/ada` },
        secret: { kind: 'relay', token: relayToken },
      },
      { channel: { id: 'mail', kind: 'mail', label: 'Mail', address: 'ada@frog-house.example' } },
      {
        channel: { id: 'sms', kind: 'webhook', label: 'SMS', url: `${hook.origin}/sms`, template },
        secret: { kind: 'webhook', headers: { 'X-Gateway-Key': 'gateway-key-2b7e' } },
      },
    ])
    await freeze(daemon)
    const raised = performance.now()
    const all = () =>
      [phone.taken, relay.requests, mail.mails, hook.requests].every((arrived) => arrived.length === 1)
    await until(all, 'all four to have it', 10_000)
    const took = performance.now() - raised
    console.log(`publish acknowledged → all four receivers: ${took.toFixed(0)} ms`)
    expect(took).toBeLessThan(2000)

    const title = 'ALARM: Low shelf box −1.0 °C, dangerously cold'
    expect(service.faults).toEqual([])
    const [push] = phone.taken
    expect(push).toMatchObject({ urgency: 'high', jwt: { sub: 'mailto:brumal@frog-house.example' } })
    expect(JSON.parse(push?.plaintext ?? '')).toMatchObject({
      title,
      priority: 'high',
      kind: 'raised',
      alarm: 'limit:box:temperature:lowCritical',
      acknowledgeLink: expect.stringMatching(
        /^https:\/\/brumal\.frog-house\.example\/answer\?now#[\w-]+\.[\w-]{22}$/,
      ) as string,
    })
    expect(relay.requests[0]).toMatchObject({
      method: 'POST',
      path: '/ada',
      headers: {
        'content-type': 'text/plain; charset=utf-8',
        priority: '5',
        authorization: `Bearer ${relayToken}`,
        click: expect.stringMatching(/^https:\/\/brumal\.frog-house\.example\/answer#/) as string,
        actions: expect.stringMatching(
          /^view, Acknowledge, https:\/\/brumal\.frog-house\.example\/answer\?now#/,
        ) as string,
      },
    })
    expect(relay.requests[0]?.body.toString()).toMatch(
      /^Low shelf box is dangerously cold at −1\.0 °C \(limit 1\.0 °C\)\.\n.*There: Juno \(Hermann.s tortoise\)\.\nFirst: /s,
    )
    expect(mail.mails[0]).toMatchObject({
      to: ['ada@frog-house.example'],
      isEncrypted: true,
      user: mailLogin.user,
    })
    expect(hook.requests[0]).toMatchObject({
      method: 'POST',
      path: '/sms',
      headers: { 'x-gateway-key': 'gateway-key-2b7e', 'content-type': 'application/json' },
    })
    expect(JSON.parse(hook.requests[0]?.body.toString() ?? '')).toMatchObject({ to: '+000', say: title })

    // X4: no key, token or signed link in the log, in the answers or in the export.
    const secrets = [
      relayToken,
      'gateway-key-2b7e',
      mailLogin.password,
      phone.secret.auth,
      phone.secret.endpoint,
      answerToken(relay),
    ]
    const shown = await Promise.all(
      ['/api/telling', '/api/household', '/api/messages', '/api/journal?limit=200', '/api/alarms'].map(
        async (path) => (await daemon.ask('GET', path)).text(),
      ),
    )
    for (const secret of secrets)
      for (const text of [daemon.printed(), ...shown]) expect(text).not.toContain(secret)
    expect((await daemon.call<MessageLine[]>('GET', '/api/messages')).map(({ state }) => state)).toEqual(
      Array.from({ length: 4 }, () => 'delivered'),
    )
  })

  // Minutes of waiting, not of work: side by side
  test.concurrent('A4: the first phone is dead: the second rings within the set time, an answer stops all, the journal tells it in order', async () => {
    const [dead, second] = [await aReceiver(false), await aReceiver(false)]
    const daemon = await aHouse()
    await addContact(daemon, 'ada', [relayTo('ada-relay', `${dead.origin}/ada`)])
    await addContact(daemon, 'bela', [relayTo('bela-relay', `${second.origin}/bela`)])
    await hurry(daemon)
    await freeze(daemon)
    const raised = Date.now()
    await until(() => dead.requests.length === 1, 'the first contact to be told', 5000)
    expect(second.requests).toHaveLength(0)
    await until(() => second.requests.length === 1, 'the second contact to be told', 75_000)
    const after = Date.now() - raised
    console.log(`second contact told after ${(after / 1000).toFixed(1)} s (set: 60 s)`)
    expect(after).toBeGreaterThan(59_000)
    expect(after).toBeLessThan(63_000)

    await until(async () => (await story(daemon)).length === 4, 'the journal to have it', 5000)
    // Killed in the middle of the night: it goes on where it was.
    await daemon.kill('SIGKILL')
    await daemon.again()
    expect(await story(daemon)).toEqual(['raised brumal', 'told ada', 'told ada', 'told bela'])

    // Bela's phone answers, twice, without a sign-in.
    const token = answerToken(second)
    const answered = await daemon.ask('POST', '/api/answer/acknowledge', { token }, null)
    expect(await answered.json()).toMatchObject({
      name: 'Bela',
      sentence: expect.stringMatching(/^Bela acknowledged it at \d\d:\d\d\. It still stands\.$/) as string,
      canAcknowledge: false,
      canTend: true,
      canShelve: false,
    })
    const again = await daemon.ask('POST', '/api/answer/acknowledge', { token }, null)
    expect([again.status, ((await again.json()) as AnswerNow).sentence.slice(0, 17)]).toEqual([
      200,
      'Bela acknowledged',
    ])
    // Ada wakes up and answers too: she is told who was quicker.
    const late = await daemon.ask('POST', '/api/answer/acknowledge', { token: answerToken(dead) }, null)
    expect(((await late.json()) as AnswerNow).sentence).toMatch(/^Bela acknowledged it/)

    const rung = [dead.requests.length, second.requests.length]
    await new Promise((resolve) => setTimeout(resolve, 65_000)) // a repeat would have come after 60 s
    expect([dead.requests.length, second.requests.length]).toEqual(rung)

    await daemon.publish('brumal/in/probe', senml(5, Date.now() - 1000))
    await daemon.publish('brumal/in/probe', senml(5.1, Date.now()))
    expect((await story(daemon)).slice(4, 5)).toEqual(['acknowledged Bela'])
  }, 240_000)

  test.concurrent('N1: a contact whose every channel fails is an alarm, the next is told at once, and it ends when one works again', async () => {
    const second = await aReceiver(false)
    const gone = await aReceiver(false)
    gone.behave(...Array.from({ length: 60 }, () => ({ status: 500 })))
    const daemon = await aHouse()
    await addContact(daemon, 'ada', [relayTo('ada-relay', `${gone.origin}/ada`)])
    await addContact(daemon, 'bela', [relayTo('bela-relay', `${second.origin}/bela`)])
    await freeze(daemon)
    const raised = Date.now()
    await until(() => second.requests.length >= 1, 'the next contact to be told', 60_000)
    console.log(
      `next contact told ${((Date.now() - raised) / 1000).toFixed(1)} s after raising, by failure of the first`,
    )
    expect(gone.requests.length).toBe(3)
    await until(async () => (await daemon.alarms()).standing.length === 2, 'the second alarm')
    expect((await daemon.alarms()).standing.map(({ id }) => id)).toContain('undeliverable:ada')
    const tonight = await daemon.tonight()
    expect(tonight.alarms.map(({ kind }) => kind)).toContain('undeliverable')
    expect(tonight.sentence).toMatch(/^No: Low shelf box/)
    await until(() => second.requests.length === 2, 'that Ada cannot be reached', 5000)
    expect(second.requests.map(({ headers }) => headers['title']).toSorted()).toEqual([
      expect.stringContaining('=?UTF-8?B?'),
      'Look soon: Ada cannot be reached',
    ])
  }, 90_000)

  test.concurrent('a message that waited through a kill -9 goes out once, with the value as it is then', async () => {
    const relay = await aReceiver(false)
    relay.behave({ status: 503 }, { status: 503 })
    const daemon = await aHouse()
    await addContact(daemon, 'ada', [relayTo('ada-relay', `${relay.origin}/ada`)])
    await freeze(daemon)
    await until(() => relay.requests.length >= 1, 'the first try', 5000)
    await daemon.publish('brumal/in/probe', senml(-1.5, Date.now() - 1000))
    await daemon.kill('SIGKILL')
    await daemon.again()
    await until(() => relay.requests.length >= 3, 'the try that is taken', 60_000)
    const bodies = relay.requests.map(({ body }) => body.toString())
    expect(bodies.at(-1)).toContain('Now −1.5 °C.')
    const keys = relay.requests.map(({ headers }) => headers['idempotency-key'])
    expect(new Set(keys).size).toBe(1)
    const [message] = await daemon.call<MessageLine[]>('GET', '/api/messages')
    await until(
      async () => (await daemon.call<MessageLine[]>('GET', '/api/messages'))[0]?.state === 'delivered',
      'it',
    )
    expect(message?.key).toBe(String(keys[0]).slice(1, -1))
  }, 90_000)

  test.concurrent('S1: no animal goes down before a phone has been heard to ring; the reason given instead is kept', async () => {
    const relay = await aReceiver(false)
    const daemon = await startDaemon()
    ends.push(() => daemon.stop())
    await daemon.call('PUT', '/api/places/box', { id: 'box', name: 'Box', kind: 'box' })
    const juno = { id: 'juno', name: 'Juno', species: 'testudo-hermanni', place: 'box', mode: 'goesDown' }
    const plan = [{ phase: 'hold', from: Date.now() - 1000 }]
    const save = (query = '') => daemon.ask('PUT', `/api/animals/juno${query}`, { ...juno, plan })
    const whyNot = async (): Promise<readonly [number, string, boolean]> => {
      const refused = await save()
      const { code, detail } = (await refused.json()) as { code: string; detail: string }
      return [refused.status, code, detail.includes('no phone has been heard to ring')]
    }
    expect(await whyNot()).toEqual([409, 'notReady', true])

    await addContact(daemon, 'ada', [relayTo('ada-relay', `${relay.origin}/ada`)])
    const rung = await daemon.call<MessageLine>('POST', '/api/contacts/ada/channels/ada-relay/ring', {})
    expect(rung).toMatchObject({ kind: 'ring', state: 'delivered', title: 'Brumal rings' })
    expect(await whyNot()).toEqual([409, 'notReady', true]) // sent is not heard
    const answered = await daemon.ask('POST', '/api/answer/rang', { token: answerToken(relay) }, null)
    expect(await answered.json()).toMatchObject({
      purpose: 'ring',
      sentence: 'Thank you: it is noted that this rings.',
    })
    expect(await whyNot()).toEqual([409, 'notReady', false])
    expect((await save('?anyway=it+is+in+hold+already')).status).toBe(200)
    const [line] = await daemon.call<JournalLine[]>('GET', '/api/journal?limit=1')
    expect(line?.text).toContain('it is in hold already')
    const { contacts } = await daemon.call<TellingNow>('GET', '/api/telling')
    expect(contacts[0]?.channels[0]).toMatchObject({ isRingDue: false, condition: 'working' })
    expect(contacts[0]?.channels[0]?.rungAt).toBeGreaterThan(Date.now() - 60_000)
  })
})

import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { mailSender } from '../../daemon/notify/mail.ts'
import type { MailServer } from '../../daemon/notify/mail.ts'
import type { Delivery } from '../../daemon/ports/outbox.ts'
import {
  aParcel,
  certificateFolder,
  checked,
  from,
  mailChannel,
  mailLogin,
  now,
} from '../support/channel-world.ts'
import type { CertificateFolder, Change } from '../support/channel-world.ts'
import { readMail, startMailServer } from '../support/mail-server.ts'
import type { MailReceiver } from '../support/mail-server.ts'

let certificates: CertificateFolder
beforeAll(() => {
  certificates = certificateFolder()
})
afterAll(() => certificates.remove())

let server: MailReceiver
afterEach(() => server.stop())

async function start(security: MailServer['security'], offered = security): Promise<void> {
  server = await startMailServer({ security: offered, certificate: certificates.good, login: mailLogin })
  settings = { host: '127.0.0.1', port: server.port, security, ...mailLogin, from, ca: certificates.caText }
}
let settings: MailServer

async function send(change: Change = {}, other: Partial<MailServer> = {}): Promise<Delivery> {
  const sender = mailSender({ ...settings, ...other })
  return checked(await sender.send(mailChannel, null, aParcel(change), AbortSignal.timeout(10_000)))
}

test.each(['tls', 'starttls', 'none'] as const)(
  'by “%s” the mail arrives after the login',
  async (security) => {
    await start(security)
    expect(await send()).toMatchObject({ outcome: 'delivered' })
    expect(server.mails).toMatchObject([
      {
        from: 'brumal@frog-house.example',
        to: ['ada@frog-house.example'],
        isEncrypted: security !== 'none',
        user: 'brumal',
      },
    ])
  },
)

test('A6: the mail says all, and that a machine wrote it', async () => {
  await start('tls')
  await send()
  const { headers, text } = readMail(server.mails[0]?.raw ?? '')
  // SHA-256 of the parcel's key, its first 32 digits as sha256sum of coreutils prints them
  expect(headers).toEqual({
    from: 'Brumal <brumal@frog-house.example>',
    to: 'ada@frog-house.example',
    subject: 'ALARM Box 1 0.4 °C, too cold',
    'message-id': '<4ef88220d4cbf162be8cd3802110db3d@frog-house.example>',
    date: 'Sun, 11 Jan 2026 02:00:00 +0000',
    'auto-submitted': 'auto-generated',
    'x-priority': '1 (Highest)',
    'x-msmail-priority': 'High',
    importance: 'High',
    'mime-version': '1.0',
    'content-type': 'text/plain; charset=utf-8',
    'content-transfer-encoding': expect.stringMatching(/^(?:7bit|quoted-printable|base64)$/) as string,
  })
  expect(text.replaceAll('\r\n', '\n')).toBe(
    [
      'Box 1 is too cold.',
      'First: look at the fridge door.',
      '',
      'See and answer: https://brumal.frog-house.example/alarms?open=box-1&sign=link-signature-5512',
      '',
    ].join('\n'),
  )
})

test('low priority is not marked, and without links the text stands alone', async () => {
  await start('tls')
  await send({ message: { priority: 'low', link: null, acknowledgeLink: null, text: 'Kühl: 冷.' } })
  const { headers, text } = readMail(server.mails[0]?.raw ?? '')
  expect(headers).not.toHaveProperty('x-priority')
  expect(text.trimEnd()).toBe('Kühl: 冷.')
})

test('a second copy of one message has the same Message-ID and date, another message another', async () => {
  await start('tls')
  await send()
  await send({ tries: 1 })
  await send({ key: 'another', bornAt: (now + 1000) as never })
  const [first, second, third] = server.mails.map(({ raw }) => readMail(raw).headers)
  expect(second).toEqual(first)
  expect(third?.['message-id']).not.toBe(first?.['message-id'])
})

test('a title with line breaks adds no header, a text with lone dots no end', async () => {
  await start('tls')
  await send({ message: { title: 'Box 1\r\nBcc: eve@frog-house.example', text: 'one\n.\ntwo\n..\nthree' } })
  expect(server.mails).toHaveLength(1)
  const [mail] = server.mails
  const { headers, text } = readMail(mail?.raw ?? '')
  expect(headers).not.toHaveProperty('bcc')
  expect(mail?.to).toEqual(['ada@frog-house.example'])
  expect(text.replaceAll('\r\n', '\n')).toMatch(/^one\n\.\ntwo\n\.\.\nthree\n/)
})

test('X4: a server without STARTTLS gets neither login nor message', async () => {
  await start('starttls', 'none')
  const delivery = await send()
  expect(delivery).toMatchObject({ outcome: 'later', retryAfter: null })
  expect(delivery.sentence).toMatch(/does not offer STARTTLS, so nothing was sent to it\.$/)
  expect(server.mails).toEqual([])
})

test('X4: behind STARTTLS too, a certificate that nobody vouches for gets nothing', async () => {
  await start('starttls')
  const { ca: _ca, ...systemTrust } = settings
  settings = systemTrust
  const delivery = await send()
  expect(delivery.outcome).toBe('later')
  expect(delivery.sentence).toContain('shows a certificate from an unknown authority')
  expect(server.mails).toEqual([])
})

test('X4: a refused login is named, its password is not, and it is tried again later', async () => {
  await start('tls')
  const delivery = await send({}, { password: 'wrong-password-31' })
  expect(delivery).toMatchObject({ outcome: 'later', retryAfter: null })
  expect(delivery.sentence).toMatch(/does not accept the login “brumal” or its password\.$/)
  expect(delivery.sentence).not.toContain('wrong-password-31')
})

test('a server that wants a login where none is set is tried again later, and says what it wants', async () => {
  await start('tls')
  const { user: _user, password: _password, ...nameless } = settings
  settings = nameless
  const delivery = await send()
  expect(delivery).toMatchObject({ outcome: 'later' })
  expect(delivery.sentence).toMatch(/asks for a login \(530\)\.$/)
})

test.each([
  ['greeting', 421, 'later'],
  ['sender', 450, 'later'],
  ['sender', 499, 'later'],
  ['sender', 500, 'refused'],
  ['recipient', 451, 'later'],
  ['recipient', 550, 'refused'],
  ['message', 452, 'later'],
  ['message', 554, 'refused'],
] as const)('an answer to the %s with %d means %s', async (at, code, outcome) => {
  await start('tls')
  server.behave({ at, code })
  const delivery = await send()
  expect(delivery.outcome).toBe(outcome)
  expect(delivery.sentence).toContain(`(${code})`)
})

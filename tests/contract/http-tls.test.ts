import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { type AddressInfo, connect as connectPlain } from 'node:net'
import { request } from 'node:https'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { connect as connectTls } from 'node:tls'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { renewTls } from '../../daemon/http/tls.ts'
import { type Certificate, makeCertificates } from '../support/certificates.ts'
import { type HttpHouse, httpHouse, password } from '../support/http-house.ts'

let folder: string
let ca: Buffer
let [good, other]: { cert: Buffer; key: Buffer }[] = []
let house: HttpHouse
let port: number
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'brumal-tls-'))
  const made = makeCertificates(folder)
  const read = ({ cert, key }: Certificate) => ({ cert: readFileSync(cert), key: readFileSync(key) })
  ca = readFileSync(made.ca)
  good = read(made.good)
  other = read(made.otherHost)
  house = await httpHouse({ tls: good })
  await house.app.listen({ port: 0, host: '127.0.0.1' })
  port = (house.app.server.address() as AddressInfo).port
}, 30_000)
afterAll(async () => {
  await house.close()
  rmSync(folder, { recursive: true, force: true })
})

interface Answer {
  readonly status: number
  readonly headers: Record<string, string | string[] | undefined>
}

const ask = (path: string, body?: object): Promise<Answer> =>
  new Promise((resolve, reject) => {
    const headers = body === undefined ? {} : { 'content-type': 'application/json' }
    const asking = request({
      host: 'localhost',
      port,
      path,
      ca,
      method: body ? 'POST' : 'GET',
      headers,
      agent: false,
    })
    asking.on('response', (answer) => {
      answer.resume()
      answer.on('end', () => resolve({ status: answer.statusCode ?? 0, headers: answer.headers }))
    })
    asking.on('error', reject)
    asking.end(body === undefined ? undefined : JSON.stringify(body))
  })

/** Name on the certificate that a new connection is shown, and the version that it speaks. */
const greeted = (maxVersion: 'TLSv1.1' | 'TLSv1.3' = 'TLSv1.3') =>
  new Promise<{ name: string; version: string | null }>((resolve, reject) => {
    const socket = connectTls({
      port,
      host: '127.0.0.1',
      ca,
      servername: 'localhost',
      rejectUnauthorized: false,
      minVersion: 'TLSv1',
      maxVersion,
    })
    socket.on('secureConnect', () => {
      resolve({ name: String(socket.getPeerCertificate().subject.CN), version: socket.getProtocol() })
      socket.destroy()
    })
    socket.on('error', reject)
  })

test('X1: over TLS the cookie is Secure', async () => {
  const answer = await ask('/api/sign-in', { name: 'Ada', password: password.keeper })
  expect(answer.status).toBe(200)
  expect(String(answer.headers['set-cookie'])).toMatch(/; HttpOnly; Secure; SameSite=Strict$/)
})

test('no answer binds the other ports of this host to TLS', async () => {
  const answer = await ask('/health')
  expect([answer.status, answer.headers['strict-transport-security']]).toEqual([200, undefined])
})

test('X1: nothing older than TLS 1.2 is spoken', async () => {
  await expect(greeted('TLSv1.1')).rejects.toThrow()
  expect((await greeted()).version).toBe('TLSv1.3')
})

test('X3: a browser that speaks plain http here is let go, and the next one is served', async () => {
  const heard = await new Promise<string>((resolve, reject) => {
    const socket = connectPlain(port, '127.0.0.1', () =>
      socket.write('GET /health HTTP/1.1\r\nHost: x\r\n\r\n'),
    )
    let text = ''
    socket.setTimeout(10_000, () => reject(new Error('held for 10 s')))
    socket.on('data', (chunk: Buffer) => (text += chunk.toString('latin1')))
    socket.on('error', () => undefined) // a reset is one way of being let go
    socket.on('close', () => resolve(text))
  })
  expect(heard).not.toContain('"status"')
  expect((await ask('/health')).status).toBe(200)
})

test('a renewed certificate is shown to the next connection, without a restart', async () => {
  const subject = (await greeted()).name
  renewTls(house.app, other as { cert: Buffer; key: Buffer })
  const renewed = (await greeted()).name
  expect([subject, renewed]).toEqual(['localhost', 'frog-house.example'])
  await expect(greeted('TLSv1.1')).rejects.toThrow()
  renewTls(house.app, good as { cert: Buffer; key: Buffer })
  expect((await ask('/health')).status).toBe(200)
})

test('a certificate that cannot be read, or that is not of its key, is refused and the old one stays', async () => {
  const wrong = [
    { cert: 'half a cert', key: good?.key ?? '' },
    { cert: good?.cert ?? '', key: '' },
    { cert: good?.cert ?? '', key: other?.key ?? '' },
  ]
  for (const pair of wrong) expect(() => renewTls(house.app, pair)).toThrow()
  expect((await ask('/health')).status).toBe(200)
})

test('a server without TLS has none to renew', async () => {
  const plain = await httpHouse()
  try {
    expect(() => renewTls(plain.app, good as { cert: Buffer; key: Buffer })).toThrow('no TLS to renew')
  } finally {
    await plain.close()
  }
})

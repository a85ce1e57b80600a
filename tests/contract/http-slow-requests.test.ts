import { type AddressInfo, connect } from 'node:net'
import Fastify, { type FastifyInstance } from 'fastify'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { clientErrorHandler } from '../../daemon/http/problem.ts'
import { endSlowRequests } from '../../daemon/http/slow-requests.ts'
import { seconds } from '../../schemas/amounts.ts'

/** X3: who sends slowly holds a connection; who sends a large file over a weak network does too, and means well. */
describe('a request that comes in slowly', () => {
  let app: FastifyInstance
  beforeEach(async () => {
    app = Fastify({ clientErrorHandler })
    endSlowRequests(app, seconds(0.3))
    app.post('/usual', (request) => request.body)
    app.post('/file', { config: { arrivesWithin: seconds(3) } }, (request) => request.body)
    app.get('/waits', () => new Promise((resolve) => setTimeout(() => resolve({ word: 'waited' }), 700)))
    await app.listen({ host: '127.0.0.1', port: 0 })
  })
  afterEach(() => app.close())

  /** All that is answered until the server ends the connection, and after how long, in ms. */
  function sends(head: string, ...rest: readonly { readonly after: number; readonly text: string }[]) {
    const began = performance.now()
    return new Promise<{ answer: string; took: number }>((resolve) => {
      let answer = ''
      const socket = connect((app.server.address() as AddressInfo).port, '127.0.0.1', () => {
        socket.write(`${head}\r\nHost: brumal.example\r\nConnection: close\r\n\r\n`)
        for (const { after, text } of rest) setTimeout(() => socket.write(text), after)
      })
      socket.on('data', (text) => (answer += text.toString()))
      socket.on('error', () => undefined)
      socket.on('close', () => resolve({ answer, took: performance.now() - began }))
    })
  }
  const post = (path: string) =>
    `POST ${path} HTTP/1.1\r\nContent-Type: application/json\r\nContent-Length: 15`

  test('X3: is ended with a sentence once the usual time is over', async () => {
    const { answer, took } = await sends(post('/usual'), { after: 0, text: '{"word":' })
    expect(answer).toMatch(/^HTTP\/1\.1 408 .*"The request took too long to arrive\."/s)
    expect(took).toBeGreaterThanOrEqual(290)
    expect(took).toBeLessThan(2500)
  })

  test('X3: one of unknown length too', async () => {
    const chunked = 'POST /usual HTTP/1.1\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked'
    const { answer } = await sends(chunked, { after: 0, text: '8\r\n{"word":\r\n' })
    expect(answer).toMatch(/^HTTP\/1\.1 408 /)
  })

  test('is taken where its route gives it longer, and where its end comes in time', async () => {
    const halves = (after: number) =>
      [
        { after: 0, text: '{"word":' },
        { after, text: '"slow"}' },
      ] as const
    for (const [path, after] of [
      ['/file', 700],
      ['/usual', 50],
    ] as const) {
      const { answer } = await sends(post(path), ...halves(after))
      expect(answer).toMatch(/^HTTP\/1\.1 200 .*\{"word":"slow"\}/s)
    }
  })

  test('X3: is ended there too, in the end', async () => {
    const { answer, took } = await sends(post('/file'), { after: 0, text: '{"word":' })
    expect(answer).toMatch(/^HTTP\/1\.1 408 /)
    expect(took).toBeGreaterThanOrEqual(2990)
  })

  test('is another thing than an answer that takes long', async () => {
    const { answer } = await sends('GET /waits HTTP/1.1')
    expect(answer).toMatch(/^HTTP\/1\.1 200 .*\{"word":"waited"\}/s)
  })
})

import { gunzipSync } from 'node:zlib'
import Fastify, { type FastifyInstance } from 'fastify'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { squeezeAnswers } from '../../daemon/http/squeeze.ts'

const long = { words: 'cold '.repeat(400) }

describe('an answer on its way', () => {
  let app: FastifyInstance
  beforeEach(() => {
    app = Fastify()
    squeezeAnswers(app)
    app.get('/long', () => long)
    app.get('/edge/:length', (request, reply) =>
      reply.type('text/plain').send('x'.repeat(Number((request.params as { length: string }).length))),
    )
    app.get('/bytes', (_request, reply) => reply.type('image/png').send(Buffer.alloc(5000)))
  })
  afterEach(() => app.close())
  const asked = (url: string, accept?: string) =>
    app.inject({ url, headers: accept === undefined ? {} : { 'accept-encoding': accept } })

  test('goes compressed to whoever takes gzip, and says so to what lies between', async () => {
    for (const accept of ['gzip', 'br, gzip;q=0.5', 'deflate, *']) {
      const { headers, rawPayload } = await asked('/long', accept)
      expect(headers).toMatchObject({ 'content-encoding': 'gzip', vary: 'accept-encoding' })
      expect(JSON.parse(gunzipSync(rawPayload).toString())).toEqual(long)
      expect(rawPayload.length).toBeLessThan(200)
      expect(Number(headers['content-length'])).toBe(rawPayload.length)
    }
  })

  test('goes as it is to whoever does not (RFC 9110 §12.5.3)', async () => {
    for (const accept of [undefined, '', 'br', 'gzip;q=0', 'gzip;q=0, *', 'identity', 'gzip ;; q']) {
      const { headers, body } = await asked('/long', accept)
      expect(headers['content-encoding']).toBeUndefined()
      expect(headers['vary']).toBe('accept-encoding')
      expect(JSON.parse(body)).toEqual(long)
    }
  })

  test('goes as it is while it fits one packet', async () => {
    expect((await asked('/edge/1399', 'gzip')).headers['content-encoding']).toBeUndefined()
    expect((await asked('/edge/1400', 'gzip')).headers['content-encoding']).toBe('gzip')
  })

  test('pictures are compressed already', async () => {
    const { headers, rawPayload } = await asked('/bytes', 'gzip')
    expect(headers['content-encoding']).toBeUndefined()
    expect(rawPayload).toHaveLength(5000)
  })
})

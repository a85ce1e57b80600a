import { connect } from 'node:net'
import type { AddressInfo } from 'node:net'
import { beforeAll, describe, expect, test, vi } from 'vitest'
import { depthOf, deepestJson } from '../../daemon/http/json-body.ts'
import { Problem } from '../../schemas/api.ts'
import { allInAHouse, type Method } from '../support/http-house.ts'

const house = allInAHouse('keeper')

/** A problem as RFC 9457 §3 has it: the media type, and the status said twice. */
function problemIn(answer: { statusCode: number; headers: object; body: string }): Problem {
  expect((answer.headers as Record<string, unknown>)['content-type']).toMatch(
    /^application\/problem\+json(?:;|$)/,
  )
  const problem = Problem.parse(JSON.parse(answer.body))
  expect(problem.status).toBe(answer.statusCode)
  return problem
}
const raw = (method: Method, url: string, payload: string, headers: Record<string, string> = {}) =>
  house.app.inject({
    method,
    url,
    payload,
    headers: { cookie: house.keeper, 'content-type': 'application/json', ...headers },
  })

describe('RFC 9457: what is refused says why', () => {
  test('an unknown path is 404, a wrong method on a known one 405 with what is allowed', async () => {
    const unknown = await house.as(house.keeper, 'GET', '/api/nothing')
    expect([unknown.statusCode, problemIn(unknown).code]).toEqual([404, 'noSuchPath'])
    const wrong = await house.as(house.keeper, 'DELETE', '/api/tonight')
    expect([wrong.statusCode, problemIn(wrong).code]).toEqual([405, 'wrongMethod'])
    expect(wrong.headers.allow?.split(', ').sort()).toEqual(['GET', 'HEAD'])
    const place = await house.as(house.keeper, 'GET', '/api/places/fridge')
    expect([place.statusCode, place.headers.allow]).toEqual([405, 'PUT, DELETE'])
  })

  test('X3: a body of 256 KiB is read, one byte more is 413', async () => {
    const body = (bytes: number) =>
      JSON.stringify({ minutes: 5, filler: '' }).replace('""', `"${'x'.repeat(bytes)}"`)
    const room = 262_144 - body(0).length
    expect((await raw('POST', '/api/places/fridge/tend', body(room))).statusCode).toBe(400)
    const over = await raw('POST', '/api/places/fridge/tend', body(room + 1))
    expect([over.statusCode, problemIn(over).code]).toEqual([413, 'bodyTooLarge'])
  })

  test('anything but JSON is 415', async () => {
    for (const type of [
      'text/plain',
      'application/x-www-form-urlencoded',
      'multipart/form-data; boundary=x',
      '',
    ]) {
      const answer = await raw('POST', '/api/places/fridge/tend', '{"minutes":5}', { 'content-type': type })
      expect([type, answer.statusCode, problemIn(answer).code]).toEqual([type, 415, 'notJson'])
    }
    const deleting = await raw('DELETE', '/api/places/fridge', 'x', { 'content-type': 'text/plain' })
    expect([deleting.statusCode, problemIn(deleting).code]).toEqual([415, 'notJson'])
    const charset = { 'content-type': 'Application/JSON; charset=utf-8' }
    expect((await raw('POST', '/api/places/fridge/tend', '{"minutes":5}', charset)).statusCode).toBe(200)
  })

  test('bad JSON, poisoned keys and deep nesting are 400 before any schema looks', async () => {
    const bad = [
      '{',
      '{"minutes":NaN}',
      '{"__proto__":{"minutes":5}}',
      '{"constructor":{"prototype":{}}}',
      '\u0000',
    ]
    for (const body of bad) {
      const answer = await raw('POST', '/api/places/fridge/tend', body)
      expect([body, answer.statusCode, problemIn(answer).code]).toEqual([body, 400, 'badJson'])
    }
    const nested = (depth: number) => '['.repeat(depth) + ']'.repeat(depth)
    expect(problemIn(await raw('POST', '/api/places/fridge/tend', nested(deepestJson))).code).toBe('invalid')
    expect(problemIn(await raw('POST', '/api/places/fridge/tend', nested(deepestJson + 1))).code).toBe(
      'jsonTooDeep',
    )
    expect(problemIn(await raw('POST', '/api/places/fridge/tend', '['.repeat(200_000))).code).toBe(
      'jsonTooDeep',
    )
  })

  test('brackets inside strings are not depth', () => {
    expect(depthOf('{"a":"[[[[\\"[[[","b":[{}]}')).toBe(3)
    expect(depthOf('"\\\\"')).toBe(0)
    expect(depthOf('[[],[[]]]')).toBe(3)
  })

  test('every mistake of a body, a query and a path is listed with where it is', async () => {
    const place = {
      id: 'fridge',
      name: '',
      kind: 'cupboard',
      parent: null,
      ownLimits: [{ value: 'x' }],
      colour: 1,
    }
    const body = problemIn(await house.as(house.keeper, 'PUT', '/api/places/fridge', place))
    expect([body.status, body.code]).toEqual([400, 'invalid'])
    expect(body.errors?.map(({ path }) => path).sort()).toEqual([
      'body',
      'body/kind',
      'body/name',
      'body/ownLimits/0/limit',
      'body/ownLimits/0/quantity',
      'body/ownLimits/0/value',
    ])
    expect(body.errors?.every(({ message }) => message.length > 3)).toBe(true)
    const query = await house.as(
      house.keeper,
      'GET',
      '/api/sensors/probe-1/series?from=x&to=2026-02-30T00:00:00Z&columns=1',
    )
    expect(problemIn(query).errors?.map(({ path }) => path)).toEqual([
      'query/from',
      'query/to',
      'query/columns',
    ])
    const params = problemIn(await house.as(house.keeper, 'DELETE', '/api/places/NOT-AN-ID'))
    expect(params.errors?.map(({ path }) => path)).toEqual(['params/place'])
  })

  test('X3: a body of eighty mistakes is answered with fifty short ones', async () => {
    const hostile = Object.fromEntries(Array.from({ length: 5000 }, (_, i) => [`key-${i}`, i]))
    const plan = Array.from({ length: 40 }, () => ({})) // two mistakes each
    const animal = {
      id: 'x',
      name: 'X',
      species: 'bufo-bufo',
      place: null,
      mode: 'goesDown',
      plan,
      ...hostile,
    }
    const answer = await house.as(house.keeper, 'PUT', '/api/animals/x', animal)
    expect(answer.statusCode).toBe(400)
    expect(problemIn(answer).errors?.length).toBe(50)
    expect(answer.body.length).toBeLessThan(20_000)
  })

  test('paths that cannot be decoded and ids that are too long are refused', async () => {
    const broken = await house.as(house.keeper, 'GET', '/api/places/%zz/night')
    expect([broken.statusCode, problemIn(broken).code]).toEqual([400, 'badPath'])
    const long = await house.as(house.keeper, 'DELETE', `/api/places/${'x'.repeat(201)}`)
    expect([long.statusCode, problemIn(long).code]).toEqual([414, 'pathTooLong'])
    expect((await house.as(house.keeper, 'DELETE', `/api/places/${'x'.repeat(200)}`)).statusCode).toBe(400)
  })

  test('X4: what breaks inside is logged in full and told in one plain sentence', async () => {
    const cause = new Error('disk I/O error at /var/data/secret-folder')
    house.desk.breakOnce(new Error('reading the night', { cause }))
    const answer = await house.as(house.keeper, 'GET', '/api/tonight')
    expect(answer.statusCode).toBe(500)
    expect(problemIn(answer)).toEqual({
      type: 'about:blank',
      title: 'Internal Server Error',
      status: 500,
      code: 'unexpected',
      detail: 'Something went wrong here; the log says what.',
    })
    const line = house.log.lines.find((one) => one.startsWith('error a request failed'))
    expect(line).toContain('reading the night')
    expect(line).toContain('secret-folder')
    expect(line).toContain('"route":"/api/tonight"')
  })

  test('an answer that does not fit its own schema is never sent', async () => {
    const wrong = { ...house.desk.tonight(), sentence: 7 as unknown as string }
    vi.spyOn(house.desk, 'tonight').mockReturnValueOnce(wrong)
    const answer = await house.as(house.keeper, 'GET', '/api/tonight')
    expect([answer.statusCode, problemIn(answer).code]).toEqual([500, 'unexpected'])
    expect(house.log.lines.at(-1)).toContain("Response doesn't match the schema")
  })
})

describe('what is not HTTP at all', () => {
  let port: number
  beforeAll(async () => {
    await house.app.listen({ port: 0, host: '127.0.0.1' })
    port = (house.app.server.address() as AddressInfo).port
  })

  /** Everything the server says to these bytes before it closes. */
  const say = (bytes: string) =>
    new Promise<string>((resolve, reject) => {
      const socket = connect(port, '127.0.0.1', () => socket.write(bytes))
      let heard = ''
      socket.setEncoding('utf8')
      socket.setTimeout(10_000, () => reject(new Error('no answer within 10 s')))
      socket.on('data', (text: string) => {
        heard += text
      })
      socket.on('error', reject)
      socket.on('close', () => resolve(heard))
    })

  test('X3: noise is 400, headers over 16 KiB are 431, both as problems', async () => {
    const problemAfter = (heard: string) => Problem.parse(JSON.parse(heard.split('\r\n\r\n')[1] ?? ''))
    const noise = await say('\u0016\u0003\u0001 hello\r\n\r\n')
    expect(noise).toMatch(/^HTTP\/1\.1 400 Bad Request\r\n/)
    expect(problemAfter(noise).code).toBe('notHttp')
    const large = await say(`GET / HTTP/1.1\r\nHost: x\r\nCookie: ${'x'.repeat(20_000)}\r\n\r\n`)
    expect(large).toMatch(/^HTTP\/1\.1 431 /)
    expect(problemAfter(large).code).toBe('headersTooLarge')
  })

  test('paths with tricks in them lead nowhere', async () => {
    const tricks = [
      '/../../etc/passwd',
      '/..%2f..%2fetc/passwd',
      '//etc/passwd',
      '/./health/../api/tonight',
      '/%2e%2e/',
    ]
    for (const path of tricks) {
      const heard = await say(`GET ${path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n`)
      expect([path, heard.slice(9, 12)]).toEqual([path, '404'])
      expect(heard).not.toContain('root:')
    }
  })
})

import type { AddressInfo } from 'node:net'
import { beforeAll, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { allInAHouse } from '../support/http-house.ts'

const house = allInAHouse('keeper')
let address: string
beforeAll(async () => {
  await house.app.listen({ port: 0, host: '127.0.0.1' })
  address = `127.0.0.1:${(house.app.server.address() as AddressInfo).port}`
})

const tend = async (headers: Record<string, string>) => {
  const answer = await fetch(`http://${address}/api/places/fridge/tend`, {
    method: 'POST',
    headers: { cookie: house.keeper, 'content-type': 'application/json', ...headers },
    body: '{"minutes":5}',
  })
  return { status: answer.status, body: await answer.text() }
}
const tendedSoFar = () => house.desk.journalled.filter(({ kind }) => kind === 'tending').length

test("X1: another site's page cannot act with the keeper's cookie", async () => {
  const foreign: Record<string, string>[] = [
    { origin: 'https://elsewhere.example' },
    { origin: 'null' },
    { origin: `http://${address}.elsewhere.example` },
    { origin: `http://elsewhere.example/${address}` },
    { origin: `http://${address.split(':')[0]}:1` },
    { 'sec-fetch-site': 'cross-site' },
    { 'sec-fetch-site': 'same-site' },
    { 'sec-fetch-site': 'cross-site', origin: `http://${address}` },
    { origin: 'not an address' },
  ]
  for (const headers of foreign) {
    const { status, body } = await tend(headers)
    expect([headers, status]).toEqual([headers, 403])
    expect(Problem.parse(JSON.parse(body)).code).toBe('crossSite')
  }
  expect(tendedSoFar()).toBe(0)
})

test('X1: our own page and a program that is no browser can', async () => {
  const own: Record<string, string>[] = [
    { origin: `http://${address}` },
    { origin: `http://${address}`, 'sec-fetch-site': 'same-origin' },
    { 'sec-fetch-site': 'none' },
    {},
  ]
  for (const headers of own) expect([headers, (await tend(headers)).status]).toEqual([headers, 200])
  expect(tendedSoFar()).toBe(own.length)
})

test('X1: a form of another site cannot post: it cannot send JSON', async () => {
  const answer = await fetch(`http://${address}/api/places/fridge/tend`, {
    method: 'POST',
    headers: { cookie: house.keeper, 'content-type': 'text/plain' },
    body: '{"minutes":5}',
  })
  expect(answer.status).toBe(415)
  const empty = await fetch(`http://${address}/api/sign-out`, {
    method: 'POST',
    headers: { cookie: house.keeper },
  })
  expect(empty.status).toBe(415)
})

test('X1: behind a proxy the page is known by the name that the proxy was asked for', async () => {
  const proxied = (origin: string) =>
    tend({ origin, 'x-forwarded-host': 'brumal.home', 'x-forwarded-proto': 'https' })
  expect((await proxied('https://brumal.home')).status).toBe(200)
  const others = ['elsewhere.example', 'brumal.home.elsewhere.example', 'brumal.home:8443', 'not-brumal.home']
  for (const other of others)
    expect([other, (await proxied(`https://${other}`)).status]).toEqual([other, 403])
})

test('X1: no answer lets another site read it', async () => {
  const answer = await fetch(`http://${address}/api/me`, {
    headers: { cookie: house.keeper, origin: 'https://elsewhere.example' },
  })
  expect(answer.headers.get('access-control-allow-origin')).toBeNull()
  expect(answer.headers.get('cross-origin-resource-policy')).toBe('same-origin')
  const preflight = await fetch(`http://${address}/api/house`, {
    method: 'OPTIONS',
    headers: { origin: 'https://elsewhere.example', 'access-control-request-method': 'PUT' },
  })
  expect(preflight.status).toBe(401)
  expect(preflight.headers.get('access-control-allow-methods')).toBeNull()
})

test('X1: whatever changes anything is refused to another site, the public ones too, and before any secret is looked at', async () => {
  const changing = house.app.knownRoutes.filter(({ method }) => method !== 'GET' && method !== 'HEAD')
  expect(changing.length).toBeGreaterThan(40)
  expect(changing.filter(({ isPublic }) => isPublic).length).toBe(9)
  const ask = (method: string, url: string, headers: Record<string, string>, payload: string) =>
    house.app.inject({ method: method, url, headers: { cookie: house.keeper, ...headers }, payload })
  for (const { method, url } of changing) {
    const path = url.replace(/:\w+/g, 'x')
    for (const foreign of [{ origin: 'https://elsewhere.example' }, { 'sec-fetch-site': 'cross-site' }]) {
      const answer = await ask(method, path, { 'content-type': 'application/json', ...foreign }, '{}')
      const { code } = Problem.parse(answer.json())
      expect([method, url, answer.statusCode, code]).toEqual([method, url, 403, 'crossSite'])
    }
    // A form can post text to anywhere without asking first
    const form = await ask(method, path, { 'content-type': 'text/plain' }, '{}')
    expect([method, url, form.statusCode]).toEqual([method, url, 415])
  }
  expect(house.log.lines.filter((line) => line.startsWith('warn'))).toEqual([])
})

test('X1: a name that was rebound to this address is let in nowhere that asks for a key', async () => {
  const ask = async (url: string, payload: object) => {
    const headers = { host: 'rebound.example', origin: 'http://rebound.example' }
    const { statusCode } = await house.app.inject({ method: 'POST', url, headers, payload })
    return statusCode
  }
  // To the browser the page is its own site, and so it is to us; but it has neither cookie nor token nor link
  expect(await ask('/api/places/fridge/tend', { minutes: 5 })).toBe(401)
  const guesses = [
    ['/api/answer', { token: 'a guess' }],
    ['/api/answer/acknowledge', { token: 'a guess' }],
    ['/api/invitation', { token: 'a guess' }],
    ['/api/join', { token: 'a guess', password: 'long enough to be' }],
  ] as const
  for (const [url, body] of guesses) expect([url, await ask(url, body)]).toEqual([url, 403])
  for (let i = 0; i < 20; i++) await ask('/api/answer', { token: `guess ${i}` })
  expect(await ask('/api/answer', { token: 'one more' })).toBe(429)
})

import type { AddressInfo } from 'node:net'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { type HttpHouse, httpHouse } from '../support/http-house.ts'

let house: HttpHouse
let keeper: string
let address: string
beforeAll(async () => {
  house = await httpHouse()
  keeper = await house.signedIn('keeper')
  await house.app.listen({ port: 0, host: '127.0.0.1' })
  address = `127.0.0.1:${(house.app.server.address() as AddressInfo).port}`
})
afterAll(() => house.close())

const tend = async (headers: Record<string, string>) => {
  const answer = await fetch(`http://${address}/api/places/fridge/tend`, {
    method: 'POST',
    headers: { cookie: keeper, 'content-type': 'application/json', ...headers },
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
    headers: { cookie: keeper, 'content-type': 'text/plain' },
    body: '{"minutes":5}',
  })
  expect(answer.status).toBe(415)
  const empty = await fetch(`http://${address}/api/sign-out`, { method: 'POST', headers: { cookie: keeper } })
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
    headers: { cookie: keeper, origin: 'https://elsewhere.example' },
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

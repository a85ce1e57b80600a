import { expect, test } from 'vitest'
import { mostDevices } from '../../daemon/http/devices.ts'
import { DevicesNow, MadeDevice } from '../../schemas/access.ts'
import { Problem } from '../../schemas/api.ts'
import { eachInAHouse, type Method } from '../support/http-house.ts'

const house = eachInAHouse('keeper')

const ask = (method: Method, url: string, body?: unknown) => house.as(house.keeper, method, url, body)
const refusal = async (method: Method, url: string, body?: unknown) => {
  const answer = await ask(method, url, body)
  return [answer.statusCode, Problem.parse(answer.json()).code] as const
}
const probe = { name: 'shed-probe', kind: 'sensor', topics: ['shed/+/state'] }
const now = async () => DevicesNow.parse((await ask('GET', '/api/devices')).json())

test('X2: a device gets a login, a new password when made again, and loses it when removed', async () => {
  const first = MadeDevice.parse((await ask('PUT', '/api/devices/shed-probe', probe)).json())
  expect(first.device).toMatchObject(probe)
  expect(first.snippets[0]?.text).toContain(first.password)
  const second = MadeDevice.parse((await ask('PUT', '/api/devices/shed-probe', probe)).json())
  expect(second.password).not.toBe(first.password)
  expect((await now()).devices).toEqual([{ ...probe, createdAt: house.clock.now(), seenAt: null }])
  expect((await ask('DELETE', '/api/devices/shed-probe')).statusCode).toBe(204)
  expect((await now()).devices).toEqual([])
  expect(await refusal('DELETE', '/api/devices/shed-probe')).toEqual([404, 'noSuchDevice'])
  const lines = house.desk.journalled.filter(({ kind }) => kind === 'accessChanged')
  expect(lines.map(({ by, text }) => `${by}: ${text}`)).toEqual([
    'Ada: New login for the device shed-probe.',
    'Ada: New password for the device shed-probe.',
    'Ada: The login of the device shed-probe is ended.',
  ])
})

test('X4: the password is shown at its making and never again', async () => {
  const { password } = MadeDevice.parse((await ask('PUT', '/api/devices/shed-probe', probe)).json())
  for (const url of ['/api/devices', '/api/access', '/api/household', '/api/journal'])
    expect((await ask('GET', url)).body).not.toContain(password)
})

test('X2: the login that all sensors share is opened and closed, and the journal says so once', async () => {
  const put = async (on: boolean) => DevicesNow.parse((await ask('PUT', '/api/shared-login', { on })).json())
  expect((await now()).sharedLogin).toBe(true)
  expect((await put(false)).sharedLogin).toBe(false)
  expect((await put(false)).sharedLogin).toBe(false)
  expect((await put(true)).sharedLogin).toBe(true)
  const lines = house.desk.journalled.filter(({ kind }) => kind === 'accessChanged')
  expect(lines.map(({ text }) => text)).toEqual([
    'The login that all sensors share is closed.',
    'The login that all sensors share is open.',
  ])
})

test('X2: where the house has a broker of its own, logins are made there', async () => {
  house.devices.leave()
  expect((await now()).isOurs).toBe(false)
  expect(await refusal('PUT', '/api/devices/shed-probe', probe)).toEqual([409, 'notOurs'])
  expect(await refusal('PUT', '/api/shared-login', { on: false })).toEqual([409, 'notOurs'])
})

test('a name that would break its topic, and a body under another name than its path, are refused', async () => {
  for (const name of ['', 'a b', 'a/b', '+', '#', '-a', 'x'.repeat(40)])
    expect([
      name,
      await refusal('PUT', `/api/devices/${encodeURIComponent(name) || 'x'}`, { ...probe, name }),
    ]).toEqual([name, [400, 'invalid']])
  expect(await refusal('PUT', '/api/devices/other', probe)).toEqual([400, 'idDiffers'])
  expect(
    (await ask('PUT', `/api/devices/${'x'.repeat(39)}`, { ...probe, name: 'x'.repeat(39) })).statusCode,
  ).toBe(200)
})

test(`X3: there may be ${mostDevices} devices; one more is refused, one that is there gets its password`, async () => {
  for (let i = 0; i < mostDevices; i++) house.devices.make({ name: `d${i}`, kind: 'sensor', topics: [] })
  expect(await refusal('PUT', '/api/devices/one-more', { ...probe, name: 'one-more' })).toEqual([
    409,
    'tooMany',
  ])
  expect((await ask('PUT', '/api/devices/d7', { ...probe, name: 'd7' })).statusCode).toBe(200)
})

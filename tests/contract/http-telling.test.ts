import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { Problem } from '../../schemas/api.ts'
import { Household } from '../../schemas/household.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import { ThisPhone } from '../../schemas/phone.ts'
import { MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import { eachInAHouse, type Method } from '../support/http-house.ts'

const house = eachInAHouse('keeper', 'sitter')

const ask = (method: Method, url: string, body?: unknown) => house.as(house.keeper, method, url, body)
const refusalOf = (answer: { statusCode: number; body: string }) =>
  [answer.statusCode, Problem.parse(JSON.parse(answer.body)).code] as const
const refusal = async (method: Method, url: string, body?: unknown) => refusalOf(await ask(method, url, body))
const telling = async () => TellingNow.parse((await ask('GET', '/api/telling')).json())
const contact = (id: string, more: object = {}) => ({ id, name: id.toUpperCase(), ...more })
const relay = (id: string, more: object = {}) => ({
  channel: { id, kind: 'relay', label: 'Relay', url: 'https://relay.example/toads' },
  ...more,
})

describe('contacts and channels', () => {
  test('A4: contacts are saved, put in order with their waits, and removed', async () => {
    for (const id of ['ada', 'bo', 'cleo']) {
      const saved = await ask('PUT', `/api/contacts/${id}`, contact(id))
      expect(saved.json()).toEqual({
        ...contact(id),
        person: null,
        units: 'celsius',
        quiet: null,
        channels: [],
      })
    }
    const waits = { repeatEvery: 60_000, escalateAfter: 120_000, againAfter: 600_000, morningList: false }
    const ordered = await ask('PUT', '/api/telling', { order: ['cleo', 'ada'], telling: waits })
    const now = TellingNow.parse(ordered.json())
    expect(now.contacts.map((each) => each.contact.id)).toEqual(['cleo', 'ada', 'bo'])
    expect(now.telling).toEqual(waits)
    expect((await ask('DELETE', '/api/contacts/ada')).statusCode).toBe(204)
    expect((await telling()).contacts.map((each) => each.contact.id)).toEqual(['cleo', 'bo'])
  })

  test('A4: a channel is saved with its secret, rung, confirmed and removed', async () => {
    await ask('PUT', '/api/contacts/ada', contact('ada'))
    const url = '/api/contacts/ada/channels/relay'
    const saved = await ask('PUT', url, relay('relay', { secret: { kind: 'relay', token: 'a relay token' } }))
    expect(saved.json()).toEqual(relay('relay').channel)
    const shown = async () => (await telling()).contacts[0]?.channels[0]
    expect(await shown()).toMatchObject({ hasSecret: true, rungAt: null, isRingDue: true })
    const line = MessageLine.parse((await ask('POST', `${url}/ring`, {})).json())
    expect(line).toMatchObject({ kind: 'ring', contact: 'ada', channel: 'relay', state: 'delivered' })
    expect((await ask('POST', `${url}/rang`, {})).statusCode).toBe(204)
    expect(await shown()).toMatchObject({ rungAt: house.clock.now(), isRingDue: false })
    expect((await ask('DELETE', url)).statusCode).toBe(204)
    expect((await telling()).contacts[0]?.channels).toEqual([])
  })

  test('A4: a secret left out stays as it is', async () => {
    await ask('PUT', '/api/contacts/ada', contact('ada'))
    const url = '/api/contacts/ada/channels/relay'
    await ask('PUT', url, relay('relay', { secret: { kind: 'relay', token: 'a relay token' } }))
    await ask('PUT', url, relay('relay'))
    expect(house.desk.channelSecrets.get('relay' as ChannelId)).toEqual({
      kind: 'relay',
      token: 'a relay token',
    })
  })

  test('what is not there, or does not fit, is refused with whose mistake it is', async () => {
    await ask('PUT', '/api/contacts/ada', contact('ada'))
    expect(await refusal('PUT', '/api/contacts/a', contact('b'))).toEqual([400, 'idDiffers'])
    expect(await refusal('PUT', '/api/contacts/a', contact('a', { person: 'nobody' }))).toEqual([
      422,
      'noSuchPerson',
    ])
    expect(await refusal('DELETE', '/api/contacts/nobody')).toEqual([404, 'noSuchContact'])
    const waits = { repeatEvery: 60_000, escalateAfter: 60_000, againAfter: 600_000, morningList: false }
    expect(await refusal('PUT', '/api/telling', { order: ['nobody'], telling: waits })).toEqual([
      422,
      'noSuchContact',
    ])
    expect(
      await refusal('PUT', '/api/telling', { order: [], telling: { ...waits, repeatEvery: 59_999 } }),
    ).toEqual([400, 'invalid'])
    expect(await refusal('PUT', '/api/contacts/ada/channels/x', relay('y'))).toEqual([400, 'idDiffers'])
    expect(await refusal('PUT', '/api/contacts/nobody/channels/x', relay('x'))).toEqual([
      404,
      'noSuchContact',
    ])
    const mixed = relay('x', { secret: { kind: 'webhook', headers: {} } })
    expect(await refusal('PUT', '/api/contacts/ada/channels/x', mixed)).toEqual([422, 'badChannel'])
    for (const act of ['ring', 'rang']) {
      expect(await refusal('POST', `/api/contacts/nobody/channels/x/${act}`, {})).toEqual([
        404,
        'noSuchContact',
      ])
      expect(await refusal('POST', `/api/contacts/ada/channels/x/${act}`, {})).toEqual([404, 'noSuchChannel'])
    }
    expect(await refusal('DELETE', '/api/contacts/ada/channels/x')).toEqual([404, 'noSuchChannel'])
  })

  test('X3: the twenty-first contact is refused', async () => {
    for (let i = 1; i <= 20; i++)
      expect((await ask('PUT', `/api/contacts/c${i}`, contact(`c${i}`))).statusCode).toBe(200)
    expect(await refusal('PUT', '/api/contacts/c21', contact('c21'))).toEqual([409, 'tooMany'])
  })

  test('X4: a sitter is shown who is told, and not how they are reached', async () => {
    await ask('PUT', '/api/contacts/ada', contact('ada'))
    await ask('PUT', '/api/contacts/ada/channels/relay', relay('relay'))
    await ask('PUT', '/api/contacts/ada/channels/mail', {
      channel: { id: 'mail', kind: 'mail', label: 'Mail', address: 'ada@house.example' },
    })
    const seen = await house.as(house.sitter, 'GET', '/api/household')
    expect(Household.parse(seen.json()).contacts).toMatchObject([{ name: 'ADA', channels: [] }])
    expect(seen.body).not.toMatch(/relay\.example|ada@house/)
    const full = await ask('GET', '/api/household')
    expect(full.body).toMatch(/relay\.example.*ada@house/)
    expect(refusalOf(await house.as(house.sitter, 'GET', '/api/telling'))).toEqual([403, 'keeperOnly'])
  })
})

describe('messages', () => {
  test('A4: everyone signed in sees what went out, newest first, and no link', async () => {
    await ask('PUT', '/api/contacts/ada', contact('ada'))
    await ask('PUT', '/api/contacts/ada/channels/relay', relay('relay'))
    for (let i = 0; i < 60; i++) await ask('POST', '/api/contacts/ada/channels/relay/ring', {})
    const lines = async (query: string) =>
      z.array(MessageLine).parse((await house.as(house.sitter, 'GET', `/api/messages${query}`)).json())
    expect((await lines('')).length).toBe(50)
    expect((await lines('?limit=2')).map(({ key }) => key)).toEqual(['ring:relay:60', 'ring:relay:59'])
    expect((await lines('?limit=200')).length).toBe(60)
    for (const wrong of ['limit=0', 'limit=201', 'limit=', 'limit=x', 'page=1'])
      expect([wrong, await refusal('GET', `/api/messages?${wrong}`)]).toEqual([wrong, [400, 'invalid']])
  })
})

describe('ring this phone', () => {
  const subscription = (endpoint = 'https://push.example/one', more: object = {}) => ({
    label: 'My phone',
    endpoint,
    p256dh: 'B'.repeat(87),
    auth: 'a'.repeat(22),
    ...more,
  })
  const ring = (cookie: string, body: unknown) => house.as(cookie, 'POST', '/api/me/phone', body)
  const phone = async (cookie: string, body: unknown) => ThisPhone.parse((await ring(cookie, body)).json())

  test('A4: a sitter too is given the key that their browser subscribes with', async () => {
    const answer = await house.as(house.sitter, 'GET', '/api/me/phone')
    expect(answer.json()).toEqual({ pushKey: (await telling()).pushKey })
  })

  test('A4: whoever has no contact yet becomes one, in their own name', async () => {
    const made = await phone(house.sitter, subscription())
    expect(made).toMatchObject({
      contact: { id: 'bo', name: 'Bo', person: 'bo', channels: [made.channel] },
      channel: { kind: 'push', label: 'My phone' },
    })
    expect(made.channel.id).toMatch(/^phone-[0-9a-f]{12}$/)
    const { label: _label, ...secret } = subscription()
    expect(house.desk.channelSecrets.get(made.channel.id)).toEqual({ kind: 'push', ...secret })
    expect(house.desk.journalled.filter(({ kind }) => kind === 'changed').map(({ by }) => by)).toEqual([
      'Bo',
      'Bo',
    ])
  })

  test('A4: the same phone again is replaced, another is added, at the contact that there is', async () => {
    await ask('PUT', '/api/contacts/sister', contact('sister', { person: 'bo' }))
    const first = await phone(house.sitter, subscription())
    const again = await phone(
      house.sitter,
      subscription(undefined, { label: 'Renamed', auth: 'b'.repeat(22) }),
    )
    expect(again.contact.id).toBe('sister')
    expect(again.contact.channels).toEqual([{ ...first.channel, label: 'Renamed' }])
    expect(house.desk.channelSecrets.get(first.channel.id)).toMatchObject({ auth: 'b'.repeat(22) })
    const other = await phone(house.sitter, subscription('https://push.example/two'))
    expect(other.contact.channels.map(({ label }) => label)).toEqual(['Renamed', 'My phone'])
  })

  test('A4: two people who share a tablet are both rung by it', async () => {
    const [ofAda, ofBo] = [
      await phone(house.keeper, subscription()),
      await phone(house.sitter, subscription()),
    ]
    expect(ofAda.channel.id).not.toBe(ofBo.channel.id)
    expect([ofAda.contact.id, ofBo.contact.id]).toEqual(['ada', 'bo'])
    expect(house.desk.channelSecrets.size).toBe(2)
  })

  test('A4: a contact of another person who has the same name is left alone', async () => {
    await ask('PUT', '/api/contacts/bo', contact('bo'))
    expect((await phone(house.sitter, subscription())).contact).toMatchObject({ id: 'bo-2', person: 'bo' })
    expect(house.desk.household().contacts[0]).toMatchObject({ id: 'bo', person: null, channels: [] })
  })

  test('X3: the eleventh phone is refused; a contact made for one that is refused does not stay', async () => {
    for (let i = 0; i < 10; i++) await phone(house.sitter, subscription(`https://push.example/${i}`))
    expect(refusalOf(await ring(house.sitter, subscription('https://push.example/10')))).toEqual([
      409,
      'tooMany',
    ])
    const real = house.desk.saveChannel.bind(house.desk)
    house.desk.saveChannel = () => ({ ok: false, error: 'badChannel', sentence: 'Not that one.' })
    expect(refusalOf(await ring(house.keeper, subscription()))).toEqual([422, 'badChannel'])
    house.desk.saveChannel = real
    expect(house.desk.household().contacts.map(({ id }) => id)).toEqual(['bo'])
  })

  test('X3: what is no subscription is refused: plain http, keys that are too short or too long', async () => {
    const wrong = [
      { endpoint: 'http://push.example/one' },
      { endpoint: 'javascript:alert(1)' },
      { endpoint: `https://push.example/${'x'.repeat(1000)}` },
      { p256dh: 'B'.repeat(86) },
      { p256dh: 'B'.repeat(89) },
      { auth: 'a'.repeat(21) },
      { auth: `${'a'.repeat(21)}+` },
      { label: ' ' },
      { person: 'ada' },
    ]
    for (const more of wrong)
      expect([more, refusalOf(await ring(house.sitter, subscription(undefined, more)))]).toEqual([
        more,
        [400, 'invalid'],
      ])
    expect(house.desk.household().contacts).toEqual([])
  })
})

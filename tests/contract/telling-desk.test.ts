import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { notStored } from '../../daemon/app/not-stored.ts'
import { openTellingDesk, ringEvery } from '../../daemon/app/telling-desk.ts'
import { templateMistakes } from '../../daemon/notify/webhook-template.ts'
import type { Sender, Senders } from '../../daemon/ports/outbox.ts'
import { Channel, ChannelSecret, Contact, usualTelling } from '../../schemas/contact.ts'
import type { ChannelId, ContactId } from '../../schemas/ids.ts'
import { temporaryFolder } from '../support/store-world.ts'
import { dusk } from '../support/story.ts'
import { aTellingHouse, clock, time } from '../support/telling-house.ts'

const never: Sender<Channel['kind']> = { send: () => Promise.reject(new Error('nothing is sent here')) }
const senders = { push: never, relay: never, webhook: never, mail: null } as Senders

let folder: ReturnType<typeof temporaryFolder>
let world: ReturnType<typeof aTellingHouse>
let desk: ReturnType<typeof openTellingDesk>
/** Channels of which the outbox was told that their secret is another. */
let changed: ChannelId[]

beforeEach(() => {
  folder = temporaryFolder()
  time.now = dusk
  world = aTellingHouse(folder.path)
  changed = []
  desk = openTellingDesk({
    house: world.house,
    clock,
    store: world.outbox,
    senders,
    pushKey: 'key',
    address: () => 'https://house.example',
    isPerson: (id) => id === 'ada',
    mistakesOf: (channel) =>
      channel.kind === 'webhook' ? templateMistakes(channel.template, channel.contentType) : [],
    outbox: {
      conditionOf: () => ({ condition: 'unknown', lastSentence: null, lastAt: null }),
      recent: (limit) => world.outbox.recent(limit),
      secretChanged: (channel) => void changed.push(channel),
      firstTry: (key) =>
        Promise.resolve(world.outbox.recent(10).find((parcel) => parcel.key === key) ?? missing()),
    },
  })
})
afterEach(() => {
  world.close()
  folder.remove()
})

const missing = (): never => {
  throw new Error('there is no such parcel')
}
const dora = 'dora' as ContactId
const relay = (url: string, id = 'dora-relay') => Channel.parse({ id, kind: 'relay', label: 'Relay', url })
const token = ChannelSecret.parse({ kind: 'relay', token: 'token-1' })
const aContact = (id: string) => Contact.parse({ id, name: id })
const channelsOf = (id: string) => desk.telling().contacts.find(({ contact }) => contact.id === id)?.channels

describe('who is told', () => {
  test('a new contact comes last, and an order that leaves some out keeps them behind', () => {
    desk.saveContact(aContact('dora'), 'Ada')
    const order = () => desk.telling().contacts.map(({ contact }) => contact.id)
    expect(order()).toEqual(['ada', 'bela', 'cleo', 'dora'])
    desk.saveTelling([dora, 'cleo' as ContactId], usualTelling, 'Ada')
    expect(order()).toEqual(['dora', 'cleo', 'ada', 'bela'])
    expect(world.store.journal({ limit: 1 })[0]).toMatchObject({
      kind: 'changed',
      by: 'Ada',
      text: 'People are told in this order: dora, Cleo, Ada, Bela.',
    })
  })

  test('saving a contact leaves its channels as they are', () => {
    const saved = desk.saveContact({ ...aContact('ada'), channels: [] }, 'Ada')
    expect(saved).toMatchObject({ ok: true, value: { name: 'ada' } })
    expect(channelsOf('ada')).toHaveLength(2)
  })

  test('a sign-in that nobody has, and a twenty-first contact, are refused', () => {
    expect(desk.saveContact({ ...aContact('dora'), person: 'zoe' as never }, 'Ada')).toMatchObject({
      error: 'noSuchPerson',
    })
    for (let i = 3; i < 20; i++) expect(desk.saveContact(aContact(`c${i}`), 'Ada').ok).toBe(true)
    expect(desk.saveContact(aContact('c20'), 'Ada')).toMatchObject({ error: 'tooMany' })
  })
})

describe('a channel', () => {
  beforeEach(() => desk.saveContact(aContact('dora'), 'Ada'))

  test('X4: its secret goes in and never comes out', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada')
    expect(channelsOf('dora')).toMatchObject([{ hasSecret: true }])
    expect(
      JSON.stringify([desk.telling(), world.store.journal({ limit: 50 }), world.store.household()]),
    ).not.toContain('token-1')
  })

  test('X4: on another host its token is forgotten, on another path it is kept', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada')
    desk.saveChannel(dora, relay('https://relay.example/other'), null, 'Ada')
    expect(channelsOf('dora')).toMatchObject([{ hasSecret: true }])
    desk.saveChannel(dora, relay('https://elsewhere.example/dora'), null, 'Ada')
    expect(channelsOf('dora')).toMatchObject([{ hasSecret: false }])
  })

  test('S1: with another secret it has yet to ring', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada')
    desk.rang(dora, 'dora-relay' as ChannelId, 'Dora')
    expect(desk.hasRung()).toBe(true)
    desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada')
    expect(desk.hasRung()).toBe(true)
    desk.saveChannel(
      dora,
      relay('https://relay.example/dora'),
      ChannelSecret.parse({ kind: 'relay', token: 'token-2' }),
      'Ada',
    )
    expect(desk.hasRung()).toBe(false)
  })

  test('S1: a ring is good for 30 days, to the millisecond', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), null, 'Ada')
    expect(channelsOf('dora')).toMatchObject([{ rungAt: null, isRingDue: true }])
    desk.rang(dora, 'dora-relay' as ChannelId, 'Dora')
    time.now = dusk + ringEvery - 1
    expect([desk.hasRung(), channelsOf('dora')?.[0]?.isRingDue]).toEqual([true, false])
    time.now += 1
    expect([desk.hasRung(), channelsOf('dora')?.[0]?.isRingDue]).toEqual([false, true])
  })

  test('what cannot work is refused, with a sentence', () => {
    const webhook = (template: string) =>
      Channel.parse({ id: 'dora-sms', kind: 'webhook', label: 'SMS', url: 'https://x.example', template })
    desk.saveChannel(dora, relay('https://relay.example/dora'), null, 'Ada')
    const refusals = [
      desk.saveChannel(dora, webhook('{"say":{{title}}}'), null, 'Ada'),
      desk.saveChannel(dora, webhook('{"say":"{{tilte}}"}'), null, 'Ada'),
      desk.saveChannel(dora, Channel.parse({ id: 'dora-phone', kind: 'push', label: 'Phone' }), null, 'Ada'),
      desk.saveChannel(dora, { ...webhook('{}'), id: 'dora-relay' as ChannelId }, null, 'Ada'),
      desk.saveChannel('ada' as ContactId, relay('https://relay.example/ada'), null, 'Ada'),
      desk.saveChannel(
        dora,
        relay('https://relay.example/x', 'dora-2'),
        ChannelSecret.parse({ kind: 'webhook' }),
        'Ada',
      ),
    ]
    for (const refusal of refusals) {
      expect(refusal).toMatchObject({ ok: false, error: 'badChannel' })
      expect(refusal.ok ? '' : refusal.sentence).toMatch(/\.$/)
    }
    expect(channelsOf('dora')).toHaveLength(1)
    expect(
      desk.saveChannel('zoe' as ContactId, relay('https://relay.example/z', 'z'), null, 'Ada'),
    ).toMatchObject({
      error: 'noSuchContact',
    })
  })

  /** SQLite refuses the next household: a trigger stands for a disk that fails at that very write. */
  const refuseHouseholds = () =>
    world.db.exec(
      `CREATE TRIGGER refuse BEFORE INSERT ON household BEGIN SELECT RAISE(ABORT, 'refused'); END;
       CREATE TRIGGER refuse_too BEFORE UPDATE ON household BEGIN SELECT RAISE(ABORT, 'refused'); END`,
    )
  const id = 'dora-relay' as ChannelId

  test('N2: one that cannot be stored is refused, and its secret and its ring stay as they were', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada')
    desk.rang(dora, id, 'Dora')
    const [kept, lines] = [world.store.household(), world.store.journal({ limit: 50 })]
    refuseHouseholds()
    const other = ChannelSecret.parse({ kind: 'relay', token: 'token-2' })
    for (const refusal of [
      desk.saveChannel(dora, relay('https://relay.example/dora'), other, 'Ada'),
      desk.saveChannel(dora, relay('https://elsewhere.example/dora'), null, 'Ada'),
      desk.saveChannel(dora, relay('https://relay.example/more', 'dora-more'), other, 'Ada'),
      desk.removeChannel(dora, id, 'Ada'),
      desk.removeContact(dora, 'Ada'),
      desk.saveContact(aContact('zoe'), 'Ada'),
      desk.saveTelling([dora], usualTelling, 'Ada'),
    ])
      expect(refusal).toEqual(notStored)
    desk.dropChannel(dora, id, 'It is gone.')
    expect(world.outbox.channelSecret(id)).toEqual(token)
    expect(world.outbox.channelSecret('dora-more' as ChannelId)).toBeNull()
    expect(desk.hasRung()).toBe(true)
    world.house.commit()
    expect(world.house.state().layout.household).toEqual(kept)
    expect([world.store.household(), world.store.journal({ limit: 50 })]).toEqual([kept, lines])
    world.db.exec('DROP TRIGGER refuse; DROP TRIGGER refuse_too')
    expect(desk.removeChannel(dora, id, 'Ada')).toEqual({ ok: true, value: null })
    expect(channelsOf('dora')).toEqual([])
  })

  test('one whose secret cannot be read is shown as one without, and a new one mends it', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada')
    world.db.exec("UPDATE channel_secret SET secret = 'spoilt'")
    expect(channelsOf('dora')).toMatchObject([{ hasSecret: false }])
    expect(desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada').ok).toBe(true)
    expect(channelsOf('dora')).toMatchObject([{ hasSecret: true }])
    expect(changed).toEqual([id, id])
  })

  test('one that is gone is removed with its secret, and the journal says why', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), token, 'Ada')
    desk.dropChannel(
      dora,
      'dora-relay' as ChannelId,
      'The relay says that this address is no longer there (410).',
    )
    expect(channelsOf('dora')).toEqual([])
    expect(world.outbox.channelSecret('dora-relay' as ChannelId)).toBeNull()
    expect(world.store.journal({ limit: 1 })[0]).toMatchObject({
      kind: 'channelGone',
      by: 'brumal',
      contact: 'dora',
      text: 'Relay: The relay says that this address is no longer there (410).',
    })
  })

  test('a test goes out as a message of its own, without its links on the screen', async () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), null, 'Ada')
    const rung = await desk.ring(dora, 'dora-relay' as ChannelId, 'Ada')
    expect(rung).toMatchObject({ ok: true, value: { kind: 'ring', title: 'Brumal rings', state: 'waiting' } })
    expect(JSON.stringify([rung, desk.messages(10)])).not.toContain('/answer')
    expect(await desk.ring(dora, 'nothing' as ChannelId, 'Ada')).toMatchObject({ error: 'noSuchChannel' })
  })

  test('heard twice within a minute is one line of the journal', () => {
    desk.saveChannel(dora, relay('https://relay.example/dora'), null, 'Ada')
    for (let i = 0; i < 3; i++) desk.rang(dora, 'dora-relay' as ChannelId, 'Dora')
    expect(world.store.journal({ limit: 50 }).filter(({ kind }) => kind === 'rang')).toHaveLength(1)
  })
})

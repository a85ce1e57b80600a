import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { days, hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  alarmId,
  anOutboxWorld,
  channelId,
  laterOn,
  scriptedNetwork,
  takes,
  type TestedOutbox,
} from '../support/outbox-world.ts'
import { type SimulatedTime, simulatedTime } from '../support/simulated-time.ts'
import { clock, temporaryFolder } from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let time: SimulatedTime
let network: ReturnType<typeof scriptedNetwork>
let world: TestedOutbox

beforeEach(async () => {
  folder = temporaryFolder()
  time = simulatedTime(clock(2))
  network = scriptedNetwork(time)
  world = anOutboxWorld({
    folder: folder.path,
    time,
    senders: network.senders,
    contacts: { ada: ['ada-phone', 'ada-push'] },
  })
  await world.start()
})
afterEach(async () => {
  const stopping = world.outbox.stop()
  await time.pass(seconds(1))
  await stopping
  world.close()
  folder.remove()
})

/** SQLite refuses every write, as on a disk that was taken away (SQLITE_READONLY). */
const refuseWrites = (refuses: boolean) => world.db.pragma(`query_only = ${refuses ? 1 : 0}`)

const cannotBeStored = 'What became of a message cannot be stored; sending goes on from memory.'

describe('while the disk fails', () => {
  test('N2: messages go out from memory; it is said once, and what became of them is saved within 5 s of its end', async () => {
    refuseWrites(true)
    for (const key of ['a', 'b', 'c']) {
      world.outbox.put([world.born(key, { alarm: alarmId(key) })])
      await time.settle()
      await network.answer(takes)
    }
    await time.pass(minutes(1))
    expect(world.heard).toEqual(['delivered a', 'ada reached', 'delivered b', 'delivered c'])
    expect(world.errors()).toEqual([cannotBeStored])
    expect(world.store.recent(9)).toEqual([])
    expect(world.outbox.recent(9).map(({ key, state }) => `${key} ${state}`)).toEqual([
      'a delivered',
      'b delivered',
      'c delivered',
    ])
    refuseWrites(false)
    await time.pass(seconds(5))
    expect(['a', 'b', 'c'].map((key) => world.stored(key)?.state)).toEqual(
      Array.from({ length: 3 }, () => 'delivered'),
    )
    refuseWrites(true)
    await network.answer(takes).catch(() => undefined)
    world.outbox.put([world.born('d')])
    await time.settle()
    await network.answer(takes)
    expect(world.errors()).toEqual([cannotBeStored, cannotBeStored]) // another outage, said once more
  })

  test('N2: what the house hands over again each second goes out once', async () => {
    refuseWrites(true)
    const parcel = world.born('a')
    for (let i = 0; i < 30; i++) {
      world.outbox.put([parcel])
      await time.pass(seconds(1))
      if (i === 3) await network.answer(takes)
    }
    expect(network.all).toHaveLength(1)
  })

  test('N2: one that can never be stored keeps the others from nothing', async () => {
    refuseWrites(true)
    const never = Number.NaN as Instant // stored as NULL, which its column refuses
    world.outbox.put([world.born('bad', { bornAt: never }), world.born('good', { alarm: alarmId('b') })])
    await time.settle()
    await network.answer(takes)
    refuseWrites(false)
    await time.pass(seconds(10))
    expect(world.stored('bad')).toBeUndefined()
    expect(world.stored('good')?.state).toBe('delivered')
  })

  test('X3: at most 1,000 changes wait for the disk, and the newest are kept', async () => {
    refuseWrites(true)
    for (let i = 0; i < 1100; i++) world.outbox.put([world.born(`key ${i}`)])
    await time.settle()
    refuseWrites(false)
    await time.pass(seconds(5))
    expect(world.store.recent(2000)).toHaveLength(10) // a few at a go, so that the watch has its turn
    await time.pass(seconds(1))
    expect(world.store.recent(2000).filter(({ state }) => state === 'replaced')).toHaveLength(1000)
    expect(world.stored('key 1098')?.state).toBe('replaced')
  })

  test('what was not saved by the end is saved with it, where the disk takes it', async () => {
    refuseWrites(true)
    world.outbox.put([world.born('a')])
    await time.settle()
    await network.answer(takes)
    refuseWrites(false)
    await world.outbox.stop()
    expect(world.stored('a')?.state).toBe('delivered')
    expect(time.next()).toBeNull()
  })
})

describe('while the store cannot be read', () => {
  const spoil = (table: string, column: string) => world.db.exec(`UPDATE ${table} SET ${column} = 'spoilt'`)

  test('N2: a secret is used as it was read last', async () => {
    const secret = { kind: 'relay', token: 'relay-token-4d1f' } as const
    world.store.saveChannelSecret(channelId('ada-phone'), secret)
    await world.put(world.born('a'))
    await network.answer(takes)
    spoil('channel_secret', 'secret')
    await world.put(world.born('b'))
    expect(network.open).toMatchObject([{ secret }])
    expect(world.errors()).toHaveLength(1)
  })

  test('N2: a secret is read at the start, so that the first alarm has it', async () => {
    const secret = { kind: 'relay', token: 'relay-token-4d1f' } as const
    world.store.saveChannelSecret(channelId('ada-phone'), secret)
    await world.again()
    spoil('channel_secret', 'secret')
    await world.put(world.born('a'))
    expect(network.open).toMatchObject([{ secret }])
  })

  test('N2: one that was given later is read when it is given, and the one before is not used again', async () => {
    const [first, other] = ['relay-token-4d1f', 'relay-token-9a02'].map(
      (token) => ({ kind: 'relay', token }) as const,
    )
    if (first === undefined || other === undefined) throw new Error('there are two')
    const phone = channelId('ada-phone')
    world.store.saveChannelSecret(phone, first)
    world.outbox.secretChanged(phone)
    world.store.saveChannelSecret(phone, other)
    world.outbox.secretChanged(phone)
    spoil('channel_secret', 'secret')
    await world.put(world.born('a'))
    expect(network.open).toMatchObject([{ secret: other }])
    world.outbox.secretChanged(phone)
    await world.put(world.born('b', { alarm: alarmId('b') }))
    expect(network.all).toHaveLength(1)
  })

  test('N1: one that cannot be read at the start is read once it can be, and the message goes out', async () => {
    const secret = { kind: 'relay', token: 'relay-token-4d1f' } as const
    world.store.saveChannelSecret(channelId('ada-phone'), secret)
    spoil('channel_secret', 'secret')
    await world.again()
    await world.put(world.born('a'))
    world.store.saveChannelSecret(channelId('ada-phone'), secret)
    expect(network.all).toEqual([])
    await time.pass(seconds(10))
    expect(network.open).toMatchObject([{ secret, parcel: { key: 'a' } }])
  })

  test('N1: a secret that was never read is a failed try that says so, not a message without it', async () => {
    world.store.saveChannelSecret(channelId('ada-phone'), { kind: 'relay', token: 'relay-token-4d1f' })
    spoil('channel_secret', 'secret')
    await world.again()
    await world.put(world.born('a'))
    await time.pass(minutes(1))
    expect(network.all).toEqual([])
    expect(world.outbox.conditionOf(channelId('ada-phone'))).toMatchObject({
      condition: 'failing',
      lastSentence: 'What is kept secret for this channel cannot be read from the disk.',
    })
    expect(world.errors()).toHaveLength(1)
  })

  test('N2: at the start, new messages go out all the same, and those of before once they can be read', async () => {
    world.store.save(world.born('before', { alarm: alarmId('b') }))
    const [row] = world.db.prepare('SELECT parcel FROM parcel').pluck().all()
    spoil('parcel', 'parcel')
    await world.again()
    world.outbox.put([world.born('new', { channel: channelId('ada-push') })])
    await time.pass(seconds(12))
    expect(network.open.map(({ parcel }) => parcel.key)).toEqual(['new'])
    expect(world.errors()).toEqual(['Messages that wait cannot be read from the store; new ones go out.'])
    expect(world.outbox.recent(9).map(({ key }) => key)).toEqual(['new'])
    world.db.prepare('UPDATE parcel SET parcel = ?').run(row)
    await time.pass(seconds(5))
    expect(network.all.map(({ parcel }) => parcel.key)).toContain('before')
  })
})

describe('over a restart', () => {
  test('L7: what waits goes on with its wait and its tries, and is due when it was', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    await time.pass(seconds(3))
    await world.again()
    expect(network.open).toEqual([])
    await time.pass(750)
    expect(network.open).toMatchObject([{ parcel: { key: 'a', tries: 1 } }])
  })

  test('L7: a pause that a receiver wants is kept for what waits for it', async () => {
    await world.put(world.born('a'), world.born('b', { alarm: alarmId('b') }))
    await network.answer(laterOn(minutes(20)))
    await world.again()
    await time.pass(minutes(20) - 1)
    expect(network.open).toEqual([])
    await time.pass(1)
    expect(network.open).toHaveLength(1)
  })

  test('how the channels stood is known from their messages', async () => {
    await world.put(world.born('a'), world.born('b', { channel: channelId('ada-push') }))
    await network.answer(takes)
    await network.answer({ outcome: 'refused', sentence: 'It is refused (400).' })
    await world.again()
    expect(world.outbox.conditionOf(channelId('ada-phone'))).toEqual({
      condition: 'working',
      lastSentence: takes.sentence,
      lastAt: clock(2),
    })
    expect(world.outbox.conditionOf(channelId('ada-push')).condition).toBe('failing')
  })
})

describe('what has ended', () => {
  test('X3: is forgotten after 90 days, at the start and once a day, and never what waits', async () => {
    const ago = (daysAgo: number) => ({ bornAt: later(clock(2), -days(daysAgo)) })
    const ended = { state: 'delivered', outcome: 'It was taken.' } as const
    world.store.save(world.born('old', { ...ago(91), ...ended }))
    world.store.save(world.born('soon old', { ...ago(89.5), ...ended }))
    world.store.save(world.born('new', { ...ago(80), ...ended }))
    await world.again()
    const kept = () => world.store.recent(9).map(({ key }) => key)
    expect(kept()).toEqual(['new', 'soon old'])
    await time.pass(hours(24) - 1)
    expect(kept()).toEqual(['new', 'soon old'])
    await time.pass(1)
    expect(kept()).toEqual(['new'])
  })

  test('is shown with what waits, newest born first, as many as were asked for', async () => {
    for (const key of ['a', 'b', 'c']) {
      await world.put(world.born(key, { alarm: alarmId(key) }))
      await time.pass(1)
    }
    await network.answer(takes)
    const shown = (limit: number) => world.outbox.recent(limit).map(({ key, state }) => `${key} ${state}`)
    expect(shown(9)).toEqual(['c waiting', 'b waiting', 'a delivered'])
    expect(shown(2)).toEqual(['c waiting', 'b waiting'])
    expect(world.outbox.waiting()).toBe(2)
  })
})

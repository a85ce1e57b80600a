import { inspect } from 'node:util'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { hours, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Message } from '../../schemas/outbox.ts'
import { nextWait } from '../../shared/telling/retry.ts'
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
let contacts: Record<string, string[]>
let saidNow: (message: Message) => Message | null

beforeEach(async () => {
  folder = temporaryFolder()
  time = simulatedTime(clock(2))
  network = scriptedNetwork(time)
  contacts = { ada: ['ada-phone', 'ada-push', 'ada-sms', 'ada-work', 'ada-old'] }
  saidNow = (message) => message
  world = anOutboxWorld({
    folder: folder.path,
    time,
    senders: network.senders,
    contacts,
    refresh: ({ message }) => saidNow(message),
  })
  await world.start()
})
afterEach(async () => {
  await stopped()
  world.close()
  folder.remove()
})

/** Stops it; tries that nobody answers have a second to end. */
async function stopped(): Promise<void> {
  const stopping = world.outbox.stop()
  await time.pass(seconds(1))
  await stopping
}

const on = (channel: string) => ({ channel: channelId(channel) })
const about = (alarm: string) => ({ alarm: alarmId(alarm) })
const underWay = () => network.open.map(({ parcel }) => parcel.key)

describe('sending', () => {
  test('A4: what is put in goes out at once, with the secret of its channel, and is noted as delivered', async () => {
    world.store.saveChannelSecret(channelId('ada-phone'), { kind: 'relay', token: 'relay-token-4d1f' })
    await world.put(world.born('a'))
    expect(network.open).toMatchObject([
      { channel: 'ada-phone', secret: { kind: 'relay', token: 'relay-token-4d1f' }, parcel: { key: 'a' } },
    ])
    await network.answer(takes)
    expect(world.heard).toEqual(['delivered a', 'ada reached'])
    expect(world.stored('a')).toMatchObject({ state: 'delivered', tries: 1, outcome: takes.sentence })
    expect(world.outbox.waiting()).toBe(0)
  })

  test('N3: a timer that fires a millisecond early, with the moment coming while we look, leaves no message lying', async () => {
    await stopped()
    let last = -1
    // The first look since time moved shows the moment before it is due, any further one the moment itself
    const looking = () => {
      const uptime = time.clock.uptime()
      if (uptime === last) return millis(uptime + 1)
      last = uptime
      return uptime
    }
    const early: SimulatedTime = {
      ...time,
      clock: { ...time.clock, uptime: looking },
      timer: { ...time.timer, after: (ms, act) => time.timer.after(millis(Math.max(0, ms - 1)), act) },
    }
    const other = anOutboxWorld({ folder: folder.path, time: early, senders: network.senders, contacts })
    await other.start()
    await other.put(other.born('a'))
    for (let tries = 1; tries <= 5; tries += 1) {
      expect(underWay()).toEqual(['a'])
      await network.answer(laterOn())
      await time.pass(nextWait(tries, 0.5) + 1) // the world’s chance is always 0.5
    }
    expect(underWay()).toEqual(['a'])
    network.open[0]?.answer(takes)
    await other.outbox.stop()
    other.close()
  })

  test('nothing goes out before the start, and what was put in by then goes out with it', async () => {
    await stopped()
    const early = anOutboxWorld({ folder: folder.path, time, senders: network.senders, contacts })
    early.outbox.put([early.born('a')])
    await time.pass(minutes(10))
    expect(network.all).toEqual([])
    await early.start()
    expect(underWay()).toEqual(['a'])
    network.forget()
    early.close()
  })

  test('four at once over all and one by each channel; the next follows as soon as one has ended', async () => {
    const names = ['ada-phone', 'ada-phone', 'ada-push', 'ada-sms', 'ada-work', 'ada-old']
    await world.put(...names.map((name, i) => world.born(`${i}`, { ...on(name), ...about(`x${i}`) })))
    expect(underWay()).toEqual(['0', '2', '3', '4'])
    await network.answer(takes, 1)
    expect(underWay()).toEqual(['0', '3', '4', '1'].with(3, '5'))
    await network.answer(takes)
    expect(underWay()).toEqual(['3', '4', '5', '1'])
  })

  test('A4: the same key goes with each try, and the waits grow', async () => {
    await world.put(world.born('a'))
    for (let i = 0; i < 9; i++) {
      await network.answer(laterOn())
      await time.pass(time.next() ?? 0)
    }
    expect(new Set(network.all.map(({ parcel }) => parcel.key)).size).toBe(1)
    const instants = network.all.map(({ at }) => at)
    // three quarters of 5 s, 10 s, 20 s … 5 min: chance is 0.5 here
    expect(instants.slice(1).map((at, i) => (at - (instants[i] ?? 0)) / 1000)).toEqual([
      3.75, 7.5, 15, 30, 60, 120, 225, 225, 225,
    ])
    expect(world.stored('a')).toMatchObject({ state: 'waiting', tries: 9 })
  })

  test('A4: known by its key, what has ended is not sent again, however often it is handed over', async () => {
    const parcel = world.born('a')
    await world.put(parcel)
    await network.answer(takes)
    for (let i = 0; i < 3; i++) {
      world.outbox.put([parcel])
      await time.pass(seconds(1))
    }
    expect(network.all).toHaveLength(1)
    expect(world.stored('a')?.state).toBe('delivered')
  })

  test('A4: what is newer takes the place of what waits, and the store says so', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    await world.put(world.born('b', { kind: 'again' }))
    expect(underWay()).toEqual(['b'])
    expect(world.stored('a')).toMatchObject({
      state: 'replaced',
      outcome: 'Something newer was said instead.',
    })
    await network.answer(takes)
    await time.pass(hours(1))
    expect(network.all.map(({ parcel }) => parcel.key)).toEqual(['a', 'b'])
  })

  test('A4: somebody answered: what still waits is taken back', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    world.outbox.settle(world.born('a').alarm ?? alarmId('none'), 'Bela answered it first.')
    await time.pass(hours(1))
    expect(network.all).toHaveLength(1)
    expect(world.stored('a')).toMatchObject({ state: 'replaced', outcome: 'Bela answered it first.' })
  })

  test('while a receiver wants a pause, the other channels go on', async () => {
    await world.put(world.born('a'), world.born('b', on('ada-push')))
    await network.answer(laterOn(minutes(4)))
    await network.answer(laterOn())
    await time.pass(seconds(4))
    expect(underWay()).toEqual(['b'])
    await network.answer(takes)
    await time.pass(minutes(4) - seconds(4) - 1)
    expect(underWay()).toEqual([])
    await time.pass(1)
    expect(underWay()).toEqual(['a'])
  })
})

describe('what is said', () => {
  const inWords = (text: string) => (message: Message) => ({ ...message, text })

  test('A6: a first try within 60 s says what was written; later than that, what is true then', async () => {
    saidNow = inWords('as it is now')
    const old = clock(2) - seconds(60)
    const bornAt = (at: number) => ({ bornAt: later(clock(0), at - clock(0)) })
    await world.put(
      world.born('new', { ...on('ada-phone'), ...bornAt(old) }),
      world.born('old', { ...on('ada-push'), ...bornAt(old - 1) }),
      world.born('to come', { ...on('ada-sms'), ...bornAt(clock(3)) }),
    )
    const words = Object.fromEntries(network.open.map(({ parcel }) => [parcel.key, parcel.message.text]))
    expect(words).toEqual({
      new: 'Box 1 is too cold.\nFirst: look at the fridge door.',
      old: 'as it is now',
      'to come': 'as it is now',
    })
  })

  test('A6: every further try says what is true then, and the store keeps what was said', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    saidNow = inWords('as it is now')
    await time.pass(seconds(5))
    await network.answer(takes)
    expect(network.all.map(({ parcel }) => parcel.message.text.slice(0, 9))).toEqual([
      'Box 1 is ',
      'as it is ',
    ])
    expect(world.stored('a')?.message.text).toBe('as it is now')
  })

  test('what is no longer true is not said', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    saidNow = () => null
    await time.pass(hours(1))
    expect(network.all).toHaveLength(1)
    expect(world.stored('a')).toMatchObject({ state: 'replaced', outcome: 'It was no longer true.' })
  })

  test('what cannot be put into new words goes out in its old ones', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    saidNow = () => {
      throw new Error('a fault')
    }
    await time.pass(seconds(5))
    expect(underWay()).toEqual(['a'])
    expect(world.errors()).toHaveLength(1)
  })
})

describe('what fails', () => {
  test('N1: refused for good: it failed, and its channel with it', async () => {
    contacts['ada'] = ['ada-phone']
    await world.put(world.born('a'))
    await network.answer({ outcome: 'refused', sentence: 'The relay finds the message too long (413).' })
    expect(world.heard).toEqual(['failed a', 'ada out of reach'])
    expect(world.outbox.conditionOf(channelId('ada-phone'))).toEqual({
      condition: 'failing',
      lastSentence: 'The relay finds the message too long (413).',
      lastAt: clock(2),
    })
  })

  test('N1: gone for good: first the channel goes, then the contact is out of reach', async () => {
    contacts['ada'] = ['ada-phone']
    await world.put(world.born('a'), world.born('b', about('b')), world.born('c', about('c')))
    await network.answer({ outcome: 'gone', sentence: 'The relay says that it is no longer there (410).' })
    expect(world.heard).toEqual(['failed a', 'gone ada ada-phone', 'ada out of reach'])
    expect(world.reached).toMatchObject([
      {
        sentence: 'The relay says that it is no longer there (410).',
      },
    ])
  })

  test('a message for a channel that was removed is not sent', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    contacts['ada'] = []
    await time.pass(seconds(5))
    expect(world.stored('a')).toMatchObject({ state: 'replaced', outcome: 'This channel has been removed.' })
  })

  test('N1: mail without a mail server fails at once and says what to set', async () => {
    contacts['ada'] = ['ada-mail']
    await world.put(world.born('a', on('ada-mail')))
    expect(world.failed).toMatchObject([
      { outcome: 'Mail cannot be sent: no mail server is set (mail.host in the settings).' },
    ])
    expect(world.heard).toEqual(['failed a', 'ada out of reach'])
  })

  test('N1: what runs out fails with what came of its last try', async () => {
    contacts['ada'] = ['ada-phone']
    await world.put(world.born('a', { expiresAt: later(clock(2), minutes(10)) }))
    await network.answer(laterOn(minutes(30)))
    await time.pass(minutes(10) - 1)
    expect(world.failed).toEqual([])
    await time.pass(1)
    expect(world.failed).toMatchObject([{ outcome: laterOn().sentence, tries: 1 }])
    expect(network.all).toHaveLength(1)
  })

  test('N1: a try that hangs ends after 15 s; an answer after that reaches nobody, and the next try goes out', async () => {
    await world.put(world.born('a'))
    const [first] = network.all
    await time.pass(seconds(15) - 1)
    expect(first?.signal.aborted).toBe(false)
    await time.pass(1)
    expect(first?.signal.aborted).toBe(true)
    await time.pass(seconds(1))
    expect(world.stored('a')).toMatchObject({ tries: 1, outcome: 'The channel did not answer in time.' })
    await time.pass(seconds(5))
    expect(network.all).toHaveLength(2)
    first?.answer(takes)
    await time.settle()
    expect([world.stored('a')?.state, world.heard]).toEqual(['waiting', []])
    await network.answer(takes)
    expect(world.heard).toEqual(['delivered a', 'ada reached'])
  })

  test('X4: a sender that breaks down is a failed try; the log says where, and nothing of what it said', async () => {
    await world.put(world.born('a'))
    network.open[0]?.throws(Object.assign(new TypeError('bad key-9a2c'), { input: 'https://x/key-9a2c' }))
    await time.settle()
    expect(world.stored('a')).toMatchObject({ state: 'waiting', tries: 1 })
    expect(world.errors()).toEqual(['A channel failed in a way that is a fault of this program.'])
    expect(inspect(world.logged, { depth: 9 })).not.toContain('key-9a2c')
    expect(inspect(world.logged, { depth: 9 })).toContain('outbox.test.ts')
    await time.pass(seconds(5))
    expect(underWay()).toEqual(['a'])
  })
})

describe('N3: the clock', () => {
  test.each([-9, 9])('set by %i h, it holds up no message and ends none', async (byHours) => {
    await world.put(world.born('a', { expiresAt: later(clock(2), hours(1)) }))
    await network.answer(laterOn())
    time.setClock(hours(byHours))
    await time.pass(seconds(5))
    expect(underWay()).toEqual(['a'])
    await network.answer(laterOn())
    await time.pass(seconds(10))
    expect(underWay()).toEqual(['a'])
    expect(world.failed).toEqual([])
  })

  test('set back over a restart, it holds up no message', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn())
    time.setClock(-hours(9))
    await world.again()
    expect(underWay()).toEqual(['a'])
  })
})

describe('the first try', () => {
  const ring = (key = 'ring') => world.born(key, { kind: 'ring', alarm: null })

  test('is told of when it was taken, asked before or after', async () => {
    await world.put(ring())
    const before = world.outbox.firstTry('ring')
    await network.answer(takes)
    expect(await before).toMatchObject({ key: 'ring', state: 'delivered', outcome: takes.sentence })
    expect(await world.outbox.firstTry('ring')).toMatchObject({ state: 'delivered' })
  })

  test('is told of when it failed, while the message waits for its second', async () => {
    const asked = world.outbox.firstTry('ring')
    await world.put(ring())
    await network.answer(laterOn())
    expect(await asked).toMatchObject({ state: 'waiting', tries: 1, outcome: laterOn().sentence })
  })

  test('is not waited for behind a pause: the answer says that the receiver wants one', async () => {
    await world.put(world.born('a'))
    await network.answer(laterOn(minutes(30)))
    await world.put(ring())
    expect(await world.outbox.firstTry('ring')).toMatchObject({ tries: 0, outcome: laterOn().sentence })
  })

  test('of one that is replaced is told of too', async () => {
    await world.put(world.born('a'), ring('one'))
    const one = world.outbox.firstTry('one')
    await world.put(ring('two'))
    expect(await one).toMatchObject({ state: 'replaced' })
  })

  test('ends with the outbox, for one that is there as it stands, for one that never came with an error', async () => {
    await world.put(ring())
    const there = world.outbox.firstTry('ring')
    const never = world.outbox.firstTry('never').catch((error: unknown) => String(error))
    const stopping = world.outbox.stop()
    await network.answer(laterOn())
    await stopping
    expect(await there).toMatchObject({ state: 'waiting', tries: 0 })
    expect(await never).toContain('stopped')
    await expect(world.outbox.firstTry('other')).rejects.toThrow('stopped')
  })
})

describe('stopping', () => {
  test('ends what is under way, counts it as no failure, and the next run sends it with the same key', async () => {
    await world.put(world.born('a'))
    let hasStopped = false
    const stopping = world.outbox.stop().then(() => (hasStopped = true))
    await time.settle()
    expect([network.all[0]?.signal.aborted, hasStopped]).toEqual([true, false])
    await network.answer(laterOn())
    await stopping
    expect(world.stored('a')).toMatchObject({ state: 'waiting', tries: 0, outcome: null })
    world.outbox.put([world.born('b', about('b'))])
    await time.pass(hours(1))
    expect(network.all).toHaveLength(1)
    await world.again()
    expect(underWay()).toEqual(['a'])
  })

  test('what was taken in the last moment is noted, so that it is not sent twice', async () => {
    await world.put(world.born('a'))
    const stopping = world.outbox.stop()
    await network.answer(takes)
    await stopping
    expect(world.stored('a')?.state).toBe('delivered')
    await world.again()
    expect(network.open).toEqual([])
  })

  test('a sender that does not end is waited for no longer than a second', async () => {
    await world.put(world.born('a'))
    const stopping = world.outbox.stop()
    await time.pass(seconds(1))
    await stopping
    expect(time.next()).toBeNull()
  })
})

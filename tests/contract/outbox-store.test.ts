import { inspect } from 'node:util'
import type { Database } from 'better-sqlite3'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { OutboxStore } from '../../daemon/ports/outbox.ts'
import type { Batch, Store } from '../../daemon/ports/store.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { instant } from '../../schemas/amounts.ts'
import type { ChannelSecret } from '../../schemas/contact.ts'
import { ChannelId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import { aReading, clock, openStore, probe, temporaryFolder } from '../support/store-world.ts'
import { delivered, phone, waitingParcel } from '../support/waiting-parcel.ts'

let folder: ReturnType<typeof temporaryFolder>
let db: Database
let store: Store
let outbox: OutboxStore

beforeEach(() => {
  folder = temporaryFolder()
  open()
})

afterEach(() => {
  store.close()
  folder.remove()
})

function open(): void {
  ;({ db, store } = openStore(folder.path))
  outbox = sqliteOutbox(db)
}

function reopen(): void {
  store.close()
  open()
}

const keysOf = (parcels: readonly Parcel[]): string[] => parcels.map(({ key }) => key)
const refused = (code: string) => expect.objectContaining({ name: 'StorageError', code }) as Error

const withParcels = (...parcels: Parcel[]): Batch => ({ readings: [], journal: [], parcels })

describe('messages that wait', () => {
  test('A4: a message waits word for word, over a restart too', () => {
    const summary = waitingParcel('house/summary', { kind: 'summary', alarm: null, outcome: 'No answer.' })
    outbox.save(summary)
    reopen()
    expect(outbox.waiting()).toEqual([summary])
    expect(outbox.recent(9)).toEqual([summary])
  })

  test('A4: the oldest waits in front; of two of one instant the one that was put in first, tried again or not', () => {
    outbox.save(waitingParcel('young', { bornAt: clock(3) }))
    outbox.save(waitingParcel('twin b', { bornAt: clock(2) }))
    outbox.save(waitingParcel('twin a', { bornAt: clock(2) }))
    outbox.save(waitingParcel('old', { bornAt: clock(1), dueAt: clock(9) }))
    outbox.save(waitingParcel('twin b', { bornAt: clock(2), tries: 1 }))
    expect(keysOf(outbox.waiting())).toEqual(['old', 'twin b', 'twin a', 'young'])
  })

  test.each(['delivered', 'failed', 'replaced'] as const)('A4: what is %s waits no longer', (state) => {
    outbox.save(waitingParcel('one'))
    outbox.save(waitingParcel('two'))
    outbox.save(waitingParcel('one', { state, outcome: 'It ended.' }))
    expect(keysOf(outbox.waiting())).toEqual(['two'])
    expect(outbox.recent(9).find(({ key }) => key === 'one')?.state).toBe(state)
  })

  test('a message saved again is the same message, as it was saved last', () => {
    outbox.save(waitingParcel('one'))
    const tried = waitingParcel('one', { tries: 3, dueAt: clock(5), outcome: 'No answer.' })
    outbox.save(tried)
    expect(outbox.waiting()).toEqual([tried])
  })

  test('the newest born come first, as many as were asked for', () => {
    for (const hours of [2, 1, 4, 3]) outbox.save(waitingParcel(`at ${hours}`, { bornAt: clock(hours) }))
    outbox.save(waitingParcel('at 3 too', { bornAt: clock(3) }))
    expect(keysOf(outbox.recent(3))).toEqual(['at 4', 'at 3 too', 'at 3'])
    expect(outbox.recent(0)).toEqual([])
  })

  test('X3: what ended before an instant is forgotten, not what ended at it, and never what waits', () => {
    outbox.save(waitingParcel('waits', { bornAt: clock(1) }))
    outbox.save(delivered(waitingParcel('ended before', { bornAt: instant(clock(2) - 1) })))
    outbox.save(delivered(waitingParcel('ended at', { bornAt: clock(2) })))
    expect(outbox.forgetEnded(clock(2))).toBe(1)
    expect(keysOf(outbox.recent(9))).toEqual(['ended at', 'waits'])
    expect(outbox.forgetEnded(clock(2))).toBe(0)
  })
})

describe('a commit with messages', () => {
  test('A4: puts them in with their alarm, over a restart too', () => {
    const parcels = [waitingParcel('to ada'), waitingParcel('to ben')]
    store.commit({ ...withParcels(...parcels), snapshot: 'raised' })
    reopen()
    expect(outbox.waiting()).toEqual(parcels)
    expect(store.resume().snapshot).toBe('raised')
  })

  test.each(['delivered', 'failed', 'replaced'] as const)(
    'A4: made again, it does not send a second time what is %s',
    (state) => {
      const batch = withParcels(waitingParcel('one'), waitingParcel('two'))
      store.commit(batch)
      const ended = waitingParcel('one', { state, tries: 1, outcome: 'It ended.' })
      outbox.save(ended)
      store.commit(batch)
      expect(keysOf(outbox.waiting())).toEqual(['two'])
      expect(outbox.recent(9)).toContainEqual(ended)
    },
  )

  test('N2: what went out while the disk was full is not sent again by the commit that follows', () => {
    const parcel = waitingParcel('one')
    outbox.save(delivered(parcel))
    store.commit(withParcels(parcel))
    expect(outbox.waiting()).toEqual([])
  })

  test('a commit made again puts what still waits back as it says', () => {
    store.commit(withParcels(waitingParcel('one')))
    const later = waitingParcel('one', { dueAt: clock(2) })
    store.commit(withParcels(later))
    expect(outbox.waiting()).toEqual([later])
  })

  test.each<[string, Partial<Batch>]>([
    ['reading', { readings: [aReading(clock(1), 5), aReading(clock(2), Number.NaN)] }],
    ['journal line', { journal: [{ at: instant(Number.NaN), kind: 'started', by: 'brumal' }] }],
    ['message', { parcels: [waitingParcel('good'), waitingParcel('bad', { bornAt: instant(Number.NaN) })] }],
  ])('N2: a spoilt %s leaves neither readings nor messages nor journal', (_, spoilt) => {
    const whole: Batch = {
      readings: [aReading(clock(1), 5)],
      journal: [{ at: clock(1), kind: 'started', by: 'brumal' }],
      parcels: [waitingParcel('good')],
      snapshot: 'one',
    }
    expect(() => store.commit({ ...whole, ...spoilt })).toThrow(/NOT NULL/) // NaN is stored as NULL
    const held = () => ({
      readings: store.readings(probe, 'temperature', clock(0), clock(9)).map(({ value }) => value),
      journal: store.journal({ limit: 9 }).map(({ kind }) => kind),
      waiting: keysOf(outbox.waiting()),
      snapshot: store.resume().snapshot,
    })
    expect(held()).toEqual({ readings: [], journal: [], waiting: [], snapshot: null })
    store.commit(whole)
    reopen()
    expect(held()).toEqual({ readings: [5], journal: ['started'], waiting: ['good'], snapshot: 'one' })
  })

  test('N2: a disk that is full at any page leaves all of a commit or nothing', () => {
    const text = 'x'.repeat(1500)
    const batch: Batch = {
      readings: Array.from({ length: 600 }, (_, i) => aReading(clock(1) + i * 1000, i)),
      journal: [{ at: clock(1), kind: 'started', by: 'brumal' }],
      parcels: Array.from({ length: 10 }, (_, i) => {
        const parcel = waitingParcel(`key ${i}`)
        return { ...parcel, message: { ...parcel.message, text } }
      }),
    }
    const used = Number(db.pragma('page_count', { simple: true }))
    let failures = 0
    for (let room = 0; ; room++) {
      db.pragma(`max_page_count = ${used + room}`)
      try {
        store.commit(batch)
        break
      } catch (error) {
        expect(error).toEqual(refused('diskIsFull'))
        failures += 1
        expect(store.unfolded()).toBe(0)
        expect(outbox.waiting()).toEqual([])
        expect(store.journal({ limit: 9 })).toEqual([])
      }
    }
    expect(failures).toBeGreaterThan(5) // the disk did get full inside the readings and inside the messages
    expect(store.unfolded()).toBe(600)
    expect(outbox.waiting()).toEqual(batch.parcels)
  })
})

describe('secrets of channels', () => {
  const secrets: readonly ChannelSecret[] = [
    { kind: 'push', endpoint: 'https://push.frog-house.example/a1', p256dh: 'public', auth: 'shared' },
    { kind: 'relay', token: 'relay-token-4d1f' },
    { kind: 'webhook', headers: { 'X-Gateway-Key': 'webhook-key-9a2c' } },
  ]

  test.each(secrets)('X4: of a $kind are kept over a restart, for their channel only', (secret) => {
    outbox.saveChannelSecret(phone, secret)
    reopen()
    expect(outbox.channelSecret(phone)).toEqual(secret)
    expect(outbox.channelSecret(ChannelId.parse('ben-phone'))).toBeNull()
  })

  test('X4: saved again, the later one holds; forgotten, it is gone, and forgetting twice does no harm', () => {
    outbox.saveChannelSecret(phone, { kind: 'relay', token: 'old' })
    outbox.saveChannelSecret(phone, { kind: 'relay', token: 'new' })
    expect(outbox.channelSecret(phone)).toEqual({ kind: 'relay', token: 'new' })
    outbox.forgetChannelSecret(phone)
    outbox.forgetChannelSecret(phone)
    expect(outbox.channelSecret(phone)).toBeNull()
  })

  test.each([
    ['no JSON', 'relay-token-4d1f'],
    ['of no kind', '{"kind":"relay-token-4d1f"}'],
    ['too long', JSON.stringify({ kind: 'relay', token: 'relay-token-4d1f'.repeat(99) })],
    ['more than one', '{"kind":"relay","token":"relay-token-4d1f","other":"relay-token-4d1f"}'],
  ])('X4: one that is %s is refused as damage, and its text is in no part of the error', (_, text) => {
    db.prepare('INSERT INTO channel_secret (channel, secret) VALUES (?, ?)').run(phone, text)
    let error: unknown
    try {
      outbox.channelSecret(phone)
    } catch (thrown) {
      error = thrown
    }
    expect(error).toEqual(refused('databaseIsDamaged'))
    expect(inspect(error, { depth: 20, showHidden: true })).toContain('The secret of ada-phone')
    expect(inspect(error, { depth: 20, showHidden: true })).not.toContain('relay-token')
  })
})

describe('damage', () => {
  test.each(['not JSON: sealed-link', '{"key":"sealed-link"}', '[]', 'null'])(
    'a message that reads %s is refused as damage, and its link is not in the error',
    (text) => {
      outbox.save(waitingParcel('one'))
      db.prepare('UPDATE parcel SET parcel = ?').run(text)
      expect(() => outbox.waiting()).toThrow(refused('databaseIsDamaged'))
      expect(() => outbox.recent(1)).toThrow(refused('databaseIsDamaged'))
      try {
        outbox.waiting()
      } catch (error) {
        expect(inspect(error, { depth: 20 })).not.toContain('sealed-link')
      }
    },
  )
})

describe('ring tests', () => {
  test('S1: the last ring of a channel is kept over a restart, for that channel only', () => {
    expect(outbox.rungAt(phone)).toBeNull()
    outbox.saveRing(phone, clock(1))
    outbox.saveRing(phone, clock(2))
    reopen()
    expect(outbox.rungAt(phone)).toBe(clock(2))
    expect(outbox.rungAt(ChannelId.parse('ben-phone'))).toBeNull()
  })
})

const anyKey = fc.constantFrom('a', 'b', 'c', 'd', 'e')
const anyParcel = fc
  .record({
    key: anyKey,
    bornAt: fc.integer({ min: 0, max: 4 }).map(clock),
    state: fc.constantFrom('waiting', 'waiting', 'delivered', 'failed', 'replaced'),
    tries: fc.integer({ min: 0, max: 3 }),
  })
  .map(({ key, ...more }) => waitingParcel(key, more as Partial<Parcel>))

const anyAct = fc.oneof(
  { weight: 4, arbitrary: fc.record({ commit: fc.array(anyParcel, { maxLength: 4 }) }) },
  { weight: 4, arbitrary: fc.record({ save: anyParcel }) },
  { weight: 1, arbitrary: fc.record({ forget: fc.integer({ min: 0, max: 5 }).map(clock) }) },
  { weight: 1, arbitrary: fc.record({ reopen: fc.constant(true) }) },
)

test('A4: whatever is committed, saved, forgotten or restarted, the outbox holds what a plain list would', () => {
  fc.assert(
    fc.property(fc.array(anyAct, { minLength: 1, maxLength: 16 }), (acts) => {
      const own = temporaryFolder()
      let opened = openStore(own.path)
      let subject = sqliteOutbox(opened.db)
      let model: Parcel[] = []
      const put = (parcel: Parcel, mayOver: (old: Parcel) => boolean): void => {
        const i = model.findIndex(({ key }) => key === parcel.key)
        const old = model[i]
        if (old === undefined) model.push(parcel)
        else if (mayOver(old)) model[i] = parcel
      }
      try {
        for (const act of acts) {
          if ('commit' in act) {
            opened.store.commit(withParcels(...act.commit))
            for (const parcel of act.commit) put(parcel, (old) => old.state === 'waiting')
          } else if ('save' in act) {
            subject.save(act.save)
            put(act.save, () => true)
          } else if ('forget' in act) {
            const kept = model.filter(({ state, bornAt }) => state === 'waiting' || bornAt >= act.forget)
            expect(subject.forgetEnded(act.forget)).toBe(model.length - kept.length)
            model = kept
          } else {
            opened.store.close()
            opened = openStore(own.path)
            subject = sqliteOutbox(opened.db)
          }
          const byAge = model.toSorted((one, other) => one.bornAt - other.bornAt)
          expect(subject.waiting()).toEqual(byAge.filter(({ state }) => state === 'waiting'))
          expect(subject.recent(3)).toEqual(byAge.toReversed().slice(0, 3))
        }
      } finally {
        opened.store.close()
        own.remove()
      }
    }),
    { numRuns: 100 },
  )
}, 120_000)

import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Delivery } from '../../daemon/ports/outbox.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { later, millis, seconds } from '../../schemas/amounts.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import {
  alarmId,
  anOutboxWorld,
  channelId,
  scriptedNetwork,
  takes,
  type TestedOutbox,
} from '../support/outbox-world.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import { clock, temporaryFolder } from '../support/store-world.ts'

const names = ['ada-phone', 'ada-push', 'ada-sms', 'bela-phone', 'bela-push', 'bela-sms'] as const
const anyDelivery: fc.Arbitrary<Delivery> = fc.oneof(
  fc.constant(takes),
  fc.constantFrom('refused', 'gone').map((outcome) => ({ outcome, sentence: 'It will not do.' }) as const),
  fc
    .option(fc.integer({ min: 0, max: 4_000_000 }).map(millis))
    .map((retryAfter) => ({ outcome: 'later', retryAfter, sentence: 'Not now.' }) as const),
)
const anyAct = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({
      put: fc.array(
        fc.record({
          channel: fc.constantFrom(...names).map(channelId),
          alarm: fc.option(fc.constantFrom('a', 'b').map(alarmId)),
          kind: fc.constantFrom('raised', 'again', 'returned', 'ring'),
          lives: fc.integer({ min: 1, max: 7_200_000 }),
        }),
        { minLength: 1, maxLength: 4 },
      ),
    }),
  },
  { weight: 1, arbitrary: fc.record({ settle: fc.constantFrom('a', 'b').map(alarmId) }) },
  { weight: 6, arbitrary: fc.record({ answer: anyDelivery, which: fc.nat() }) },
  { weight: 4, arbitrary: fc.record({ pass: fc.integer({ min: 0, max: 400_000 }) }) },
  { weight: 1, arbitrary: fc.record({ setClock: fc.integer({ min: -90_000_000, max: 90_000_000 }) }) },
  { weight: 1, arbitrary: fc.record({ disk: fc.boolean() }) },
  { weight: 1, arbitrary: fc.constantFrom({ again: 'killed' } as const, { again: 'stopped' } as const) },
)

/** The house: it commits what is to be said and hands it over; where the disk refuses, it does both each second. */
function aHouse(world: TestedOutbox, store: Store) {
  let pending: Parcel[] = []
  return {
    say(parcels: readonly Parcel[]): readonly Parcel[] {
      pending.push(...parcels)
      const all = pending
      try {
        store.commit({ readings: [], journal: [], parcels: all })
        pending = []
      } catch {
        // kept for the next second
      }
      world.outbox.put(all)
      return pending.length === 0 ? all : []
    },
    dies: () => {
      pending = []
    },
  }
}

test('A4, N2: in no story of puts, answers, failures, clocks, disks and restarts is a message lost, sent twice at once, or after its end', async () => {
  let tries = 0
  let restarts = 0
  await fc.assert(
    fc.asyncProperty(fc.array(anyAct, { minLength: 5, maxLength: 50 }), async (acts) => {
      const folder = temporaryFolder()
      const time = simulatedTime(clock(2))
      const network = scriptedNetwork(time)
      const contacts = { ada: names.slice(0, 3), bela: names.slice(3) }
      const world = anOutboxWorld({ folder: folder.path, time, senders: network.senders, contacts })
      const house = aHouse(world, sqliteStore(world.db))
      const committed = new Set<string>()
      let born = 0
      let seen = 0
      let heard = 0
      let isDiskWell = true
      /** Ended by what this process knows, or by what the store kept. */
      const ended = new Set<string>()
      const look = () => {
        for (const { parcel } of network.all.slice(seen)) expect(ended.has(parcel.key)).toBe(false)
        seen = network.all.length
        for (const words of world.heard.slice(heard)) {
          const [, key] = /^(?:delivered|failed) (key \d+)$/.exec(words) ?? []
          if (key === undefined) continue
          expect(ended.has(key)).toBe(false)
          ended.add(key)
        }
        heard = world.heard.length
        const busy = network.open.filter(({ signal }) => !signal.aborted).map(({ channel }) => channel)
        expect(new Set(busy).size).toBe(busy.length)
        expect(busy.length).toBeLessThanOrEqual(4)
      }
      const restart = async (how: 'killed' | 'stopped') => {
        restarts += 1
        if (how === 'stopped') {
          const stopping = world.outbox.stop()
          await time.pass(seconds(1))
          await stopping
        }
        look()
        house.dies()
        network.forget()
        // Only what the store has may not be sent again: the rest died with the process.
        ended.clear()
        for (const { key, state } of world.store.recent(1000)) if (state !== 'waiting') ended.add(key)
        heard = world.heard.length
        await world.again()
        look()
      }
      try {
        await world.start()
        for (const act of acts) {
          if ('put' in act) {
            const now = time.clock.now()
            const parcels = act.put.map(({ kind, lives, ...more }) =>
              world.born(`key ${born++}`, {
                ...more,
                kind: kind as Parcel['kind'],
                expiresAt: later(now, lives),
              }),
            )
            for (const { key } of house.say(parcels)) committed.add(key)
          } else if ('settle' in act) world.outbox.settle(act.settle, 'Bela answered it first.')
          else if ('answer' in act && network.open.length > 0)
            network.open[act.which % network.open.length]?.answer(act.answer)
          else if ('pass' in act) await time.pass(act.pass)
          else if ('setClock' in act) time.setClock(act.setClock)
          else if ('disk' in act) {
            isDiskWell = act.disk
            world.db.pragma(`query_only = ${isDiskWell ? 0 : 1}`)
          } else if ('again' in act) await restart(act.again)
          await time.settle()
          for (const { key } of house.say([])) committed.add(key)
          await time.settle()
          look()
        }
        // The disk works, the network takes everything: nothing is left within the longest pause and a little.
        world.db.pragma('query_only = 0')
        for (let i = 0; i < 5 || world.outbox.waiting() > 0; i++) {
          expect(i).toBeLessThan(500)
          for (const one of [...network.open]) one.answer(takes)
          await time.settle()
          for (const { key } of house.say([])) committed.add(key)
          await time.pass(network.open.length > 0 ? 0 : 15_000)
          look()
        }
        tries += network.all.length
        const left = new Map(world.store.recent(1000).map((parcel) => [parcel.key, parcel]))
        for (const key of committed) {
          const parcel = left.get(key)
          expect(parcel?.state).toMatch(/^(?:delivered|failed|replaced)$/)
          expect(parcel?.outcome).toMatch(/^[A-Z].*\.$/)
        }
        expect(world.store.waiting()).toEqual([])
      } finally {
        world.close()
        folder.remove()
      }
    }),
    { numRuns: 40 },
  )
  console.log(`stories: ${tries} tries, ${restarts} restarts`)
  expect(restarts).toBeGreaterThan(5)
}, 180_000)

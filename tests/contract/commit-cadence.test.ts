import { afterEach, beforeEach, expect, test } from 'vitest'
import type { House } from '../../daemon/app/house.ts'
import { makeIntake } from '../../daemon/app/ingest.ts'
import { rememberSources } from '../../daemon/app/sources.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { instant, later, seconds } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import { midnight, openStore, probe, temporaryFolder } from '../support/store-world.ts'

/*
 * When a reading is committed: seldom enough for a memory card, and soon enough for whoever waits. Against the real
 * store; the clock alone is simulated.
 */

const commitEvery = seconds(30)
const folder = { path: '', remove: () => {} }
let time: ReturnType<typeof simulatedTime>
let store: Store
let house: House
let n = 0

beforeEach(() => {
  Object.assign(folder, temporaryFolder())
  time = simulatedTime(midnight)
  store = openStore(folder.path).store
  const household = Household.parse({
    version: 1,
    name: 'Card house',
    timeZone: 'Europe/Vienna',
    hemisphere: 'north',
    places: [
      {
        id: 'box',
        name: 'Box',
        kind: 'box',
        ownLimits: [{ quantity: 'temperature', limit: 'low', value: 3, for: 60_000 }],
      },
    ],
    sensors: [{ id: probe, name: 'Probe', place: 'box', topic: 'cellar/probe' }],
  })
  house = houseOver(store, time, household, commitEvery)
  house.commit()
  n = 0
})
afterEach(() => {
  house.close()
  store.close()
  folder.remove()
})

/** A message as the broker hands it over, each a millisecond later; says whether it has been answered. Null: nothing for us. */
function arrives(qos: 0 | 1, client?: string, value: number | null = 5): { isAnswered: boolean } {
  n += 1
  const said = { isAnswered: false }
  const at = later(time.clock.now(), -1000 + n)
  const take = makeIntake({
    house,
    sources: rememberSources(),
    clock: time.clock,
    timer: time.timer,
  })
  take(
    {
      topic: 'cellar/probe',
      payload: new Uint8Array(),
      retained: false,
      qos,
      client,
      claimedBy: [probe],
      heard: value === null ? [] : [{ sensor: probe, quantity: 'temperature', value, at }],
      found: [],
      refusal: null,
    },
    () => {
      said.isAnswered = true
    },
  )
  return said
}

const stored = (sensor: SensorId = probe): number =>
  store.readings(sensor, 'temperature', instant(0), later(midnight, 86_400_000)).length

test('where nobody waits for an answer, a reading is committed after the interval that is set, and not before', async () => {
  arrives(0)
  await time.pass(commitEvery - 1)
  expect(stored()).toBe(0)
  await time.pass(1)
  expect(stored()).toBe(1)
})

test('a broker outside holds seventeen messages until then; the eighteenth is committed with them at once', async () => {
  const said = Array.from({ length: 17 }, () => arrives(1))
  await time.settle()
  expect([stored(), said.some(({ isAnswered }) => isAnswered)]).toEqual([0, false])
  said.push(arrives(1))
  await time.settle()
  expect([stored(), said.every(({ isAnswered }) => isAnswered)]).toEqual([18, true])
})

test('messages that no broker holds (QoS 0) force no commit, however many come', async () => {
  for (let i = 0; i < 100; i++) arrives(0)
  await time.settle()
  expect(stored()).toBe(0)
})

test('a sensor that waits is answered at once where the card has rested, and within two seconds where not', async () => {
  await time.pass(seconds(2))
  const first = arrives(1, 'probe')
  await time.settle()
  expect(first.isAnswered).toBe(true)
  const second = arrives(1, 'other')
  await time.pass(1999)
  expect(second.isAnswered).toBe(false)
  await time.pass(1)
  expect([second.isAnswered, stored()]).toEqual([true, 2])
})

test('sensors that never leave the card two seconds are answered within twelve, once a minute of that is used up', async () => {
  const waits: number[] = []
  for (let i = 0; i < 200; i++) {
    const one = arrives(1, `probe-${i % 20}`)
    let waited = 0
    for (; !one.isAnswered; waited += 100) await time.pass(100)
    waits.push(waited)
    await time.pass(150)
  }
  expect(Math.max(...waits.slice(0, 40))).toBeLessThanOrEqual(2000)
  expect(Math.max(...waits)).toBeLessThanOrEqual(12_000)
  expect(Math.min(...waits.slice(-20))).toBeGreaterThan(10_000)
})

test('a sensor that has more to send, one at a time, is not held up: what comes within 100 ms of an answer is answered', async () => {
  await time.pass(seconds(2))
  for (let i = 0; i < 10; i++) {
    const one = arrives(1, 'probe')
    await time.settle()
    expect(one.isAnswered).toBe(true)
    await time.pass(99)
  }
  expect(stored()).toBe(10)
})

test('a sensor that catches up is not slowed down: fifty that wait are worth a commit', async () => {
  const said = Array.from({ length: 49 }, (_, i) => arrives(1, `probe-${i}`))
  await time.settle()
  expect(said.some(({ isAnswered }) => isAnswered)).toBe(false)
  said.push(arrives(1, 'probe'))
  await time.settle()
  expect([stored(), said.every(({ isAnswered }) => isAnswered)]).toEqual([50, true])
})

test('L7: while a delay runs, what it heard is committed within two seconds, so that dying costs the delay nothing', async () => {
  await time.pass(seconds(2))
  arrives(0, undefined, 2.5)
  await time.settle()
  expect(stored()).toBe(1)
  arrives(0, undefined, 2.5)
  await time.pass(1999)
  expect(stored()).toBe(1)
  await time.pass(1)
  expect(stored()).toBe(2)
})

test('an alarm never waits: it is in the journal before the step returns, and all that waited with it', async () => {
  arrives(0, undefined, 2.5)
  await time.pass(seconds(60))
  arrives(0, undefined, 2.5)
  const alarm = store.journal({ limit: 10 }).find(({ kind }) => kind === 'raised')
  expect(alarm?.alarmKind).toBe('limit')
  expect(stored()).toBe(2)
})

test('X3: a chatty broker’s QoS 0 waits for nothing, and what holds nothing for us is answered at once', async () => {
  const chatter = Array.from({ length: 5000 }, () => arrives(0, undefined, null))
  expect(chatter.every(({ isAnswered }) => isAnswered)).toBe(true)
  expect(arrives(0).isAnswered).toBe(true)
  await time.pass(commitEvery)
  const [outside, inside] = [arrives(1, undefined, null), arrives(1, 'probe', null)]
  await time.settle()
  expect([outside.isAnswered, inside.isAnswered]).toEqual([true, true])
})

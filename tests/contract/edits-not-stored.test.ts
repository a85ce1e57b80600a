import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { notStored } from '../../daemon/app/not-stored.ts'
import type { Arrival, Broker, Senders } from '../../daemon/ports.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import { Place } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { type FaultDaemon, openFaultDaemon } from '../support/fault-daemon.ts'
import { aFreshHouse, household, start, tooCold } from '../support/fault-house.ts'
import { failing, type Fault, type Trap, trapFor } from '../support/faulty.ts'
import { type SimulatedTime, simulatedTime } from '../support/simulated-time.ts'
import { temporaryFolder } from '../support/store-world.ts'

const by = 'Ada'
const bottomBox = Place.parse({ ...household.places[2], name: 'Bottom box' })
const takes = () => Promise.resolve({ outcome: 'delivered', sentence: 'It was taken.' } as const)
const senders: Senders = { push: null, relay: { send: takes }, mail: { send: takes }, webhook: null }
const noBroker: Broker = {
  start() {},
  state: () => ({ kind: 'embedded', name: 'down', since: start as Instant, sentence: '', retryAt: null }),
  onState() {},
  onForgotten() {},
  publish: () => Promise.resolve(),
  stop: () => Promise.resolve(),
}

let fresh: ReturnType<typeof aFreshHouse>
let folder: ReturnType<typeof temporaryFolder>
let time: SimulatedTime
let daemon: FaultDaemon
let deaths: unknown[]
/** What the store's commits meet; none until a test sets one. */
let trap: Trap | null

beforeAll(() => {
  fresh = aFreshHouse()
})
afterAll(() => fresh.remove())
beforeEach(async () => {
  folder = temporaryFolder()
  copyFileSync(join(fresh.path, databaseName), join(folder.path, databaseName))
  time = simulatedTime(start as Instant)
  deaths = []
  trap = null
  open()
  await time.settle()
})
afterEach(async () => {
  trap?.mend()
  await daemon.stop(() => time.pass(seconds(3)))
  folder.remove()
})

function open(): void {
  daemon = openFaultDaemon({
    folder: folder.path,
    household,
    clock: time.clock,
    timer: time.timer,
    senders,
    broker: noBroker,
    dies: (cause) => deaths.push(cause),
    wraps: {
      wrap: (port, part) =>
        port === 'store'
          ? new Proxy(part, {
              get: (target, name) =>
                Reflect.get(trap === null ? target : failing(target, trap), name) as unknown,
            })
          : part,
    },
  })
}

const commitsFail = (fault: Pick<Fault, 'mode'> & Partial<Fault>) => {
  trap = trapFor({ method: 'commit', nth: 1, how: 'before', ...fault })
}

async function hears(celsius: number): Promise<void> {
  await time.pass(minutes(1))
  daemon.hears(
    {
      topic: 'brumal/in/one',
      payload: new Uint8Array(),
      retained: false,
      qos: 1,
      claimedBy: ['one' as never],
      heard: [{ sensor: 'one' as never, quantity: 'temperature', value: celsius, at: time.clock.now() }],
      found: [],
      refusal: null,
    } satisfies Arrival,
    () => {},
  )
  daemon.ticks()
  await time.settle()
}

const shown = () => daemon.desk.household()
const stored = () => daemon.raw.store.household()
const lines = () => daemon.raw.store.journal({ limit: 100 }).map(({ kind, text }) => `${kind} ${text ?? ''}`)
const standing = () => daemon.desk.alarms().standing.map(({ id, state }) => `${id} ${state.name}`)

describe('N2: while nothing can be stored', () => {
  test('an edit is refused in one sentence, and the old household stays: shown, watched, stored', async () => {
    commitsFail({ mode: 'forEver' })
    await hears(5)
    await time.pass(seconds(6))
    expect(daemon.house.failure()).not.toBeNull()
    expect(daemon.desk.savePlace(bottomBox, by)).toEqual(notStored)
    expect(daemon.desk.removeAnimal('remus' as never, by)).toEqual(notStored)
    expect(daemon.desk.removeContact('bela' as never, by)).toEqual(notStored)
    expect(shown()).toEqual(household)
    trap?.mend()
    await time.pass(seconds(2))
    expect([shown(), stored()]).toEqual([household, household])
    expect(lines().join()).not.toContain('Bottom box')
    expect(deaths).toEqual([])
  })

  test('the same edit is taken at once when the store works again', async () => {
    commitsFail({ mode: 'forEver' })
    await hears(5)
    expect(daemon.desk.savePlace(bottomBox, by).ok).toBe(false)
    trap?.mend()
    expect(daemon.desk.savePlace(bottomBox, by)).toMatchObject({ ok: true })
    expect(stored()?.places[2]?.name).toBe('Bottom box')
    expect(daemon.house.failure()).toBeNull()
  })

  test('A4: an alarm is raised, acknowledged and at rest from memory, and the journal has it afterwards', async () => {
    await hears(5)
    commitsFail({ mode: 'forEver' })
    for (let i = 0; i < 3; i++) await hears(-1 - i / 16)
    const alarm = daemon.house.state().alarms.get(tooCold)
    expect(alarm?.state.name).toBe('unacknowledged')
    expect(daemon.desk.acknowledge(tooCold, alarm?.occurrence ?? 0, by)).toMatchObject({
      ok: true,
      value: { state: { name: 'acknowledged', by } },
    })
    expect(standing()).toContain(`${tooCold} acknowledged`)
    expect(daemon.desk.savePlace(bottomBox, by)).toEqual(notStored)
    expect(standing()).toContain(`${tooCold} acknowledged`)
    trap?.mend()
    await time.pass(seconds(2))
    const kinds = daemon.raw.store
      .journal({ limit: 100 })
      .flatMap((l) => (l.alarm === tooCold ? [l.kind] : []))
    expect(kinds).toEqual(expect.arrayContaining(['raised', 'acknowledged']))
    expect(deaths).toEqual([])
  })
})

describe('N2: an edit whose own commit fails', () => {
  test('is refused, leaves the household and its alarms as they were, and nothing of it is stored later', async () => {
    await hears(5)
    for (let i = 0; i < 3; i++) await hears(-1 - i / 16)
    daemon.house.commit()
    const before = { alarms: standing(), lines: lines() }
    expect(before.alarms).toContain(`${tooCold} unacknowledged`)
    commitsFail({ mode: 'once' })
    // Without its sensor the shelf's alarm would go too
    expect(daemon.desk.removeSensor('one' as never, by)).toEqual(notStored)
    expect(trap?.hasHappened()).toBe(true)
    expect({ alarms: standing(), lines: lines() }).toEqual(before)
    daemon.house.commit()
    await hears(-1.25)
    expect([shown(), stored()]).toEqual([household, household])
    expect(lines().join()).not.toContain('Removed the sensor')
    expect(daemon.desk.removeSensor('one' as never, by)).toEqual({ ok: true, value: null })
    expect(stored()?.sensors.map(({ id }) => id)).toEqual(['two'])
  })

  test('nobody hears of it live', async () => {
    await hears(5)
    daemon.house.commit()
    const heard: string[] = []
    daemon.desk.subscribe(({ kind }) => heard.push(kind))
    commitsFail({ mode: 'once' })
    expect(daemon.desk.savePlace(bottomBox, by)).toEqual(notStored)
    expect(heard).toEqual([])
    expect(daemon.desk.savePlace(bottomBox, by)).toMatchObject({ ok: true })
    expect(heard).toEqual(expect.arrayContaining(['tonight', 'journal']))
  })
})

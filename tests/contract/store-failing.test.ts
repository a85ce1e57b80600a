import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { makeIntake } from '../../daemon/app/ingest.ts'
import { rememberSources } from '../../daemon/app/sources.ts'
import type { Arrival } from '../../daemon/ports/intake.ts'
import { hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { LiveEvent } from '../../schemas/api.ts'
import { temporaryFolder } from '../support/store-world.ts'
import { dusk } from '../support/story.ts'
import { aTellingHouse, clock, time } from '../support/telling-house.ts'

let folder: ReturnType<typeof temporaryFolder>
let world: ReturnType<typeof aTellingHouse>

beforeEach(() => {
  folder = temporaryFolder()
  time.now = dusk
  world = aTellingHouse(folder.path)
  world.read(5)
})
afterEach(() => {
  makeRoom()
  world.close()
  folder.remove()
})

/** A real refusal of SQLite's: the file may not grow, and what was free in it is taken. */
function fillDisk() {
  world.house.commit()
  const pages = world.db.pragma('page_count', { simple: true }) as number
  world.db.pragma(`max_page_count = ${pages}`)
  const untilFull = (commit: (n: number) => void) => {
    for (let n = 0; ; n++) {
      try {
        commit(n)
      } catch {
        return
      }
    }
  }
  const at = clock.now()
  for (let size = 400; size >= 4; size = Math.floor(size / 2))
    untilFull(() =>
      world.store.commit({
        readings: [],
        journal: [{ at, kind: 'changed', by: 'Ada', text: 'x'.repeat(size) }],
      }),
    )
  // The page on which the readings end has room left too.
  untilFull((n) =>
    world.store.commit({
      readings: [
        { sensor: 'filler' as never, quantity: 'temperature', at: later(at, n), value: 5, quality: 'good' },
      ],
      journal: [],
    }),
  )
  expect(() => world.db.exec('CREATE TABLE more (x)')).toThrow(/full/)
}
/** Second by second, as the tries to store go. */
function passes(s: number, celsius: number) {
  for (let i = 0; i < s; i++) world.pass(seconds(1), celsius)
}
const makeRoom = () => world.db.pragma('max_page_count = 1073741823')

/** A message of one reading with its own time, as the broker hands it over; says whether it may be acknowledged. */
function arrives(value: number, at = time.now) {
  const settled = { count: 0, failure: null as Error | null }
  const intake = makeIntake({
    house: world.house,
    sources: rememberSources(),
    clock,
    timer: { soon: (act) => act(), after: () => ({ cancel() {} }) },
  })
  const arrival: Arrival = {
    topic: 'brumal/in/probe',
    payload: new Uint8Array(),
    retained: false,
    qos: 1,
    claimedBy: ['probe' as never],
    heard: [{ sensor: 'probe' as never, quantity: 'temperature', value, at: instant(at) }],
    found: [],
    refusal: null,
  }
  intake(arrival, (failure) => {
    settled.count += 1
    settled.failure = failure
  })
  return settled
}

const stored = () =>
  world.store.readings('probe' as never, 'temperature', instant(0), instant(dusk + hours(48)))
const kinds = () =>
  world.store.journal({ limit: 100 }).map(({ kind, alarmKind }) => `${kind} ${alarmKind ?? ''}`)

describe('N2: the disk is full', () => {
  test('a message is held back for five seconds, then acknowledged from memory, so that the broker goes on', () => {
    fillDisk()
    const first = arrives(5.1, time.now + 1) // at time.now it would be a repeat, which holds nothing
    passes(5, 5)
    expect(first.count).toBe(0)
    passes(1, 5)
    expect(first).toEqual({ count: 1, failure: null })
    // More than the twenty that Mosquitto keeps unanswered before it sends nothing more.
    const more = Array.from({ length: 50 }, (_, i) => arrives(5 + (i % 2) / 16, time.now + i))
    expect(more.every(({ count }) => count === 1)).toBe(true)
  })

  test('everything that was taken from memory is in the store once the disk has room again', () => {
    const before = stored().length
    fillDisk()
    world.pass(minutes(30), 5)
    expect(stored()).toHaveLength(before)
    makeRoom()
    world.pass(seconds(61), 5)
    expect(stored()).toHaveLength(before + 60 + 3)
  })

  test('that nothing can be stored is an alarm after half a minute, told, and it returns with the disk', () => {
    fillDisk()
    world.pass(seconds(30), 5)
    const alarm = () => world.house.state().alarms.get('storeFailing:house' as never)
    expect(alarm()?.state.name ?? 'normal').toBe('normal')
    world.pass(seconds(60), 5)
    expect(alarm()?.state.name).toBe('unacknowledged')
    expect(alarm()?.text).toContain('The disk is full.')
    expect(world.put.map(({ message }) => message.title)).toContain(
      'Look soon: The story house, nothing can be stored',
    )
    expect(world.put[0]?.message.text).toContain('The alarms go on; leave the computer running.')
    makeRoom()
    world.pass(minutes(2), 5)
    expect(alarm()?.state.name).toBe('returnedUnacknowledged')
    expect(kinds()).toEqual(expect.arrayContaining(['raised storeFailing', 'returned storeFailing']))
  })

  test('A4: frost rings, is acknowledged and comes back, all from memory, and the log has it afterwards', () => {
    fillDisk()
    const seen: LiveEvent[] = []
    world.house.subscribe((event) => seen.push(event))
    world.pass(minutes(2), -1)
    expect(world.put.map(({ message }) => message.title)).toContain(
      'ALARM: Low shelf box −1.0 °C, dangerously cold',
    )
    expect(seen.some((event) => event.kind === 'alarm' && event.alarm.limit === 'lowCritical')).toBe(true)
    const id = 'limit:box:temperature:lowCritical' as never
    world.house.take(
      { kind: 'person', alarm: id, act: { kind: 'acknowledge', at: clock.now(), by: 'Ada' } },
      'soon',
    )
    expect(world.house.state().alarms.get(id)?.state.name).toBe('acknowledged')
    world.pass(minutes(20), 5)
    makeRoom()
    world.pass(minutes(2), 5)
    expect(kinds()).toEqual(expect.arrayContaining(['raised limit', 'acknowledged limit', 'returned limit']))
  })

  test('N2: a change of the household that the disk does not take is refused, and all is as before', () => {
    const { household } = world.house.state().layout
    const before = world.house.state()
    fillDisk() // nothing has failed yet: the change itself is the first to meet it
    const entry = { at: clock.now(), kind: 'changed', by: 'Ada', text: 'x'.repeat(400) } as const
    expect(world.house.rehouse({ ...household, name: 'A'.repeat(60) }, entry)).toBe(false)
    expect(world.house.state()).toBe(before)
    expect(world.store.household()?.name).toBe(household.name)
    makeRoom()
    world.pass(minutes(2), 5)
    expect(world.store.household()?.name).toBe(household.name)
    expect(kinds().some((kind) => kind.startsWith('changed') && kind.includes('x'))).toBe(false)
    expect(world.house.rehouse({ ...household, name: 'Winter house' }, { ...entry, text: 'Renamed.' })).toBe(
      true,
    )
    expect(world.store.household()?.name).toBe('Winter house')
  })

  test('X3: memory is bounded: the oldest readings go first, and the journal says which', {
    timeout: 60_000,
  }, () => {
    fillDisk()
    passes(11, 5)
    for (let i = 0; i < 205_000; i++) arrives(5 + (i % 5) / 16, time.now - 210_000 + i)
    expect(world.house.waiting()).toBeLessThanOrEqual(200_000)
    makeRoom()
    world.pass(minutes(1), 5)
    const line = world.store.journal({ limit: 20 }).find(({ kind }) => kind === 'notKept')
    expect(line?.text).toMatch(/^10000 readings between \d\d:\d\d and \d\d:\d\d: memory was full/)
    expect(stored().at(-1)?.at).toBeGreaterThan(time.now - seconds(60))
  })

  test('one slow second is no alarm', () => {
    fillDisk()
    passes(8, 5)
    makeRoom()
    passes(90, 5)
    expect(kinds()).not.toContain('raised storeFailing')
  })

  test('L7: killed while the disk was full, it starts with what was stored, and says nothing twice', () => {
    world.pass(minutes(2), -1)
    const raised = world.put.length
    fillDisk()
    world.pass(minutes(1), -1)
    makeRoom()
    world.db.close() // as a kill leaves it: nothing more is written
    world = aTellingHouse(folder.path)
    expect(world.house.state().alarms.get('limit:box:temperature:lowCritical' as never)?.occurrence).toBe(1)
    expect(raised).toBeGreaterThan(0)
    world.pass(seconds(30), -1)
    expect(world.put.filter(({ kind }) => kind === 'raised')).toEqual([])
  })
})

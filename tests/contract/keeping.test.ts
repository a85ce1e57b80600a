import { afterEach, describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { evening, type KeepingForTests, keepingWorld, passMinutes } from '../support/keeping-world.ts'
import { probe } from '../support/store-world.ts'

let world: KeepingForTests
afterEach(() => world.end())

describe('room on the disk', () => {
  test('N1: is told below the limit, and well again only a fifth above it', () => {
    world = keepingWorld(evening)
    const keeping = world.open()
    const room = (freeBytes: number) => {
      world.now.disk = { freeBytes, totalBytes: 31e9 }
      keeping.check()
      return world.saidOf('disk').at(-1)?.slice(0, 12)
    }
    expect(room(200e6)).toBe('disk well: 2')
    expect(room(200e6 - 1)).toBe('disk ill: On')
    expect(room(150e6)).toBe('disk ill: On')
    expect(world.saidOf('disk').at(-1)).toBe('disk ill: Only 150 MB are free on the disk of the data.')
    expect(room(240e6 - 1)).toBe('disk ill: On')
    expect(room(240e6)).toBe('disk well: 2')
    expect(room(200e6)).toBe('disk well: 2')
    expect(keeping.keeping().disk).toEqual({ freeBytes: 200e6, totalBytes: 31e9 })
  })

  test('is looked at when Brumal starts, and a machine that does not say is well', async () => {
    world = keepingWorld(evening)
    world.now.disk = null
    const keeping = world.open()
    keeping.start()
    expect(world.saidOf('disk')).toEqual(['disk well: How much room is free is not known.'])
    expect(keeping.keeping().disk).toBeNull()
    await keeping.stop()
  })
})

describe('thinning', () => {
  /** Full hours of readings every 5 min: 12 in each. */
  const perHour = 12
  const single = () => world.store.readings(probe, 'temperature', instant(0), evening).length

  test('lets what is older than keepReadings give way, in steps between which others have their turn', async () => {
    world = keepingWorld(evening, { backup: { isOn: false }, store: { keepReadings: days(30) } })
    world.fill(instant(later(evening, -days(60))), 450 * perHour)
    world.fill(instant(later(evening, -days(10))), 20 * perHour)
    const steps: number[] = []
    world.now.store = {
      ...world.now.store,
      thin(before, atMost) {
        const took = world.store.thin(before, atMost)
        steps.push(took.hours)
        return took
      },
    }
    let turns = 0
    world.now.soon = (act) => {
      turns += 1
      world.time.timer.soon(act)
    }
    const keeping = world.open()
    keeping.check()
    await world.time.settle()
    expect(steps).toEqual([200, 200, 50])
    expect(turns).toBeGreaterThanOrEqual(3)
    expect(single()).toBe(20 * perHour)
    expect(world.journal).toEqual([
      expect.objectContaining({
        kind: 'thinned',
        by: 'brumal',
        text: expect.stringMatching(
          /^5400 readings in 450 hours before 2026-10-25 gave way to hourly values; \d+\.?\d* kB are free for new ones\.$/,
        ) as string,
      }),
    ])
    expect(keeping.keeping().database).toMatchObject({
      everyReadingFrom: later(evening, -days(10)),
      hourlyFrom: later(evening, -days(60)),
      sentence: expect.stringContaining(
        ': every reading since 14 Nov 2026, hourly values since 25 Sep 2026.',
      ) as string,
    })
    await keeping.stop()
  })

  test('is done once a day, and says nothing where nothing is old', async () => {
    world = keepingWorld(evening, { backup: { isOn: false } })
    world.fill(later(evening, -days(60)), 5 * perHour)
    let asked = 0
    world.now.store = {
      ...world.now.store,
      thin(before, atMost) {
        asked += 1
        return world.store.thin(before, atMost)
      },
    }
    const keeping = world.open()
    keeping.start()
    await world.time.pass(hours(24))
    expect(asked).toBe(1)
    await world.time.pass(minutes(2))
    expect(asked).toBe(2)
    expect(world.journal).toEqual([])
    expect(single()).toBe(5 * perHour)
    await keeping.stop()
  })

  test('over the budget lets the oldest go, and nothing younger than 30 days', async () => {
    world = keepingWorld(evening, { backup: { isOn: false }, store: { budget: 0 } })
    world.fill(later(evening, -days(40)), 300 * perHour) // ends 27.5 days ago
    const keeping = world.open()
    keeping.check()
    await world.time.settle()
    expect(single()).toBe(60 * perHour)
    expect(world.journal).toEqual([
      expect.objectContaining({ text: expect.stringMatching(/ in 240 hours before 2026-10-25 /) as string }),
    ])
    expect(world.complaints).toEqual([expect.stringContaining('larger than store.budget')])
    await keeping.stop()
  })

  test('stops as soon as the budget is met', async () => {
    world = keepingWorld(evening, { backup: { isOn: false }, store: { budget: 1 } })
    world.fill(later(evening, -days(100)), 700 * perHour)
    world.now.store = {
      ...world.now.store,
      size: () => ({ ...world.store.size(), usedBytes: world.store.size().hourlyFrom === null ? 2 : 1 }),
    }
    const keeping = world.open()
    keeping.check()
    await world.time.settle()
    expect(single()).toBe(500 * perHour)
    expect(world.journal[0]?.text).toContain('2400 readings in 200 hours before 2026-08-25')
    await keeping.stop()
  })

  test('N3: nothing is thinned by a clock that is not to be trusted', async () => {
    world = keepingWorld(later(evening, days(3650)), { backup: { isOn: false } })
    world.fill(later(evening, -days(5)), 10 * perHour)
    world.now.isTrusted = false
    const keeping = world.open()
    keeping.start()
    await world.time.pass(hours(25))
    expect(single()).toBe(10 * perHour)
    await keeping.stop()
  })

  test('that fails is said once, writes down what it did, and is tried the next day', async () => {
    world = keepingWorld(evening, { backup: { isOn: false }, store: { keepReadings: days(30) } })
    world.fill(later(evening, -days(60)), 250 * perHour)
    let calls = 0
    world.now.store = {
      ...world.now.store,
      thin(before, atMost) {
        calls += 1
        if (calls === 2 || calls === 3) throw new Error('the disk is gone')
        return world.store.thin(before, atMost)
      },
    }
    const keeping = world.open()
    keeping.start()
    await world.time.pass(hours(48) + minutes(2))
    expect(world.complaints).toEqual(['Old readings could not be thinned; it is tried again tomorrow.'])
    expect(world.journal.map(({ text }) => text?.slice(0, 28))).toEqual([
      '2400 readings in 200 hours b',
      '600 readings in 50 hours bef',
    ])
    await keeping.stop()
  })

  test('stops between two steps, and writes down what it did', async () => {
    world = keepingWorld(evening, { backup: { isOn: false }, store: { keepReadings: days(30) } })
    world.fill(later(evening, -days(60)), 450 * perHour)
    const waiting: (() => void)[] = []
    world.now.soon = (act) => void waiting.push(act)
    const keeping = world.open()
    keeping.check()
    await keeping.stop()
    for (const act of waiting) act()
    expect(single()).toBe(250 * perHour)
    expect(world.journal[0]?.text).toContain('2400 readings in 200 hours')
  })
})

test('N1: a store that cannot be read neither stops the minute nor breaks what is told', async () => {
  world = keepingWorld(evening)
  world.fill(later(evening, -hours(20)), 100)
  const keeping = world.open()
  const bytes = keeping.keeping().database.bytes
  expect(bytes).toBeGreaterThan(10_000)
  const gone = () => {
    throw new Error('the disk is gone')
  }
  world.now.store = { thin: gone, size: gone }
  keeping.start()
  await passMinutes(world, keeping, minutes(3))
  expect(keeping.keeping().database.bytes).toBe(bytes) // the size when it could last be read
  expect(world.journal.map(({ kind }) => kind)).toEqual(['backedUp'])
  await keeping.stop()
})

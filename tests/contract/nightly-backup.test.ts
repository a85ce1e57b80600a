import { existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { afterEach, describe, expect, test } from 'vitest'
import type { Keeping } from '../../daemon/app/keeping.ts'
import { days, hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { KeepingNow } from '../../schemas/keeping.ts'
import { evening, type KeepingForTests, keepingWorld, never, passMinutes } from '../support/keeping-world.ts'

const utc = (text: string) => instant(Date.parse(text))

let world: KeepingForTests
afterEach(() => world.end())

const files = () => (existsSync(world.copies) ? readdirSync(world.copies) : [])
const madeAt = () =>
  world.journal.filter(({ kind }) => kind === 'backedUp').map(({ at }) => new Date(at).toISOString())
const pass = (keeping: Keeping, ms: number) => passMinutes(world, keeping, ms)

describe('the nightly backup', () => {
  test('is made at its time of day, whole, with a line in the journal; the next is due a day later', async () => {
    world = keepingWorld(evening)
    world.fill(later(evening, -hours(20)), 200)
    await world.now.backups.make(later(evening, -hours(12)), never)
    const keeping = world.open()
    keeping.start()
    await pass(keeping, hours(5) + minutes(29))
    expect(world.journal).toEqual([])
    expect(keeping.keeping().backups).toMatchObject({ nextAt: utc('2026-11-25T02:30Z'), sentence: null })

    await pass(keeping, minutes(1))
    expect(world.journal).toEqual([
      expect.objectContaining({
        at: utc('2026-11-25T02:30Z'),
        kind: 'backedUp',
        by: 'brumal',
        text: expect.stringMatching(/^\d+\.?\d* [kM]B in \d+\.\d s, looked through: whole\.$/) as string,
      }),
    ])
    const now = KeepingNow.parse(keeping.keeping())
    expect(now.backups).toMatchObject({
      isRunning: false,
      failedSince: null,
      nextAt: utc('2026-11-26T02:30Z'),
    })
    expect(now.backups.sentence).toBe(world.journal[0]?.text)
    expect(now.backups.list.map(({ name }) => name)).toEqual([
      'brumal-20261125T023000Z.db',
      'brumal-20261124T090000Z.db',
    ])
    expect(now.backups.list[0]?.bytes).toBeGreaterThan(10_000)
    await pass(keeping, hours(3))
    expect(madeAt()).toHaveLength(1)
    await keeping.stop()
  })

  test('that was missed while Brumal was off is made up for within a minute of the start, once', async () => {
    world = keepingWorld(evening)
    await world.now.backups.make(later(evening, -days(9)), never)
    const keeping = world.open()
    keeping.start()
    expect(keeping.keeping().backups.nextAt).toBe(evening)
    await pass(keeping, hours(5))
    expect(madeAt()).toEqual(['2026-11-24T21:01:00.000Z'])
    await keeping.stop()
  })

  test('is made at once in a new house, and by day the newest is left alone after a start', async () => {
    world = keepingWorld(evening)
    const keeping = world.open()
    keeping.start()
    await pass(keeping, minutes(2))
    expect(madeAt()).toHaveLength(1)
    await keeping.stop()
    const again = world.open()
    again.start()
    await pass(again, minutes(30))
    expect(madeAt()).toHaveLength(1)
    await again.stop()
  })

  // Clocks in Vienna showed 02:00 to 03:00 twice in the night to 25 October 2026 (IANA tzdata).
  test('is made once in the night in which its hour comes twice', async () => {
    world = keepingWorld(utc('2026-10-24T23:00Z'), { backup: { at: '02:30' } })
    await world.now.backups.make(utc('2026-10-24T12:00Z'), never)
    const keeping = world.open()
    keeping.start()
    await pass(keeping, hours(6))
    expect(madeAt()).toEqual(['2026-10-25T00:30:00.000Z'])
    await keeping.stop()
  })

  // 02:00 to 03:00 did not exist in Auckland on 27 September 2026 (IANA tzdata): 14:00 UTC is 03:00.
  test('is made once in the night in which its hour does not exist', async () => {
    world = keepingWorld(utc('2026-09-26T12:00Z'), { backup: { at: '02:30' }, zone: 'Pacific/Auckland' })
    await world.now.backups.make(utc('2026-09-26T06:00Z'), never)
    const keeping = world.open()
    keeping.start()
    await pass(keeping, hours(5))
    expect(madeAt()).toEqual(['2026-09-26T14:00:00.000Z'])
    await keeping.stop()
  })

  test('N1: that fails is told once, is tried again after an hour and not sooner, and is well when it works', async () => {
    world = keepingWorld(evening)
    writeFileSync(world.copies, 'a file where the folder should be')
    const real = world.now.backups
    const tries: number[] = []
    world.now.backups = {
      ...real,
      make(at, signal) {
        tries.push((at - evening) / 60_000)
        return real.make(at, signal)
      },
    }
    const keeping = world.open()
    keeping.start()
    await pass(keeping, minutes(120))
    expect(tries).toEqual([1, 61])
    expect(world.saidOf('backup')).toEqual([
      expect.stringMatching(/^backup ill: The disk cannot be read or written\./),
    ])
    expect(world.complaints).toHaveLength(1)
    const failed = keeping.keeping().backups
    expect(failed).toMatchObject({
      failedSince: later(evening, minutes(1)),
      nextAt: later(evening, minutes(121)),
      list: [],
    })
    expect(world.saidOf('backup')[0]).toContain(failed.sentence)

    rmSync(world.copies)
    mkdirSync(world.copies)
    expect(files()).toEqual([])
    await pass(keeping, minutes(1))
    expect(files()).toHaveLength(1)
    expect(world.saidOf('backup').at(-1)).toMatch(/^backup well: /)
    expect(keeping.keeping().backups.failedSince).toBeNull()
    await keeping.stop()
  })

  test('N1: a failure ends when somebody else has made one in the folder since', async () => {
    world = keepingWorld(evening)
    writeFileSync(world.copies, 'a file where the folder should be')
    const keeping = world.open()
    keeping.start()
    await pass(keeping, minutes(5))
    rmSync(world.copies)
    await world.now.backups.make(world.time.clock.now(), never)
    await pass(keeping, minutes(5))
    expect(world.saidOf('backup').map((line) => line.slice(0, 11))).toEqual(['backup ill:', 'backup well'])
    expect(madeAt()).toEqual([])
    await keeping.stop()
  })

  test('N1: one that never comes to an end is told after an hour, and no second is begun', async () => {
    world = keepingWorld(evening)
    let begun = 0
    world.now.backups = {
      ...world.now.backups,
      make() {
        begun += 1
        return new Promise(() => {})
      },
    }
    const keeping = world.open()
    keeping.start()
    await world.time.pass(minutes(60))
    expect(world.saidOf('backup')).toEqual([])
    await world.time.pass(minutes(120))
    expect(world.saidOf('backup')).toEqual([expect.stringContaining('has not come to an end for an hour.')])
    expect(begun).toBe(1)
    expect(await keeping.backUpNow('Ada')).toMatchObject({ ok: false, error: 'alreadyRunning' })

    // The stop waits 4 s, and no longer.
    let isStopped = false
    const stopping = keeping.stop().then(() => (isStopped = true))
    await world.time.pass(seconds(4) - 1)
    expect(isStopped).toBe(false)
    await world.time.pass(1)
    await stopping
  })

  test('N1: one that is given up after an hour is a failure, and is tried again an hour later', async () => {
    world = keepingWorld(evening)
    const begun: number[] = []
    world.now.backups = {
      ...world.now.backups,
      make: (at, signal) => {
        begun.push((at - evening) / 60_000)
        return rejectedBy(signal)
      },
    }
    const keeping = world.open()
    keeping.start()
    await world.time.pass(minutes(60))
    expect(world.saidOf('backup')).toEqual([])
    await world.time.pass(minutes(1))
    expect(world.saidOf('backup')).toEqual([expect.stringContaining('has not come to an end for an hour.')])
    expect(keeping.keeping().backups).toMatchObject({ isRunning: false, list: [] })
    await world.time.pass(minutes(61))
    expect(begun).toEqual([1, 121])
    await keeping.stop()
  })

  test('N1: a folder that never answers is told within a minute, asked once, and holds neither page nor stop', async () => {
    world = keepingWorld(evening)
    await world.now.backups.make(later(evening, -hours(1)), never)
    const real = world.now.backups
    let asked = 0
    let made = 0
    world.now.backups = {
      ...real,
      list() {
        asked += 1
        return new Promise(() => {})
      },
      make(at, signal) {
        made += 1
        return real.make(at, signal)
      },
    }
    const keeping = world.open()
    keeping.start()
    await world.time.pass(seconds(59))
    expect(world.saidOf('backup')).toEqual([])
    await world.time.pass(minutes(5))
    expect(world.saidOf('backup')).toEqual([
      `backup ill: The folder of the backups, ${world.copies}, does not answer.`,
    ])
    expect(KeepingNow.parse(keeping.keeping()).backups).toMatchObject({ isRunning: false, list: [] })
    expect([asked, made]).toEqual([1, 0])
    await keeping.stop() // no time passes
  })

  test('N1: a folder that lets go and answers again is well, also where none is due', async () => {
    world = keepingWorld(evening)
    await world.now.backups.make(later(evening, -hours(1)), never)
    const real = world.now.backups
    world.now.backups = { ...real, list: (_, signal) => rejectedBy(signal) }
    const keeping = world.open()
    keeping.start()
    await world.time.pass(minutes(3))
    expect(world.saidOf('backup').map((line) => line.slice(0, 11))).toEqual(['backup ill:'])
    world.now.backups = real
    await pass(keeping, minutes(3))
    expect(world.saidOf('backup').at(-1)).toBe('backup well: The folder of the backups answers again.')
    expect(keeping.keeping().backups).toMatchObject({ failedSince: null })
    expect(madeAt()).toEqual([])
    await keeping.stop()
  })

  test('N3: none is made while the clock is not to be trusted', async () => {
    world = keepingWorld(evening)
    world.now.isTrusted = false
    const keeping = world.open()
    keeping.start()
    await pass(keeping, hours(8))
    expect(files()).toEqual([])
    expect(keeping.keeping()).toMatchObject({ backups: { nextAt: null }, clock: { isTrusted: false } })
    expect(await keeping.backUpNow('Ada')).toEqual({
      ok: false,
      error: 'backupFailed',
      sentence: 'The clock went back by two years.',
    })
    world.now.isTrusted = true
    await pass(keeping, minutes(1))
    expect(files()).toHaveLength(1)
    await keeping.stop()
  })

  test('N2: none is made while the disk takes nothing', async () => {
    world = keepingWorld(evening)
    world.now.isOnDisk = false
    const keeping = world.open()
    keeping.start()
    await pass(keeping, hours(8))
    expect(files()).toEqual([])
    expect(keeping.keeping().database).toMatchObject({
      isOnDisk: false,
      waiting: 3,
      sentence: 'The disk takes nothing; 3 readings wait in memory for it.',
    })
    world.now.isOnDisk = true
    await pass(keeping, minutes(1))
    expect(files()).toHaveLength(1)
    await keeping.stop()
  })

  test('that is off is well, has no next, and is still made by hand', async () => {
    world = keepingWorld(evening, { backup: { isOn: false } })
    const keeping = world.open()
    keeping.start()
    await pass(keeping, hours(8))
    expect(world.saidOf('backup')).toEqual(['backup well: Backups are off.'])
    expect(keeping.keeping().backups).toMatchObject({ isOn: false, nextAt: null, list: [] })
    expect(await keeping.backUpNow('Ada')).toMatchObject({ ok: true })
    expect(keeping.keeping().backups.list).toHaveLength(1)
    await keeping.stop()
  })

  test('a copy with a stamp from the future, left by a wrong clock, does not keep the next one away', async () => {
    world = keepingWorld(evening)
    await world.now.backups.make(later(evening, days(400)), never)
    const keeping = world.open()
    keeping.start()
    await pass(keeping, minutes(10))
    expect(madeAt()).toHaveLength(1)
    await keeping.stop()
  })
})

describe('a backup by hand', () => {
  test('is written down by the name of who pressed; of two who press at once, one is told that it runs', async () => {
    world = keepingWorld(evening)
    const keeping = world.open()
    const [first, second] = await Promise.all([keeping.backUpNow('Ada'), keeping.backUpNow('Bo')])
    expect(first).toMatchObject({ ok: true, value: { name: 'brumal-20261124T210000Z.db' } })
    expect(second).toEqual({
      ok: false,
      error: 'alreadyRunning',
      sentence: 'A backup is being made just now.',
    })
    expect(world.journal.map(({ kind, by }) => `${kind} by ${by}`)).toEqual(['backedUp by Ada'])
    expect(await keeping.backUpNow('Bo')).toMatchObject({ ok: true })
  })

  test('that fails says why, and the nightly one waits an hour too', async () => {
    world = keepingWorld(evening)
    writeFileSync(world.copies, 'a file where the folder should be')
    const keeping = world.open()
    keeping.start()
    const outcome = await keeping.backUpNow('Ada')
    expect(outcome).toMatchObject({ ok: false, error: 'backupFailed' })
    expect(outcome.ok ? '' : outcome.sentence).toMatch(/^The disk cannot be read or written\./)
    rmSync(world.copies)
    await pass(keeping, minutes(59))
    expect(files()).toEqual([])
    await pass(keeping, minutes(1))
    expect(files()).toHaveLength(1)
    await keeping.stop()
  })

  test('is given up once Brumal is stopping: no failure of the folder, and none is begun any more', async () => {
    world = keepingWorld(evening)
    world.now.backups = { ...world.now.backups, make: (_, signal) => rejectedBy(signal) }
    const keeping = world.open()
    const inHand = keeping.backUpNow('Ada')
    await keeping.stop()
    expect(await inHand).toEqual({ ok: false, error: 'backupFailed', sentence: 'Brumal is stopping.' })
    expect(world.saidOf('backup')).toEqual([])
    expect(madeAt()).toEqual([])
    expect(await keeping.backUpNow('Ada')).toMatchObject({ ok: false, sentence: 'Brumal is stopping.' })
  })
})

/** What hangs until it is given up. */
const rejectedBy = (signal: AbortSignal): Promise<never> =>
  new Promise((_, reject) => {
    const give = () => reject(signal.reason as Error)
    if (signal.aborted) give()
    else signal.addEventListener('abort', give)
  })

import { mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { systemdSupervisor } from '../../daemon/host/supervisor.ts'
import type { Supervisor } from '../../daemon/ports/supervisor.ts'
import { millis } from '../../schemas/amounts.ts'
import { keptLog } from '../support/broker-world.ts'
import {
  childrenBesides,
  notifyMissing,
  type NotifySocket,
  systemdNotify,
  takeNotes,
} from '../support/notify-socket.ts'
import { until } from '../support/until.ts'

// The words on the socket and the variables: sd_notify(3), sd_watchdog_enabled(3), systemd.service(5).
const greeting = 'READY=1\nSTATUS=Watching.'
const farewell = 'STOPPING=1\nSTATUS=Stopping.'
const beat = 'WATCHDOG=1'
const aMinute = { WATCHDOG_USEC: '60000000', WATCHDOG_PID: String(process.pid) }

let folder: string
let address: string
let systemd: NotifySocket | null
let log: ReturnType<typeof keptLog>
let uptime: number
let before: readonly number[]
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'brumal-notify-'))
  address = join(folder, 'notify')
  systemd = null
  log = keptLog()
  uptime = 1000
  before = childrenBesides([])
})
afterEach(async () => {
  await until(() => running().length === 0, 'every systemd-notify to end', 10_000)
  await systemd?.stop()
  rmSync(folder, { recursive: true, force: true })
})

const listen = async (as: 'answers' | 'holds' = 'answers') => {
  systemd = await takeNotes(address, as)
}
const heard = (): readonly string[] => systemd?.messages ?? []
const running = () => childrenBesides([...before, systemd?.pid ?? 0])
const supervise = (env: NodeJS.ProcessEnv = {}): Supervisor =>
  systemdSupervisor({
    env: { PATH: process.env['PATH'], NOTIFY_SOCKET: address, ...env },
    clock: { uptime: () => millis(uptime) },
    log,
  })
/** Ticks at one instant until something has come of it. */
const tickUntil = (supervisor: Supervisor, condition: () => boolean, what: string) =>
  until(() => {
    supervisor.alive()
    return condition()
  }, what)
/** A message is sent at once or not at all: a process of ours shows it, however slow it is. */
const isQuietAt = (supervisor: Supervisor, at: number): boolean => {
  uptime = at
  supervisor.alive()
  return running().length === 0
}

describe.skipIf(notifyMissing !== null)(`N1: systemd hears ${notifyMissing ?? 'from us'}`, () => {
  test('that judging has begun and, before the process ends, that it stops', async () => {
    await listen()
    const supervisor = supervise()
    supervisor.ready()
    await until(() => heard().length === 1, 'READY')
    await until(() => running().length === 0, 'its messenger to end')
    supervisor.stopping()
    await until(() => heard().length === 2, 'STOPPING')
    expect(heard()).toEqual([greeting, farewell])
    expect(log.lines).toEqual([])
  })

  test('at a socket that no file shows', async () => {
    address = `@brumal-${process.pid}-${Date.now()}`
    await listen()
    supervise().ready()
    await until(() => heard().length === 1, 'READY')
    expect(heard()).toEqual([greeting])
  })

  test.each([
    ['ours', aMinute],
    ['named without a process', { WATCHDOG_USEC: '60000000' }],
  ])('that we are alive, every third of the time that it waits: the watchdog is %s', async (_, env) => {
    await listen()
    const supervisor = supervise(env)
    supervisor.ready()
    await until(() => heard().length === 1, 'READY')
    const begun = uptime
    for (const count of [1, 2, 3]) {
      await until(() => running().length === 0, 'the messenger before to end')
      const due = begun + count * 20_000
      expect(isQuietAt(supervisor, due - 500)).toBe(true)
      expect(isQuietAt(supervisor, due - 1)).toBe(true)
      uptime = due
      await tickUntil(supervisor, () => heard().length === count + 1, `beat ${count}`)
    }
    expect(heard()).toEqual([`${greeting}\n${beat}`, beat, beat, beat])
  })

  test('nothing between two ticks: when the loop stands still, so does the watchdog', async () => {
    await listen()
    const supervisor = supervise(aMinute)
    supervisor.ready()
    await until(() => heard().length === 1 && running().length === 0, 'READY')
    uptime += 300_000
    expect(running()).toEqual([])
    await tickUntil(supervisor, () => heard().length === 2, 'one beat, when it goes on')
    expect(heard().slice(1)).toEqual([beat])
  })

  test('no beat before it is ready, and none after it stops', async () => {
    await listen()
    const supervisor = supervise(aMinute)
    expect(isQuietAt(supervisor, 100_000)).toBe(true)
    supervisor.ready()
    await until(() => heard().length === 1 && running().length === 0, 'READY')
    supervisor.stopping()
    await until(() => heard().length === 2 && running().length === 0, 'STOPPING')
    supervisor.stopping()
    supervisor.ready()
    expect(isQuietAt(supervisor, 200_000)).toBe(true)
    expect(heard()).toEqual([`${greeting}\n${beat}`, farewell])
  })

  test('no beat of ours where the watchdog is for another process; why is said once, with what to do', async () => {
    await listen()
    const supervisor = supervise({ ...aMinute, WATCHDOG_PID: String(process.pid + 1) })
    supervisor.ready()
    await until(() => heard().length === 1 && running().length === 0, 'READY')
    expect(isQuietAt(supervisor, 3_600_000)).toBe(true)
    expect(heard()).toEqual([greeting])
    expect(log.lines).toHaveLength(1)
    expect(log.lines[0]).toMatch(/^warn .*another process.*Let ExecStart= name node itself/)
  })

  test.each(['0', 'soon', '-1', '1e9'])('no beat where WATCHDOG_USEC is %s', async (usec) => {
    await listen()
    const supervisor = supervise({ WATCHDOG_USEC: usec })
    supervisor.ready()
    await until(() => heard().length === 1 && running().length === 0, 'READY')
    expect(isQuietAt(supervisor, 3_600_000)).toBe(true)
    expect(log.lines).toHaveLength(1)
    expect(log.lines[0]).toContain('is not understood')
  })

  test('that it is ready, later, where the socket was not there at first; each is said once', async () => {
    const supervisor = supervise(aMinute)
    supervisor.ready()
    await until(() => log.lines.length === 1 && running().length === 0, 'it to fail')
    expect(log.lines[0]).toMatch(/^error systemd does not hear Brumal.*No such file/)
    const begun = uptime
    expect(isQuietAt(supervisor, begun + 4999)).toBe(true)
    uptime = begun + 5000
    await tickUntil(supervisor, () => running().length === 1, 'the second try')
    await until(() => running().length === 0, 'it to fail too')

    await listen()
    uptime += 5000
    await tickUntil(supervisor, () => heard().length === 1, 'READY after all')
    await until(() => log.lines.length === 2, 'that it is heard again')
    expect(heard()).toEqual([`${greeting}\n${beat}`])
    expect(log.lines[1]).toMatch(/^info systemd hears Brumal again.*"failures":2/)
  })

  test('nothing while its socket is gone: said once, never thrown, and heard again when it is back', async () => {
    await listen()
    const supervisor = supervise(aMinute)
    supervisor.ready()
    await until(() => heard().length === 1 && running().length === 0, 'READY')
    await systemd?.stop()
    for (const _ of [1, 2]) {
      uptime += 20_000
      await tickUntil(supervisor, () => running().length === 1, 'a beat that nobody takes')
      await until(() => running().length === 0, 'it to fail')
    }
    expect(log.lines).toHaveLength(1)
    expect(log.lines[0]).toContain('Connection refused')
    rmSync(address)
    await listen()
    uptime += 20_000
    await tickUntil(supervisor, () => heard().length === 1, 'a beat')
    await until(() => log.lines.length === 2, 'that it is heard again')
    expect(heard()).toEqual([beat])
  })

  test('nothing where systemd-notify is missing: said once with what to do, and ready once it is installed', async () => {
    await listen()
    const supervisor = supervise({ PATH: folder })
    supervisor.ready()
    await until(() => log.lines.length === 1, 'that it is missing')
    expect(log.lines[0]).toMatch(/^error .*systemd-notify is missing\. Install the package systemd, or /)
    for (const _ of [1, 2, 3]) {
      uptime += 5000
      supervisor.alive()
      await new Promise((resolve) => setImmediate(resolve))
    }
    expect(log.lines).toHaveLength(1)
    symlinkSync(systemdNotify, join(folder, 'systemd-notify'))
    uptime += 5000
    await tickUntil(supervisor, () => heard().length === 1, 'READY')
    await until(() => log.lines.length === 2, 'that it is heard again')
  })

  test('from one messenger at a time while it hangs, and the farewell does not wait for that one', async () => {
    await listen('holds')
    const supervisor = supervise({ ...aMinute, BRUMAL_MAIL_PASSWORD: 'never told' })
    supervisor.ready()
    await until(() => systemd?.barriers() === 1, 'the first message to hang')
    const first = running()
    expect(first).toHaveLength(1)
    for (let tick = 0; tick < 10; tick += 1) {
      uptime += 20_000
      supervisor.alive()
      expect(running()).toEqual(first)
    }
    // X4: of our environment it has only what it needs.
    const names = readFileSync(`/proc/${first[0]}/environ`, 'utf8').split('\0').filter(Boolean)
    expect(names.map((line) => line.split('=')[0]).toSorted()).toEqual(['NOTIFY_SOCKET', 'PATH'])

    const asked = performance.now()
    supervisor.stopping()
    await until(() => heard().length === 2, 'STOPPING')
    expect(performance.now() - asked).toBeLessThan(2000)
    expect(heard()).toEqual([`${greeting}\n${beat}`, farewell])
    expect(running()).not.toContain(first[0])
  })
})

test('N1: without a supervisor nothing is started and nothing said', () => {
  for (const env of [{ NOTIFY_SOCKET: undefined }, { NOTIFY_SOCKET: '' }]) {
    const supervisor = supervise({ ...aMinute, ...env })
    supervisor.ready()
    expect(isQuietAt(supervisor, 3_600_000)).toBe(true)
    supervisor.stopping()
    expect(running()).toEqual([])
  }
  expect(log.lines).toEqual([])
})

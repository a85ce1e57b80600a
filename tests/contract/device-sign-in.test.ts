import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { hours, minutes } from '../../schemas/amounts.ts'
import { aDoor, aGuardedBroker, type Door, say, sayAll, sharedPassword } from '../support/device-world.ts'
import { until } from '../support/until.ts'

let door: Door
let house: Awaited<ReturnType<typeof aGuardedBroker>>
beforeEach(async () => {
  door = aDoor()
  house = await aGuardedBroker(door)
})
afterEach(async () => {
  await house.close()
  door.close()
})

describe('signing in', () => {
  const refusedWith = (username: string | undefined, password?: string) =>
    house.signIn(username, password).then(
      () => 'let in',
      (error: { code?: number }) => error.code,
    )

  test('X2: a wrong name, a wrong password, another’s, none, and the stored hash are all refused alike', async () => {
    const right = door.make('probe')
    const others = door.make('attic')
    const hash = door.store.devices()[0]?.passwordHash ?? ''
    const codes = await Promise.all([
      ...[others, '', undefined, hash, `${right} `, right.slice(1), sharedPassword].map((password) =>
        refusedWith('probe', password),
      ),
      ...['attic2', 'PROBE', 'probe ', '__proto__', 'constructor', 'sensors', ''].map((name) =>
        refusedWith(name, right),
      ),
    ])
    expect(codes).toEqual(codes.map(() => 4))
    expect(await refusedWith(undefined)).toBe(5)
    expect(await refusedWith('probe', right)).toBe('let in')
  })

  test('X2: three hundred forged names get in nowhere, and the true device is served meanwhile', async () => {
    const password = door.make('probe')
    const probe = await house.signIn('probe', password)
    for (const round of [0, 1, 2]) {
      const forged = Array.from({ length: 100 }, (_, i) => refusedWith(`probe-${round}-${i}`, password))
      await say(probe, 'brumal/in/probe', String(round))
      expect(new Set(await Promise.all(forged))).toEqual(new Set([4]))
    }
    expect(house.stored).toEqual([0, 1, 2].map((round) => `brumal/in/probe ${round}`))
  })

  test('X4: passwords are neither in the store nor in the log, and none is made twice', async () => {
    const passwords = Array.from({ length: 50 }, (_, i) => door.make(`d${i}`))
    expect(new Set(passwords).size).toBe(50)
    for (const password of passwords) expect(password).toMatch(/^[\w-]{24}$/) // 18 bytes, RFC 4648 §5
    await refusedWith('d0', passwords[1])
    await house.signIn('d0', passwords[0])
    const kept = JSON.stringify([door.store.devices(), door.devices.list(), house.log.lines])
    for (const password of passwords) expect(kept).not.toContain(password)
    expect(JSON.stringify(door.devices.list())).not.toContain(door.store.devices()[0]?.passwordHash)
  })

  test('X2: logins are the same after a restart', async () => {
    const password = door.make('probe')
    const again = door.reopened()
    expect(again.checkLogin('probe', Buffer.from(password))?.name).toBe('probe')
    expect(again.checkLogin('probe', Buffer.from('x'))).toBeNull()
    expect(again.devices.list()).toEqual(door.devices.list())
  })
})

describe('a login that ends', () => {
  test('X2: nobody throws another device out by taking its client id; one’s own is taken over as MQTT says', async () => {
    const clientId = 'box-probe-7'
    const [probe, attic] = [door.make('probe'), door.make('attic')]
    const true_ = await house.signIn('probe', probe, { clientId })
    const thief = await house.signIn('attic', attic, { clientId })
    const shared = await house.signIn('sensors', sharedPassword, { clientId })
    await Promise.all([
      say(true_, 'brumal/in/probe', 'still here'),
      say(thief, 'brumal/in/attic'),
      say(shared, 'x/y'),
    ])
    expect([true_, thief, shared].map(({ connected }) => connected)).toEqual([true, true, true])
    expect(house.stored).toContain('brumal/in/probe still here')
    await house.signIn('probe', probe, { clientId })
    await until(() => !true_.connected, 'the older connection of the same device to close')
    await expect(house.signIn('probe', probe, { clientId: 'x'.repeat(65) })).rejects.toMatchObject({
      code: 2,
    })
    await house.signIn('probe', probe, { clientId: 'x'.repeat(64) })
  })

  test('X2: a sensor that is removed is disconnected at its next message, which is not stored, and stays out', async () => {
    const password = door.make('probe')
    const probe = await house.signIn('probe', password)
    await say(probe, 'brumal/in/probe', 'before')
    expect(door.devices.remove('probe')).toBe(true)
    expect(door.devices.remove('probe')).toBe(false)
    probe.publish('brumal/in/probe', 'after', { qos: 1 })
    await until(() => !probe.connected, 'its connection to close')
    await expect(house.signIn('probe', password)).rejects.toMatchObject({ code: 4 })
    expect(door.reopened().checkLogin('probe', Buffer.from(password))).toBeNull()
    expect(house.stored).toEqual(['brumal/in/probe before'])
  })

  test('X2: a new password ends the connection made with the old one at its next message', async () => {
    const old = door.make('probe')
    const before = await house.signIn('probe', old)
    const renewed = door.make('probe', 'sensor', ['shed/#'])
    before.publish('brumal/in/probe', 'kept back', { qos: 1 })
    await until(() => !before.connected, 'the old connection to close')
    await expect(house.signIn('probe', old)).rejects.toMatchObject({ code: 4 })
    expect(house.stored).toEqual([])
    await sayAll(await house.signIn('probe', renewed), ['brumal/in/probe'], 'shed/x')
    expect(house.stored).toEqual(['brumal/in/probe 5', 'shed/x last'])
    expect(door.devices.list().devices).toHaveLength(1)
  })

  test('X2: one that was made a lamp publishes no more', async () => {
    door.make('probe', 'sensor', ['shed/#'])
    const lamp = await house.signIn('probe', door.make('probe', 'signal'))
    await sayAll(lamp, ['brumal/in/probe'], 'shed/x')
    expect(house.stored).toEqual([])
  })
})

describe('when a device was last seen', () => {
  const seen = () => [door.devices.list().devices[0]?.seenAt, door.store.devices()[0]?.seenAt]

  test('is shown to the moment and written once an hour at most', async () => {
    const password = door.make('probe')
    expect(seen()).toEqual([null, null])
    const start = door.clock.now()
    const probe = await house.signIn('probe', password)
    expect(seen()).toEqual([start, start])
    door.passes(hours(1) - 1)
    await say(probe, 'brumal/in/probe')
    expect(seen()).toEqual([start + hours(1) - 1, start])
    door.passes(1)
    await say(probe, 'brumal/in/probe')
    expect(seen()).toEqual([start + hours(1), start + hours(1)])
    door.passes(-hours(24)) // the clock was wrong, and was set
    await say(probe, 'not/its/topic')
    expect(seen()).toEqual([start - hours(23), start - hours(23)])
  })

  test('a ping is a sign of life: a lamp may be silent for months', async () => {
    const password = door.make('lamp', 'signal')
    await house.signIn('lamp', password, { keepalive: 1 })
    door.passes(minutes(5))
    await until(() => seen()[0] === door.clock.now(), 'a ping')
  })

  test('N2: a disk that takes nothing turns no sensor away', async () => {
    let isFull = false
    const full = aDoor({
      spoil: (store) => ({
        ...store,
        saveDevice(device) {
          if (isFull) throw new Error('the disk is full')
          store.saveDevice(device)
        },
      }),
    })
    const other = await aGuardedBroker(full)
    try {
      const password = full.make('probe')
      isFull = true
      await say(await other.signIn('probe', password), 'brumal/in/probe')
      expect(other.stored).toEqual(['brumal/in/probe 5'])
      expect(full.devices.list().devices[0]?.seenAt).toBe(full.clock.now())
      expect(() => full.make('attic')).toThrow('the disk is full')
      expect(full.devices.list().devices).toHaveLength(1)
    } finally {
      await other.close()
      full.close()
    }
  })
})

test('a stored hash that is none lets nobody in, and does no harm', () => {
  door.store.saveDevice({
    name: 'odd',
    kind: 'sensor',
    topics: [],
    createdAt: door.clock.now(),
    seenAt: null,
    passwordHash: 'x',
  })
  expect(door.reopened().checkLogin('odd', Buffer.from('x'))).toBeNull()
})

import type { Database } from 'better-sqlite3'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { DeviceStore, StoredDevice } from '../../daemon/ports/devices.ts'
import { sqliteDevices } from '../../daemon/sqlite/devices.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { clock, temporaryFolder } from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let db: Database
let devices: DeviceStore

const open = (): void => {
  db = openDatabase(folder.path)
  devices = sqliteDevices(db)
}
const reopen = (): void => {
  db.close()
  open()
}

beforeEach(() => {
  folder = temporaryFolder()
  open()
})

afterEach(() => {
  db.close()
  folder.remove()
})

const aDevice = (name: string, more: Partial<StoredDevice> = {}): StoredDevice => ({
  name,
  kind: 'sensor',
  topics: [],
  createdAt: clock(1),
  seenAt: null,
  passwordHash: `hash of the password of ${name}`,
  ...more,
})

describe('devices', () => {
  test('X2: are kept in the order in which they were made, over a restart too', () => {
    expect(devices.devices()).toEqual([])
    const probe = aDevice('Probe.1', { topics: ['tele/+/SENSOR', 'cellar/#'], seenAt: clock(2) })
    const lamp = aDevice('lamp', { kind: 'signal', createdAt: clock(0) })
    devices.saveDevice(probe)
    devices.saveDevice(lamp)
    reopen()
    expect(devices.devices()).toEqual([probe, lamp])
  })

  test('X2: one saved again keeps its place and has the new password only', () => {
    devices.saveDevice(aDevice('probe'))
    devices.saveDevice(aDevice('lamp'))
    const renewed = aDevice('probe', { passwordHash: 'another', topics: ['cellar/#'], seenAt: clock(9) })
    devices.saveDevice(renewed)
    expect(devices.devices()).toEqual([renewed, aDevice('lamp')])
  })

  test('X2: names differ by capitals: topics do too', () => {
    devices.saveDevice(aDevice('probe'))
    devices.saveDevice(aDevice('Probe'))
    devices.removeDevice('PROBE')
    expect(devices.devices().map(({ name }) => name)).toEqual(['probe', 'Probe'])
  })

  test('X2: one that is removed is gone, the others stay; removing twice does no harm', () => {
    devices.saveDevice(aDevice('probe'))
    devices.saveDevice(aDevice('lamp'))
    devices.removeDevice('probe')
    devices.removeDevice('probe')
    reopen()
    expect(devices.devices()).toEqual([aDevice('lamp')])
  })

  test.each(['no JSON', '["cellar/#/deeper"]', '{}', 'null'])(
    'X2: topics that read %s are refused as damage, not taken for permission',
    (topics) => {
      devices.saveDevice(aDevice('probe', { topics: ['cellar/#'] }))
      db.prepare('UPDATE device SET topics = ?').run(topics)
      expect(() => devices.devices()).toThrow(
        expect.objectContaining({ name: 'StorageError', code: 'databaseIsDamaged' }) as Error,
      )
    },
  )
})

describe('the login that all sensors may share', () => {
  test('X2: is open in a new house, and closed or open as it was left, over a restart too', () => {
    expect(devices.isSharedLoginOpen()).toBe(true)
    for (const isOpen of [false, false, true, true, false]) {
      devices.setSharedLogin(isOpen)
      expect(devices.isSharedLoginOpen()).toBe(isOpen)
      reopen()
      expect(devices.isSharedLoginOpen()).toBe(isOpen)
    }
  })

  test('X4: closing it leaves the secrets of the house as they were', () => {
    const people = sqlitePeople(db)
    people.secret('sensorPassword', () => 'first')
    devices.setSharedLogin(false)
    expect(people.secret('sensorPassword', () => 'second')).toBe('first')
  })
})

const anyDevice = fc
  .record({
    name: fc.constantFrom('a', 'b', 'c', 'A'),
    kind: fc.constantFrom('sensor', 'signal'),
    topics: fc.uniqueArray(fc.constantFrom('cellar/#', 'tele/+/SENSOR', 'x'), { maxLength: 3 }),
    seenAt: fc.option(fc.integer({ min: 0, max: 9 }).map(clock)),
  })
  .map(({ name, ...more }) => aDevice(name, more as Partial<StoredDevice>))

test('X2: whatever is saved and removed, the devices are what a plain list would hold', () => {
  fc.assert(
    fc.property(fc.array(fc.oneof(anyDevice, fc.constantFrom('a', 'b', 'A')), { maxLength: 12 }), (acts) => {
      for (const { name } of devices.devices()) devices.removeDevice(name)
      let model: StoredDevice[] = []
      for (const act of acts) {
        if (typeof act === 'string') {
          devices.removeDevice(act)
          model = model.filter(({ name }) => name !== act)
          continue
        }
        devices.saveDevice(act)
        const i = model.findIndex(({ name }) => name === act.name)
        if (i < 0) model.push(act)
        else model[i] = act
      }
      expect(devices.devices()).toEqual(model)
    }),
    { numRuns: 100 },
  )
}, 60_000)

import type { Database } from 'better-sqlite3'
import { Device } from '../../schemas/access.ts'
import type { DeviceStore, StoredDevice } from '../ports/devices.ts'
import { tried } from './storage-error.ts'
import { readStored } from './stored-json.ts'

/** Devices and their logins over an open database, which somebody else closes. */
export function sqliteDevices(db: Database): DeviceStore {
  const devices = db.prepare<[], DeviceRow>(
    `SELECT name, kind, topics, created_at AS createdAt, seen_at AS seenAt, password_hash AS passwordHash
    FROM device ORDER BY rowid`,
  )
  const saveDevice = db.prepare<[DeviceRow]>(
    `INSERT INTO device (name, kind, topics, created_at, seen_at, password_hash)
    VALUES (@name, @kind, @topics, @createdAt, @seenAt, @passwordHash)
    ON CONFLICT (name) DO UPDATE SET kind = @kind, topics = @topics, created_at = @createdAt, seen_at = @seenAt,
      password_hash = @passwordHash`,
  )
  const removeDevice = db.prepare<[string]>('DELETE FROM device WHERE name = ?')
  const sharedLogin = db.prepare<[], string>(`SELECT value FROM secret WHERE name = '${flagName}'`).pluck()
  const setSharedLogin = db.prepare<[string]>(
    `INSERT OR REPLACE INTO secret (name, value) VALUES ('${flagName}', ?)`,
  )

  return {
    /** In the order in which they were made. */
    devices: () => tried('reading devices', () => devices.all().map(deviceIn)),
    saveDevice: (device) =>
      tried(
        'saving a device',
        () => void saveDevice.run({ ...device, topics: JSON.stringify(device.topics) }),
      ),
    removeDevice: (name) => tried('removing a device', () => void removeDevice.run(name)),
    isSharedLoginOpen: () =>
      tried('reading whether the shared login is open', () => sharedLogin.get() !== 'closed'),
    setSharedLogin: (isOpen) =>
      tried(
        isOpen ? 'opening the shared login' : 'closing the shared login',
        () => void setSharedLogin.run(isOpen ? 'open' : 'closed'),
      ),
  }
}

/** No secret itself, but it belongs to one: the row `sensorPassword` beside it. */
const flagName = 'sharedLogin'

type DeviceRow = Omit<StoredDevice, 'topics'> & { readonly topics: string }

const deviceIn = (row: DeviceRow): StoredDevice => ({
  ...row,
  topics: readStored(Device.shape.topics, row.topics, `The device ${row.name}`),
})

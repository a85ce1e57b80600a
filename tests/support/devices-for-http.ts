import { randomBytes } from 'node:crypto'
import type { Devices } from '../../daemon/ports/devices.ts'
import type { DeviceNow } from '../../schemas/access.ts'
import type { Instant } from '../../schemas/units.ts'

export interface DevicesForHttp extends Devices {
  /** As where the house has a broker of its own. */
  leave(): void
}

/** Logins in memory, at a broker that is ours until it is left. */
export function devicesForHttp(now: () => Instant): DevicesForHttp {
  const devices = new Map<string, DeviceNow>()
  let sharedLogin = true
  let isOurs = true
  return {
    leave: () => {
      isOurs = false
    },
    list: () => ({ devices: [...devices.values()], sharedLogin, isOurs }),
    make(given) {
      const device = { ...given, createdAt: now(), seenAt: null }
      devices.set(device.name, device)
      const password = randomBytes(9).toString('base64url')
      return { device, password, snippets: [{ title: 'Login', text: `${device.name}:${password}` }] }
    },
    remove: (name) => devices.delete(name),
    openSharedLogin: (isOpen) => {
      sharedLogin = isOpen
    },
  }
}

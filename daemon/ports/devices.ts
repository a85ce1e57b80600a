import type { Device, DeviceNow } from '../../schemas/access.ts'

export interface StoredDevice extends DeviceNow {
  /** SHA-256 of a random password: not to be guessed, so a plain hash is enough. */
  readonly passwordHash: string
}

/** Devices that have a login of their own at the embedded broker (X2). Lives in the same database. */
export interface DeviceStore {
  devices(): readonly StoredDevice[]
  saveDevice(device: StoredDevice): void
  removeDevice(name: string): void
  /** Whether the login that all sensors may share is open; true in a new house. */
  isSharedLoginOpen(): boolean
  setSharedLogin(isOpen: boolean): void
}

/** What Set-up does with devices. Passwords leave it once, at their making. */
export interface Devices {
  list(): { readonly devices: readonly DeviceNow[]; readonly sharedLogin: boolean; readonly isOurs: boolean }
  /** Makes it, or gives a device that is there a new password and these topics. */
  make(device: Device): {
    readonly device: DeviceNow
    readonly password: string
    readonly snippets: readonly { readonly title: string; readonly text: string }[]
  }
  remove(name: string): boolean
  openSharedLogin(isOpen: boolean): void
}

import { existsSync } from 'node:fs'

/** Made by systemd-timesyncd once it has the time from a server: systemd-timesyncd.service(8), value from memory. */
const mark = '/run/systemd/timesync/synchronized'

/** Whether this machine says that its clock is set by a time server; false where it does not say. */
export const isSynchronised = (): boolean => existsSync(mark)

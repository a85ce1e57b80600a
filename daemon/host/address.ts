import { networkInterfaces } from 'node:os'

/** The address at which other machines of the house reach this one; `localhost` when it has none. */
export function houseAddress(): string {
  for (const addresses of Object.values(networkInterfaces()))
    for (const address of addresses ?? [])
      if (address.family === 'IPv4' && !address.internal) return address.address
  return 'localhost'
}

import { existsSync } from 'node:fs'
import { join } from 'node:path'
import type { Settings } from '../../schemas/settings.ts'
import { houseAddress } from '../host/address.ts'

/** Where phones reach the page, without a slash at the end. */
export function addressOf({ http }: Settings, port: number): string {
  if (http.address !== undefined) return http.address.replace(/\/+$/, '')
  const scheme = http.certFile === undefined ? 'http' : 'https'
  return `${scheme}://${houseAddress()}:${port}`
}

/** The built pages, beside the compiled program or, run from source, in dist/. */
export function webRoot(): string | null {
  const candidates = ['../../web/', '../../dist/web/'].map((path) => new URL(path, import.meta.url).pathname)
  return candidates.find((path) => existsSync(join(path, 'index.html'))) ?? null
}

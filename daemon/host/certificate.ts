import { readFileSync, statSync } from 'node:fs'
import { minutes } from '../../schemas/amounts.ts'
import type { Log } from '../ports/log.ts'

export interface Certificate {
  readonly cert: Buffer
  readonly key: Buffer
}

/** Certificates are renewed every few weeks or months; a minute later is soon enough. */
const lookEvery = minutes(1)

/** Reads both files, and again when either changes. Throws at once where they cannot be read. */
export function watchCertificate(
  files: { readonly certFile: string; readonly keyFile: string },
  log: Log,
  onNew: (certificate: Certificate) => void,
): { readonly first: Certificate; stop(): void } {
  const read = (): Certificate => ({ cert: readFileSync(files.certFile), key: readFileSync(files.keyFile) })
  const changedAt = (): string => `${statSync(files.certFile).mtimeMs} ${statSync(files.keyFile).mtimeMs}`
  const first = read()
  let known = changedAt()
  const look = setInterval(() => {
    try {
      const now = changedAt()
      if (now === known) return
      onNew(read())
      known = now
      log.info({ certFile: files.certFile }, 'The page has a new certificate.')
    } catch (error) {
      // Half written, or a pair that does not belong together yet: the old one goes on, and it is looked at again.
      log.warn({ err: error }, 'The new certificate cannot be used yet; the old one goes on.')
    }
  }, lookEvery)
  look.unref()
  return { first, stop: () => clearInterval(look) }
}

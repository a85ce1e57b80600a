import { execFileSync } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'

export interface Certificate {
  readonly cert: string
  readonly key: string
}

export interface Certificates {
  /** The authority that signed all but `selfSigned`. */
  readonly ca: string
  /** An authority that signed none of them. */
  readonly otherCa: string
  /** For localhost and 127.0.0.1. */
  readonly good: Certificate
  readonly expired: Certificate
  /** For frog-house.example. */
  readonly otherHost: Certificate
  readonly selfSigned: Certificate
}

/** Makes throw-away certificates with openssl in `folder`; the values are paths of PEM files. */
export function makeCertificates(folder: string): Certificates {
  const openssl = (...args: string[]) => execFileSync('openssl', args, { cwd: folder, stdio: 'pipe' })
  const key = (name: string) => [
    '-newkey',
    'ec',
    '-pkeyopt',
    'ec_paramgen_curve:P-256',
    '-nodes',
    '-keyout',
    `${name}.key`,
  ]
  const authority = (name: string) => {
    openssl('req', '-x509', ...key(name), '-out', `${name}.crt`, '-days', '2', '-subj', `/CN=${name}`)
    return join(folder, `${name}.crt`)
  }
  const signed = (name: string, host: string, days: string): Certificate => {
    const alsoIp = host === 'localhost' ? ',IP:127.0.0.1' : ''
    writeFileSync(join(folder, `${name}.ext`), `subjectAltName=DNS:${host}${alsoIp}\n`)
    openssl('req', ...key(name), '-out', `${name}.csr`, '-subj', `/CN=${host}`)
    const by = ['-CA', 'brumal-test-ca.crt', '-CAkey', 'brumal-test-ca.key', '-CAcreateserial']
    openssl(
      'x509',
      '-req',
      '-in',
      `${name}.csr`,
      ...by,
      '-out',
      `${name}.crt`,
      '-days',
      days,
      '-extfile',
      `${name}.ext`,
    )
    return { cert: join(folder, `${name}.crt`), key: join(folder, `${name}.key`) }
  }

  const ca = authority('brumal-test-ca')
  const otherCa = authority('other-ca')
  const good = signed('good', 'localhost', '2')
  const expired = signed('expired', 'localhost', '-1')
  const otherHost = signed('other-host', 'frog-house.example', '2')
  openssl('req', '-x509', ...key('self'), '-out', 'self.crt', '-days', '2', '-subj', '/CN=localhost')
  const selfSigned = { cert: join(folder, 'self.crt'), key: join(folder, 'self.key') }
  return { ca, otherCa, good, expired, otherHost, selfSigned }
}

import type { ServerOptions } from 'node:https'
import { createSecureContext, type SecureContextOptions, type Server } from 'node:tls'
import type { FastifyInstance } from 'fastify'

/** PEM, the chain behind the certificate included. */
export interface Certificate {
  readonly cert: string | Buffer
  readonly key: string | Buffer
}

/** A greeting that takes longer than `handshakeMs` is cut off (X3). Throws as `renewTls` does. */
export const httpsOptions = (certificate: Certificate, handshakeMs: number): ServerOptions => ({
  ...contextOf(certificate),
  handshakeTimeout: handshakeMs,
})

/**
 * Shows a new certificate to every connection from now on; those that stand are left alone. Throws, and keeps the old
 * one, where certificate and key cannot be read or do not belong together.
 */
export function renewTls(app: FastifyInstance, certificate: Certificate): void {
  const server = app.server as unknown as Server // a server over TLS: only its type says http
  if (typeof server.setSecureContext !== 'function') throw new Error('this server has no TLS to renew')
  server.setSecureContext(contextOf(certificate))
}

/** TLS 1.2 and later (RFC 8996), with Node's own ciphers. */
function contextOf({ cert, key }: Certificate): SecureContextOptions {
  // Node takes an empty file, half written, for none given, and would then refuse every greeting
  if (cert.length === 0 || key.length === 0) throw new Error('the certificate or its key is empty')
  const options = { cert, key, minVersion: 'TLSv1.2' } as const
  createSecureContext(options)
  return options
}

import { promisify } from 'node:util'
import { gzip } from 'node:zlib'
import type { FastifyInstance } from 'fastify'

/** A shorter answer goes in one packet as it is, bytes: a usual Ethernet frame less its headers. */
const onePacket = 1400

/** Quick rather than small: the answer is made at each asking, on a small board. */
const level = 4

const packed = promisify(gzip)

/**
 * Answers as text go compressed to whoever takes gzip (RFC 9110 §8.4.1.3): a phone in the garden waits for bytes. Not
 * pictures, which are compressed already, nor the live stream, nor the page's files, which have twins.
 */
export function squeezeAnswers(app: FastifyInstance): void {
  app.addHook('onSend', async (request, reply, payload) => {
    if (typeof payload !== 'string' || payload.length < onePacket) return payload
    if (reply.getHeader('content-encoding') !== undefined) return payload
    void reply.header('vary', varied(reply.getHeader('vary')))
    if (!takesGzip(request.headers['accept-encoding'])) return payload
    const bytes = await packed(payload, { level })
    void reply.header('content-encoding', 'gzip').header('content-length', bytes.length)
    return bytes
  })
}

const varied = (before: unknown): string =>
  typeof before === 'string' && before !== '' ? `${before}, accept-encoding` : 'accept-encoding'

/** `gzip;q=0` refuses it; `*` takes what is not named. */
function takesGzip(header: string | string[] | undefined): boolean {
  const offers = String(header ?? '')
    .toLowerCase()
    .split(',')
    .map((one) => /^\s*([\w*-]+)\s*(?:;\s*q=([\d.]+))?\s*$/.exec(one))
  const offer =
    offers.find((one) => one?.[1] === 'gzip' || one?.[1] === 'x-gzip') ??
    offers.find((one) => one?.[1] === '*')
  return offer !== undefined && offer !== null && Number(offer[2] ?? 1) > 0
}

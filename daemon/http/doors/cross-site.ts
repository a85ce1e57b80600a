import type { FastifyReply, FastifyRequest } from 'fastify'
import { say } from '../../../shared/words/say.ts'

/**
 * Refuses what another site makes a keeper's browser do. Browsers name the page behind a post: `Sec-Fetch-Site` where
 * the address is https or localhost, `Origin` everywhere. A program that is no browser sends neither.
 *
 * A name that is rebound to this address (DNS rebinding) is a site of its own to the browser: it has no cookie of
 * ours, no access token and, since tokens of links never leave the daemon but in their messages, no link. All it can
 * reach is what is public, and there (signing in, joining, answering) it can only guess at a secret, as slowly as any
 * other guesser at this address.
 */
export async function refuseCrossSite(request: FastifyRequest, reply: FastifyReply): Promise<void> {
  if (harmless.has(request.method)) return
  if (isFromElsewhere(request)) {
    await reply.problem(403, 'crossSite', say('This was asked by the page of another site.'))
    return
  }
  // A form can post plain text and form data to anywhere without asking first; JSON, pictures and CSV it cannot
  if (hasBody.has(request.method) && !isAsked(request.headers['content-type'])) {
    await reply.problem(415, 'notJson', say('Send the body as application/json.'))
  }
}

const harmless: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS'])
const hasBody: ReadonlySet<string> = new Set(['POST', 'PUT', 'PATCH'])

/** Of a type that a browser sends to another site only where that site allows it. */
const isAsked = (type: string | undefined): boolean =>
  /^(?:application\/json|text\/csv|image\/(?:jpeg|png|webp))\s*(?:;|$)/i.test(type ?? '')

function isFromElsewhere({ headers, host }: FastifyRequest): boolean {
  const site = headers['sec-fetch-site']
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return true
  const { origin } = headers
  return origin !== undefined && hostOf(origin) !== host.toLowerCase()
}

/** Empty for `null` and for what is no address. */
function hostOf(origin: string): string {
  return URL.canParse(origin) ? new URL(origin).host : ''
}

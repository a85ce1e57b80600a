import helmet from '@fastify/helmet'
import type { FastifyInstance } from 'fastify'

/** Security headers for a page that is often served over plain http in a home network. */
export async function setHeaders(app: FastifyInstance): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'self'"],
        baseUri: ["'none'"],
        connectSrc: ["'self'"],
        fontSrc: ["'self'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        imgSrc: ["'self'", 'data:'],
        objectSrc: ["'none'"],
        scriptSrc: ["'self'"],
        scriptSrcAttr: ["'none'"],
        // Styles set through the DOM (preact, uPlot) are not inline styles in the sense of CSP 3 §8.2
        styleSrc: ["'self'"],
        // No upgradeInsecureRequests: over plain http the browser would ask https and show a blank page
      },
    },
    xFrameOptions: { action: 'deny' },
    // Not over our own TLS either: it would bind every other port of this host, whose pages may have none, and a
    // browser that holds it lets nobody past a certificate that it does not know (RFC 6797 §12.1)
    hsts: false,
    crossOriginOpenerPolicy: false, // ignored over plain http, with an error on the browser's console
    originAgentCluster: false,
    // Not no-referrer: that would send `Origin: null` with our own posts (Fetch §3.2)
    referrerPolicy: { policy: 'same-origin' },
  })
  app.addHook('onRequest', async (request, reply) => {
    if (request.url.startsWith('/api/')) void reply.header('cache-control', 'no-store')
  })
}

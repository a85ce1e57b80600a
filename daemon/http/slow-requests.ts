import type { FastifyInstance } from 'fastify'
import type { Millis } from '../../schemas/units.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Within what time its body must be here, where that is longer than usual: a file over a weak wireless network. */
    arrivesWithin?: Millis
  }
}

/**
 * Ends a request whose body is not here within `usual` of its head, or within the time that its route gives: it would
 * hold a connection for nothing (X3). Node's own `requestTimeout` knows one time for all routes.
 */
export function endSlowRequests(app: FastifyInstance, usual: Millis): void {
  app.addHook('onRequest', async ({ headers, raw, routeOptions }) => {
    if (headers['content-length'] === undefined && headers['transfer-encoding'] === undefined) return
    const timer = setTimeout(() => {
      // Undefined where nothing came over a wire
      if (raw.complete === false) app.server.emit('clientError', tooSlow(), raw.socket)
    }, routeOptions.config.arrivesWithin ?? usual)
    timer.unref()
    raw.once('close', () => clearTimeout(timer))
  })
}

/** As Node says it of its own. */
const tooSlow = (): Error =>
  Object.assign(new Error('the body took too long to arrive'), { code: 'ERR_HTTP_REQUEST_TIMEOUT' })

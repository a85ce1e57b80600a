import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Role } from '../../../schemas/person.ts'
import { refuseCrossSite } from './cross-site.ts'
import type { Sessions, SignedIn } from './session.ts'
import { giveCookie, tokenIn } from './session-cookie.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Answers without a sign-in. Left out, a route is closed (X1). */
    public?: true
    /** Who may use it. Left out: everyone signed in may look, keepers alone may change. */
    roles?: readonly Role[]
  }
  interface FastifyRequest {
    signedIn: SignedIn | null
  }
}

/** Closes every route that does not say that it is open (X1). Call it before the first route. */
export function closeDoors(app: FastifyInstance, sessions: Sessions): void {
  app.decorateRequest('signedIn', null)
  app.addHook('onRequest', refuseCrossSite)
  app.addHook('onRequest', async (request, reply) => {
    const { config } = request.routeOptions
    if (config.public === true) return
    // Outside /api an unknown path is no secret: the page's paths are public
    if (request.is404 && !/^\/api(?:[/?#]|$)/i.test(request.url)) return

    const token = tokenIn(request)
    const signedIn = token === null ? null : sessions.find(token)
    if (token === null || signedIn === null) {
      return reply.problem(401, 'signInNeeded', 'Sign in first.')
    }
    if (signedIn.touched) giveCookie(request, reply, token)
    request.signedIn = signedIn

    const looksOnly = request.method === 'GET' || request.method === 'HEAD'
    const roles = config.roles ?? (looksOnly || request.is404 ? everyone : keepers)
    if (!roles.includes(signedIn.person.role)) {
      return reply.problem(403, 'keeperOnly', 'Only a keeper may do this.')
    }
  })
}

export const everyone: readonly Role[] = ['keeper', 'sitter']
export const keepers: readonly Role[] = ['keeper']

/** Who asks. Only for routes that are not public: there the guard has seen to it. */
export function signedIn(request: FastifyRequest): SignedIn {
  if (request.signedIn === null) throw new Error('a public route asked who is signed in')
  return request.signedIn
}

/** The name that the journal keeps. */
export const byName = (request: FastifyRequest): string => signedIn(request).person.name

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { TokenScope } from '../../../schemas/access.ts'
import type { Role } from '../../../schemas/person.ts'
import { type AccessTokens, bearerPrefix } from './access-token.ts'
import { refuseCrossSite } from './cross-site.ts'
import type { Sessions, SignedIn } from './session.ts'
import { giveCookie, tokenIn } from './session-cookie.ts'
import { say } from '../../../shared/words/say.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Answers without a sign-in. Left out, a route is closed (X1). */
    public?: true
    /** Who may use it. Left out: everyone signed in may look, keepers alone may change. */
    roles?: readonly Role[]
    /**
     * The least scope of an access token that may use it; `none` for what only a person in a browser may do. Left out:
     * `look` may look, `keep` may change.
     */
    tokens?: TokenScope | 'none'
  }
  interface FastifyRequest {
    signedIn: SignedIn | null
  }
}

/**
 * Closes every route that does not say that it is open (X1). Call it before the first route. What changes anything is
 * let in twice, before its body and after: whoever is removed must not finish what they began, however slowly.
 */
export function closeDoors(app: FastifyInstance, sessions: Sessions, tokens: AccessTokens): void {
  const letIn = async (request: FastifyRequest, reply: FastifyReply): Promise<FastifyReply | undefined> => {
    const { config } = request.routeOptions
    if (config.public === true) return
    // Outside /api an unknown path is no secret: the page's paths are public
    if (request.is404 && !/^\/api(?:[/?#]|$)/i.test(request.url)) return

    const [secret, cookie] = [secretIn(request), tokenIn(request)]
    const signedIn = secret !== null ? tokens.find(secret) : cookie !== null ? sessions.find(cookie) : null
    if (signedIn === null) {
      if (secret !== null) void reply.header('www-authenticate', 'Bearer error="invalid_token"') // RFC 6750 §3.1
      return reply.problem(401, 'signInNeeded', say('Sign in first.'))
    }
    if (signedIn.touched && cookie !== null) giveCookie(request, reply, cookie)
    request.signedIn = signedIn

    const looksOnly = isLook(request) || request.is404
    if (signedIn.scope !== null && !reaches(signedIn.scope, config.tokens ?? (looksOnly ? 'look' : 'keep'))) {
      return reply.problem(403, 'tokenMayNot', say('This access token may not do this.'))
    }
    if (!(config.roles ?? (looksOnly ? everyone : keepers)).includes(signedIn.person.role)) {
      return reply.problem(403, 'keeperOnly', say('Only a keeper may do this.'))
    }
    return
  }

  app.decorateRequest('signedIn', null)
  app.addHook('onRequest', refuseCrossSite)
  app.addHook('onRequest', letIn)
  app.addHook('preHandler', async (request, reply) => (isLook(request) ? undefined : letIn(request, reply)))
}

export const everyone: readonly Role[] = ['keeper', 'sitter']
export const keepers: readonly Role[] = ['keeper']

/** Who asks. Only for routes that are not public: there the guard has seen to it. */
export function signedIn(request: FastifyRequest): SignedIn {
  if (request.signedIn === null) throw new Error('a public route asked who is signed in')
  return request.signedIn
}

/** The name that the journal keeps. */
export const byName = (request: FastifyRequest): string => signedIn(request).by

/**
 * The secret of an access token (RFC 6750 §2.1), which counts even where a cookie came too. Any other authorization is
 * for somebody else, such as the proxy in front.
 */
function secretIn(request: FastifyRequest): string | null {
  const [, secret] = /^bearer +(.+)$/i.exec(request.headers.authorization ?? '') ?? []
  return secret?.startsWith(bearerPrefix) === true ? secret : null
}

const isLook = ({ method }: FastifyRequest): boolean => method === 'GET' || method === 'HEAD'

const rank = { look: 0, act: 1, keep: 2, none: 3 } as const

const reaches = (scope: TokenScope, least: TokenScope | 'none'): boolean => rank[scope] >= rank[least]

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { say } from '../../shared/words/say.ts'

declare module 'fastify' {
  interface FastifyInstance {
    /** Every route there is, HEAD twins too; complete once the server is ready. */
    knownRoutes: readonly KnownRoute[]
  }
}

export interface KnownRoute {
  readonly method: string
  /** As registered: `/api/places/:place`. */
  readonly url: string
  readonly isPublic: boolean
}

/** Keeps a list of the routes as they are registered; call it before the first. */
export function listRoutes(app: FastifyInstance): void {
  const routes: KnownRoute[] = []
  app.decorate('knownRoutes', routes)
  app.addHook('onRoute', ({ method, url, config }) => {
    for (const one of [method].flat()) routes.push({ method: one, url, isPublic: config?.public === true })
  })
}

/** 405 with `Allow` (RFC 9110 §15.5.6) where the path is right and the method is not; 404 otherwise. */
export function answerUnknown(
  this: FastifyInstance,
  request: FastifyRequest,
  reply: FastifyReply,
): FastifyReply {
  const path = request.url.split('?', 1)[0] ?? ''
  const allowed = this.knownRoutes.filter(({ url }) => fits(url, path)).map(({ method }) => method)
  if (allowed.length === 0) return reply.problem(404, 'noSuchPath', say('There is nothing at this path.'))
  void reply.header('allow', [...new Set(allowed)].join(', '))
  return reply.problem(405, 'wrongMethod', say('This path does not take that method.'))
}

function fits(pattern: string, path: string): boolean {
  const [wanted, given] = [pattern.split('/'), path.split('/')]
  return (
    wanted.length === given.length &&
    wanted.every((part, i) => (part.startsWith(':') ? given[i] !== '' : part === given[i]))
  )
}

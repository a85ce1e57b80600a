import type { FastifyReply, FastifyRequest } from 'fastify'
import { sessionLasts } from './session.ts'

/**
 * SameSite=Strict: it goes with nothing that another site starts. A link in a message still works, for the first
 * request of a visit only fetches the public page, and what that page asks for is of this site.
 */
export function giveCookie(request: FastifyRequest, reply: FastifyReply, token: string): void {
  void reply.setCookie(name, token, { ...shape(request), maxAge: sessionLasts / 1000 })
}

export function takeCookieBack(request: FastifyRequest, reply: FastifyReply): void {
  void reply.clearCookie(name, shape(request))
}

export const tokenIn = (request: FastifyRequest): string | null => request.cookies[name] ?? null

const name = 'brumal_session'

const shape = (request: FastifyRequest) =>
  ({ path: '/', httpOnly: true, sameSite: 'strict', secure: request.protocol === 'https' }) as const

import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Me } from '../../../schemas/door.ts'
import type { Person } from '../../../schemas/person.ts'
import { hashOf } from './secret-token.ts'
import type { Sessions } from './session.ts'
import { giveCookie, tokenIn } from './session-cookie.ts'

/** Lets this browser in as that person; whoever it was before is signed out. */
export function openDoor(
  request: FastifyRequest,
  reply: FastifyReply,
  sessions: Sessions,
  person: Person,
): Me {
  const old = tokenIn(request)
  if (old !== null) sessions.end(hashOf(old))
  giveCookie(request, reply, sessions.start(person.id, request.headers['user-agent'] ?? ''))
  return { person: { id: person.id, name: person.name, role: person.role }, setUpNeeded: false }
}

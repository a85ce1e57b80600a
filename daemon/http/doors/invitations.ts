import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { InvitationFor, Invite, Invited, InvitationNow, Join } from '../../../schemas/access.ts'
import { days, later } from '../../../schemas/amounts.ts'
import { Me } from '../../../schemas/door.ts'
import type { PersonId } from '../../../schemas/ids.ts'
import type { JournalKind } from '../../../schemas/journal.ts'
import type { Outcome } from '../../ports/outcome.ts'
import type { StoredInvitation } from '../../ports/people.ts'
import { freeId } from '../free-id.ts'
import type { Routes } from '../zod.ts'
import type { Doors } from './doors.ts'
import { byName } from './guard.ts'
import { openDoor } from './open-door.ts'
import { hashPassword } from './password.ts'
import { handleOf, hashOf, newToken } from './secret-token.ts'
import { keyOf } from './try-limit.ts'
import { busyMs, tooManyTries } from './wrong-tries.ts'
import { roleWord } from '../../../shared/words/choice-words.ts'
import { say } from '../../../shared/words/say.ts'

/** A week: long enough to be read on holiday, short enough that a link left lying about is soon worth nothing. */
export const invitationLasts = days(7)
/** Open at once (X3): more than any household has people to let in. */
export const mostInvitations = 20

const tags = ['access']

/** How somebody else comes in: a keeper makes a link, whoever opens it chooses a password. */
export const invitationRoutes: Routes<Doors> = async (app, doors) => {
  const { desk, people, sessions, clock, random, address, linkTries, gate, noteWrongTry } = doors

  const note = (kind: JournalKind, by: string, text: string) => desk.note({ at: clock.now(), kind, by, text })
  const open = () => people.invitations().filter(({ expiresAt }) => expiresAt > clock.now())
  const isTaken = (name: string) => people.people().some((person) => keyOf(person.name) === keyOf(name))

  /** Wrong tokens are slowed; an old one is no guess. */
  const find = (
    request: FastifyRequest,
    wrongTries: number,
    token: string,
  ): Outcome<StoredInvitation, 'badLink' | 'oldLink'> => {
    const tokenHash = hashOf(token)
    const found = people.invitations().find((one) => one.tokenHash === tokenHash)
    if (found === undefined) {
      noteWrongTry(request.ip, wrongTries, 'an invitation that is none')
      return {
        ok: false,
        error: 'badLink',
        sentence: say('This invitation has been used or withdrawn, or never was.'),
      }
    }
    linkTries.succeeded(request.ip, null)
    if (found.expiresAt > clock.now()) return { ok: true, value: found }
    return { ok: false, error: 'oldLink', sentence: say('This invitation is too old. Ask for another.') }
  }

  app.post(
    '/invitations',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Invite somebody',
        description: 'The link is shown here and never again; it is good once, for 7 days.',
        body: Invite,
        response: { 200: Invited },
      },
    },
    async (request, reply) => {
      const { name, role } = request.body
      if (isTaken(name)) return nameTaken(reply)
      const others = open()
      if (others.some((other) => keyOf(other.name) === keyOf(name)))
        return reply.problem(409, 'nameTaken', say('Somebody of this name is invited already.'))
      if (others.length >= mostInvitations)
        return reply.problem(
          409,
          'tooMany',
          say('There may be {mostInvitations} open invitations. Withdraw one.', { mostInvitations }),
        )
      const token = newToken(random)
      const tokenHash = hashOf(token)
      const expiresAt = later(clock.now(), invitationLasts)
      const invitation = { id: handleOf(tokenHash), name, role, by: byName(request), expiresAt }
      people.saveInvitation({ ...invitation, tokenHash })
      note('invited', byName(request), say('{name} as a {role}', { name, role: roleWord[role] }))
      return { invitation, link: `${address()}/join#${token}` }
    },
  )

  app.delete(
    '/invitations/:id',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Withdraw an invitation',
        params: z.strictObject({ id: InvitationNow.shape.id }),
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const found = people.invitations().find(({ id }) => id === request.params.id)
      if (found === undefined || !people.takeInvitation(found.tokenHash))
        return reply.problem(404, 'noSuchInvitation', say('There is no such invitation.'))
      note(
        'accessChanged',
        byName(request),
        say('The invitation of {found} is withdrawn.', { found: found.name }),
      )
      return reply.code(204).send()
    },
  )

  app.post(
    '/invitation',
    {
      config: { public: true },
      schema: {
        tags,
        summary: 'Whom an invitation is for',
        body: Join.pick({ token: true }),
        response: { 200: InvitationFor },
      },
    },
    async (request, reply) => {
      const { waitMs, wrongTries } = linkTries.admit(request.ip, null)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      const found = find(request, wrongTries, request.body.token)
      if (!found.ok) return reply.refuse(found, statusOfLink)
      return { name: found.value.name, role: found.value.role, household: desk.household().name }
    },
  )

  app.post(
    '/join',
    {
      config: { public: true },
      schema: { tags, summary: 'Come in by an invitation', body: Join, response: { 200: Me } },
    },
    async (request, reply) => {
      const { token, password } = request.body
      const { waitMs, wrongTries } = linkTries.admit(request.ip, null)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      const before = find(request, wrongTries, token)
      if (!before.ok) return reply.refuse(before, statusOfLink)
      const passwordHash = await gate.pass(() => hashPassword(password, random))
      if (passwordHash === null) return tooManyTries(reply, busyMs)
      // Used or withdrawn while we hashed? Of two at once, one takes it
      const invitation = before.value
      if (!people.takeInvitation(invitation.tokenHash))
        return reply.problem(
          statusOfLink.badLink,
          'badLink',
          say('This invitation has just been used or withdrawn.'),
        )
      if (isTaken(invitation.name)) return nameTaken(reply)
      const { name, role, by } = invitation
      const person = { id: freeId(name, idsInUse(doors)) as PersonId, name, role }
      people.savePerson({ ...person, passwordHash })
      note('joined', name, say('as a {role}, invited by {by}', { role: roleWord[role], by }))
      return openDoor(request, reply, sessions, person)
    },
  )
}

/** A link that is not one of ours is refused as a key that does not fit; one that has had its day is gone for good. */
export const statusOfLink = { badLink: 403, oldLink: 410 } as const

const nameTaken = <Reply extends FastifyReply>(reply: Reply): Reply =>
  reply.problem(409, 'nameTaken', say('Somebody of this name signs in already. Choose another.'))

/** A contact may outlive its person: whoever comes later must not become the person of that contact. */
function idsInUse({ people, desk }: Doors): ReadonlySet<string> {
  const persons = people.people().map(({ id }) => id)
  const ofContacts = desk.household().contacts.map(({ person }) => person)
  return new Set([...persons, ...ofContacts].filter((id) => id !== null))
}

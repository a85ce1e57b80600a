import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { AccessNow, ChangeRole } from '../../../schemas/access.ts'
import { PersonId } from '../../../schemas/ids.ts'
import { Person } from '../../../schemas/person.ts'
import type { StoredPerson } from '../../ports/people.ts'
import { statusOfEdit } from '../answer.ts'
import type { Routes } from '../zod.ts'
import { calendarFeeds } from './calendar-feeds.ts'
import type { Doors } from './doors.ts'
import { byName, keepers, signedIn } from './guard.ts'
import { sessionNow } from './own-sessions.ts'
import { roleWord } from '../../../shared/words/choice-words.ts'
import { say } from '../../../shared/words/say.ts'

const params = z.strictObject({ person: PersonId })
const tags = ['access']

/** Who may come in, by what, and as what. */
export const peopleRoutes: Routes<Doors> = async (app, doors) => {
  const { desk, people, sessions, tokens, clock, random } = doors
  const feeds = calendarFeeds(people, clock, random)

  const note = (by: string, text: string) => desk.note({ at: clock.now(), kind: 'accessChanged', by, text })
  const find = (id: PersonId) => people.people().find((person) => person.id === id)
  const isLastKeeper = (person: StoredPerson) =>
    person.role === 'keeper' && people.people().filter(({ role }) => role === 'keeper').length === 1
  /** What a keeper handed out goes with the keeper's rights: else a link kept back would be a way in again. */
  const takeBack = (person: StoredPerson) => {
    tokens.endAllOf(person.id)
    for (const { by, tokenHash } of people.invitations())
      if (by === person.name) people.takeInvitation(tokenHash)
  }

  app.get(
    '/access',
    {
      config: { roles: keepers, tokens: 'none' },
      schema: {
        tags,
        summary: 'Everybody who may come in, and by what',
        querystring: z.strictObject({}),
        response: { 200: AccessNow },
      },
    },
    async (request) => ({
      people: people.people().map(({ id, name, role }) => ({ id, name, role })),
      sessions: sessions.all().map((session) => sessionNow(session, signedIn(request))),
      invitations: people
        .invitations()
        .filter(({ expiresAt }) => expiresAt > clock.now())
        .map(({ id, name, role, by, expiresAt }) => ({ id, name, role, by, expiresAt })),
      tokens: [...tokens.all()],
    }),
  )

  app.put(
    '/people/:person/role',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Make somebody a keeper or a sitter',
        params,
        body: ChangeRole,
        response: { 200: Person },
      },
    },
    async (request, reply) => {
      const { role } = request.body
      const person = find(request.params.person)
      if (person === undefined) return noSuchPerson(reply)
      const { id, name } = person
      if (person.role === role) return { id, name, role }
      if (isLastKeeper(person)) return lastKeeper(reply)
      people.savePerson({ ...person, role })
      if (role === 'sitter') takeBack(person)
      note(byName(request), say('{name} is a {role} now.', { name, role: roleWord[role] }))
      return { id, name, role }
    },
  )

  app.delete(
    '/people/:person',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Let somebody in no longer',
        description: 'A contact that was this person is still told, as nobody who signs in.',
        params,
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const person = find(request.params.person)
      if (person === undefined) return noSuchPerson(reply)
      if (isLastKeeper(person)) return lastKeeper(reply)
      if (person.id === signedIn(request).person.id)
        return reply.problem(409, 'notYourself', say('You cannot remove yourself. Ask another keeper.'))
      takeBack(person)
      sessions.endAllOf(person.id)
      // Else somebody of the same name, let in later, would have it.
      feeds.end(person.id)
      people.removePerson(person.id)
      note(byName(request), say('{person} is let in no longer.', { person: person.name }))
      for (const contact of desk.household().contacts) {
        if (contact.person !== person.id) continue
        const outcome = desk.saveContact({ ...contact, person: null }, byName(request))
        if (!outcome.ok) return reply.refuse(outcome, statusOfEdit)
      }
      return reply.code(204).send()
    },
  )
}

const noSuchPerson = <Reply extends FastifyReply>(reply: Reply): Reply =>
  reply.problem(404, 'noSuchPerson', say('There is nobody of this name.'))

const lastKeeper = <Reply extends FastifyReply>(reply: Reply): Reply =>
  reply.problem(409, 'lastKeeper', say('This is the only keeper. Make somebody else a keeper first.'))

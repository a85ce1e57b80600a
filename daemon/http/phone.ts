import { createHash } from 'node:crypto'
import { z } from 'zod'
import { Contact } from '../../schemas/contact.ts'
import { ChannelId, type ContactId } from '../../schemas/ids.ts'
import type { Person } from '../../schemas/person.ts'
import { PushKey, RingThisPhone, ThisPhone } from '../../schemas/phone.ts'
import type { Desk } from '../ports/desk.ts'
import { statusOfEdit } from './answer.ts'
import { byName, everyone, signedIn } from './doors/guard.ts'
import { freeId } from './free-id.ts'
import type { Routes } from './zod.ts'

/** "Ring this phone": whoever is signed in adds the browser that they hold. */
export const phoneRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/me/phone',
    {
      schema: {
        tags: ['telling'],
        summary: 'What a browser needs to subscribe',
        querystring: z.strictObject({}),
        response: { 200: PushKey },
      },
    },
    async () => ({ pushKey: desk.telling().pushKey }),
  )

  app.post(
    '/me/phone',
    {
      config: { roles: everyone },
      schema: {
        tags: ['telling'],
        summary: 'Ring this phone',
        description:
          'Makes a contact of whoever is signed in where there is none; the same phone again is replaced.',
        body: RingThisPhone,
        response: { 200: ThisPhone },
      },
    },
    async (request, reply) => {
      const by = byName(request)
      const { label, ...subscription } = request.body
      const { person } = signedIn(request)
      const known = desk.household().contacts.find((contact) => contact.person === person.id)
      const contact = known ?? contactOf(person, new Set(desk.household().contacts.map(({ id }) => id)))
      if (known === undefined) {
        const made = desk.saveContact(contact, by)
        if (!made.ok) return reply.refuse(made, statusOfEdit)
      }
      const channel = { id: phoneId(contact.id, subscription.endpoint), kind: 'push', label } as const
      const saved = desk.saveChannel(contact.id, channel, { kind: 'push', ...subscription }, by)
      if (!saved.ok) {
        // A contact who cannot be reached would be an alarm of its own (N1)
        if (known === undefined) desk.removeContact(contact.id, by)
        return reply.refuse(saved, statusOfEdit)
      }
      const now = desk.household().contacts.find(({ id }) => id === contact.id)
      if (now === undefined) throw new Error(`${contact.id} is gone though its channel was saved`)
      return { contact: now, channel: saved.value }
    },
  )
}

const contactOf = (person: Person, taken: ReadonlySet<string>): Contact =>
  Contact.parse({ id: freeId(person.name, taken), name: person.name, person: person.id })

/**
 * The same phone of the same contact has the same id each time, though the desk never shows an endpoint. Of another
 * contact it is another channel: two people may share a tablet.
 */
function phoneId(contact: ContactId, endpoint: string): ChannelId {
  const digest = createHash('sha256').update(`${contact} ${endpoint}`).digest('hex')
  return ChannelId.parse(`phone-${digest.slice(0, 12)}`)
}

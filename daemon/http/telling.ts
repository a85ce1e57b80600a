import { z } from 'zod'
import { Channel, Contact } from '../../schemas/contact.ts'
import { ChannelId, ContactId } from '../../schemas/ids.ts'
import { MessageLine, SaveChannel, SaveTelling, TellingNow } from '../../schemas/telling-now.ts'
import type { Desk } from '../ports/desk.ts'
import { idDiffers, statusOfEdit } from './answer.ts'
import { byName, keepers } from './doors/guard.ts'
import { wholeNumber } from './query.ts'
import type { Routes } from './zod.ts'

/** Messages of one answer (X3): a night's worth, and at most what a page can show. */
const messageBounds = { usual: 50, most: 200 } as const

const ofContact = z.strictObject({ contact: ContactId })
const ofChannel = z.strictObject({ contact: ContactId, channel: ChannelId })
/** Where the path names them, what is missing is the path's. */
const statusInPath = { ...statusOfEdit, noSuchContact: 404, noSuchChannel: 404 } as const
const NoBody = z.strictObject({}).optional()
const tags = ['telling']

/** Who is told, in which order and by what; and what they were told. */
export const tellingRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/telling',
    {
      config: { roles: keepers }, // it holds people's addresses
      schema: {
        tags,
        summary: 'Who is told, by what, and whether it works',
        querystring: z.strictObject({}),
        response: { 200: TellingNow },
      },
    },
    async () => desk.telling(),
  )

  app.put(
    '/telling',
    {
      schema: {
        tags,
        summary: 'Change the order of contacts, and the waits',
        body: SaveTelling,
        response: { 200: TellingNow },
      },
    },
    async (request, reply) => {
      const { order, telling } = request.body
      const outcome = desk.saveTelling(order, telling, byName(request))
      return outcome.ok ? desk.telling() : reply.refuse(outcome, statusOfEdit)
    },
  )

  app.put(
    '/contacts/:contact',
    {
      schema: {
        tags,
        summary: 'Make or change a contact; its channels stay as they are',
        params: ofContact,
        body: Contact,
        response: { 200: Contact },
      },
    },
    async (request, reply) => {
      if (request.body.id !== request.params.contact) return idDiffers(reply)
      const outcome = desk.saveContact(request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfEdit)
    },
  )

  app.delete(
    '/contacts/:contact',
    { schema: { tags, summary: 'Remove a contact', params: ofContact, response: { 204: z.undefined() } } },
    async (request, reply) => {
      const outcome = desk.removeContact(request.params.contact, byName(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusInPath)
    },
  )

  app.put(
    '/contacts/:contact/channels/:channel',
    {
      schema: {
        tags,
        summary: 'Make or change a channel; a secret left out stays as it is',
        params: ofChannel,
        body: SaveChannel,
        response: { 200: Channel },
      },
    },
    async (request, reply) => {
      const { channel, secret = null } = request.body
      if (channel.id !== request.params.channel) return idDiffers(reply)
      const outcome = desk.saveChannel(request.params.contact, channel, secret, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusInPath)
    },
  )

  app.delete(
    '/contacts/:contact/channels/:channel',
    { schema: { tags, summary: 'Remove a channel', params: ofChannel, response: { 204: z.undefined() } } },
    async (request, reply) => {
      const { contact, channel } = request.params
      const outcome = desk.removeChannel(contact, channel, byName(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusInPath)
    },
  )

  app.post(
    '/contacts/:contact/channels/:channel/ring',
    {
      schema: {
        tags,
        summary: 'Send a test: does this really ring?',
        params: ofChannel,
        body: NoBody,
        response: { 200: MessageLine },
      },
    },
    async (request, reply) => {
      const { contact, channel } = request.params
      const outcome = await desk.ring(contact, channel, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusInPath)
    },
  )

  app.post(
    '/contacts/:contact/channels/:channel/rang',
    {
      schema: {
        tags,
        summary: 'Somebody heard the test',
        params: ofChannel,
        body: NoBody,
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const { contact, channel } = request.params
      const outcome = desk.rang(contact, channel, byName(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusInPath)
    },
  )

  app.get(
    '/messages',
    {
      schema: {
        tags,
        summary: 'What went out, newest first, without its links',
        querystring: z.strictObject({ limit: wholeNumber(1, messageBounds.most).optional() }),
        response: { 200: z.array(MessageLine).readonly() },
      },
    },
    async (request) => desk.messages(request.query.limit ?? messageBounds.usual),
  )
}

import type { Channel, ChannelSecret, Contact, Telling } from '../../schemas/contact.ts'
import type { ContactId } from '../../schemas/ids.ts'
import type { MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import { pathTo, type Answer } from '../page/ask.ts'
import type { Page } from '../page/page.ts'
import { say } from '../../shared/words/say.ts'

/** Saves a contact; its channels stay as they are. */
export async function saveContact(page: Page, contact: Contact): Promise<Answer<Contact>> {
  return renewed(page, await page.ask<Contact>('PUT', pathTo('contacts', contact.id), contact))
}

/** Saves a channel. A secret left out stays as it is. */
export async function saveChannel(
  page: Page,
  contact: ContactId,
  channel: Channel,
  secret: ChannelSecret | null,
): Promise<Answer<Channel>> {
  const given = { channel, ...(secret === null ? {} : { secret }) }
  return renewed(page, await page.ask<Channel>('PUT', pathOf(contact, channel), given))
}

/** The order in which contacts are told, and the waits. */
export async function saveTelling(
  page: Page,
  order: readonly ContactId[],
  telling: Telling,
): Promise<Answer<TellingNow>> {
  return renewed(page, await page.ask<TellingNow>('PUT', '/api/telling', { order, telling }))
}

/** Removes a contact, and offers the way back: in its place, with every channel that needs no secret to be made again. */
export async function removeContact(page: Page, contact: Contact, now: TellingNow): Promise<Answer<null>> {
  const answer = await page.ask<null>('DELETE', pathTo('contacts', contact.id))
  if (!answer.ok) return answer
  const order = now.contacts.map((one) => one.contact.id)
  const channels = now.contacts.find((one) => one.contact.id === contact.id)?.channels ?? []
  page.undo.value = {
    sentence: say('Removed {contact}.', { contact: contact.name }),
    undo: async () => {
      const back = await saveContact(page, { ...contact, channels: [] })
      if (!back.ok) {
        page.undo.value = {
          sentence: say('{contact} could not be put back.', { contact: contact.name }),
          undo: null,
        }
        return
      }
      const kept = channels.filter((one) => one.channel.kind !== 'push')
      for (const { channel } of kept) await saveChannel(page, contact.id, channel, null)
      await saveTelling(page, order, now.telling)
      const lost = channels.filter((one) => one.hasSecret)
      if (lost.length > 0) page.undo.value = { sentence: lostWords(contact.name, lost), undo: null }
    },
  }
  return renewed(page, answer)
}

/** Removes a channel, and offers the way back where it can be made again without its secret. */
export async function removeChannel(
  page: Page,
  contact: Contact,
  channel: Channel,
  hasSecret: boolean,
): Promise<Answer<null>> {
  const answer = await page.ask<null>('DELETE', pathOf(contact.id, channel))
  if (!answer.ok) return answer
  page.undo.value =
    channel.kind === 'push'
      ? {
          sentence: say('Removed {label}. To have it back, press Ring this phone on it.', {
            label: channel.label,
          }),
          undo: null,
        }
      : {
          sentence: say('Removed {label}.', { label: channel.label }),
          undo: async () => {
            const back = await saveChannel(page, contact.id, channel, null)
            if (!back.ok)
              page.undo.value = {
                sentence: say('{label} could not be put back.', { label: channel.label }),
                undo: null,
              }
            else if (hasSecret)
              page.undo.value = { sentence: lostWords(contact.name, [{ channel }]), undo: null }
          },
        }
  return renewed(page, answer)
}

/** Sends the test; the daemon says what came of its first try. */
export async function ring(page: Page, contact: ContactId, channel: Channel): Promise<Answer<MessageLine>> {
  const answer = await page.ask<MessageLine>('POST', `${pathOf(contact, channel)}/ring`, {})
  if (answer.ok) void page.telling.refresh() // whoever waits beside the phone does not wait for this
  return answer
}

/** Somebody heard it. */
export async function noteRang(page: Page, contact: ContactId, channel: Channel): Promise<Answer<null>> {
  return renewed(page, await page.ask<null>('POST', `${pathOf(contact, channel)}/rang`, {}))
}

const pathOf = (contact: ContactId, channel: Channel): string =>
  pathTo('contacts', contact, 'channels', channel.id)

async function renewed<T>(page: Page, answer: Answer<T>): Promise<Answer<T>> {
  if (answer.ok) await Promise.all([page.telling.refresh(), page.refresh()])
  return answer
}

/** Secrets go with their channel (X4): what has to be given anew. */
const lostWords = (name: string, lost: readonly { readonly channel: Channel }[]): string =>
  say('{name} is back. What was secret is forgotten: {lost}.', {
    name,
    lost: lost.map(({ channel }) => lostOf(channel)).join('; '),
  })

function lostOf({ kind, label }: Channel): string {
  switch (kind) {
    case 'push':
      return say('press Ring this phone on {label} again', { label })
    case 'relay':
      return say('type the token of {label} again', { label })
    case 'webhook':
      return say('type the headers of {label} again', { label })
    case 'mail':
      return say('look at {label}', { label })
    default:
      return kind satisfies never
  }
}

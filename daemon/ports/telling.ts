import type { Channel, ChannelSecret, Contact, Telling } from '../../schemas/contact.ts'
import type { ChannelId, ContactId } from '../../schemas/ids.ts'
import type { MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import type { Answers } from './answers.ts'
import type { EditRefusal } from './household.ts'
import type { Outcome } from './outcome.ts'

/** Who is told, and whether it rings. */
export interface TellingDesk {
  telling(): TellingNow
  /** Puts the contact in at the end of the order, or in its place; its channels stay as they are. */
  saveContact(contact: Contact, by: string): Outcome<Contact, EditRefusal>
  removeContact(contact: ContactId, by: string): Outcome<null, EditRefusal>
  /** Contacts that `order` leaves out come last, as they were. */
  saveTelling(order: readonly ContactId[], telling: Telling, by: string): Outcome<null, EditRefusal>
  saveChannel(
    contact: ContactId,
    channel: Channel,
    secret: ChannelSecret | null,
    by: string,
  ): Outcome<Channel, EditRefusal>
  removeChannel(contact: ContactId, channel: ChannelId, by: string): Outcome<null, EditRefusal>
  /** Sends the test "does this really ring?"; resolves with what came of the first try. */
  ring(
    contact: ContactId,
    channel: ChannelId,
    by: string,
  ): Promise<Outcome<MessageLine, 'noSuchContact' | 'noSuchChannel'>>
  /** Somebody heard it. */
  rang(contact: ContactId, channel: ChannelId, by: string): Outcome<null, 'noSuchContact' | 'noSuchChannel'>
  /** Newest first. */
  messages(limit: number): readonly MessageLine[]

  /** What somebody with the link in a message may see and do. */
  answers: Answers
}

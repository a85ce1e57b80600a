import type { Channel, Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { ChannelId } from '../../schemas/ids.ts'

export const contactIn = ({ contacts }: Household, id: string): Contact | undefined =>
  contacts.find((contact) => contact.id === id)

export const channelIn = (household: Household, contact: string, id: string): Channel | undefined =>
  contactIn(household, contact)?.channels.find((channel) => channel.id === id)

/** Everybody's. */
export const allChannels = ({ contacts }: Household): readonly Channel[] =>
  contacts.flatMap(({ channels }) => channels)

export const channelIdsOf = (household: Household, contact: string): readonly ChannelId[] =>
  contactIn(household, contact)?.channels.map(({ id }) => id) ?? []

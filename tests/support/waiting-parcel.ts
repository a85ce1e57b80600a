import { later } from '../../schemas/amounts.ts'
import { AlarmId, ChannelId, ContactId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import { clock, hour } from './store-world.ts'

export const phone = ChannelId.parse('ada-phone')
const tooCold = AlarmId.parse('limit:box-1:temperature:lowCritical')

/** A message that has not been tried; not checked, so that a test may spoil it. */
export const waitingParcel = (key: string, more: Partial<Parcel> = {}): Parcel => ({
  key,
  kind: 'raised',
  contact: ContactId.parse('ada'),
  channel: phone,
  alarm: tooCold,
  occurrence: 1,
  message: {
    title: 'ALARM Box 1 0.4 °C, too cold',
    text: 'Box 1 is too cold.\nFirst: look at the fridge door.',
    priority: 'high',
    link: 'https://brumal.frog-house.example/answer#sealed-link',
    acknowledgeLink: null,
  },
  bornAt: clock(1),
  dueAt: clock(1),
  expiresAt: later(clock(1), 24 * hour),
  tries: 0,
  state: 'waiting',
  outcome: null,
  ...more,
})

/** The same message after it got through at its first try. */
export const delivered = (parcel: Parcel): Parcel => ({
  ...parcel,
  tries: parcel.tries + 1,
  state: 'delivered',
  outcome: 'The relay took it.',
})

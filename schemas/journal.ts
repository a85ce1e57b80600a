import { z } from 'zod'
import { AlarmKind } from './alarm.ts'
import { LimitName, Priority } from './band.ts'
import { AlarmId, AnimalId, ChannelId, ContactId, PlaceId, SensorId } from './ids.ts'
import { Quantity } from './quantity.ts'
import { Instant, Millis } from './units.ts'

/** Lines that change an alarm. */
export const alarmChanges = [
  'raised',
  'returned',
  'acknowledged',
  'shelved',
  'unshelved',
  'suppressed',
  'unsuppressed',
  'tookOutOfService',
  'returnedToService',
] as const

export const JournalKind = z.enum([
  ...alarmChanges,
  // telling
  'told',
  'notTold',
  'channelGone',
  'rang',
  // sensors
  'clockFault',
  'doorOpened',
  // people and the house
  'tending',
  'tended',
  'coolingBegan',
  'warmingBegan',
  'noted',
  'changed',
  'claimed',
  'setUp',
  'signedIn',
  'signInFailed',
  'signedOut',
  'passwordChanged',
  'invited',
  'joined',
  'accessChanged',
  // the daemon itself
  'started',
  'stopped',
  'brokerUp',
  'brokerDown',
  // what is kept
  'clockSet',
  'notKept',
  'thinned',
  'backedUp',
  'databaseSetAside',
])
export type JournalKind = z.infer<typeof JournalKind>

/** One line of the append-only log: what was raised, told or done, when and by whom (`brumal` for the daemon). */
export const JournalEntry = z.strictObject({
  at: Instant,
  kind: JournalKind,
  by: z.string(),
  alarm: AlarmId.optional(),
  alarmKind: AlarmKind.optional(),
  priority: Priority.optional(),
  place: PlaceId.optional(),
  animal: AnimalId.optional(),
  sensor: SensorId.optional(),
  contact: ContactId.optional(),
  channel: ChannelId.optional(),
  quantity: Quantity.optional(),
  limit: LimitName.optional(),
  value: z.number().optional(),
  threshold: z.number().optional(),
  guarded: z.number().optional(),
  expanded: z.number().min(0).optional(),
  until: Instant.optional(),
  /** Of a door seen in the curve: by how much the air warmed, K, and how long from there until it was nearly back. */
  rise: z.number().optional(),
  recovery: Millis.optional(),
  /** A plain sentence for people: a reason given, what changed, what failed. */
  text: z.string().max(500).optional(),
})
export type JournalEntry = z.infer<typeof JournalEntry>

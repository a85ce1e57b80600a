import { z } from 'zod'
import { PersonId } from './ids.ts'
import { takesInReserved } from './own-topics.ts'
import { Password, Person, Role } from './person.ts'
import { TopicFilter } from './sensor.ts'
import { Instant } from './units.ts'

const Name = z.string().trim().min(1).max(60)
/** Names one thing in a list without saying its secret: the first 16 signs of its token's hash. */
const Handle = z.string().regex(/^[\w-]{16}$/)

/** One sign-in of one browser. */
export const SessionNow = z.strictObject({
  id: Handle,
  person: PersonId,
  createdAt: Instant,
  seenAt: Instant,
  agent: z.string(),
  isThis: z.boolean(),
})
export type SessionNow = z.infer<typeof SessionNow>

/** A one-time link by which somebody chooses a password and comes in. */
export const InvitationNow = z.strictObject({
  id: Handle,
  name: Name,
  role: Role,
  by: z.string(),
  expiresAt: Instant,
})
export type InvitationNow = z.infer<typeof InvitationNow>

export const Invite = z.strictObject({ name: Name, role: Role })
export type Invite = z.infer<typeof Invite>

/** The link is shown once: only its hash is kept. */
export const Invited = z.strictObject({ invitation: InvitationNow, link: z.string() })
export type Invited = z.infer<typeof Invited>

export const Join = z.strictObject({ token: z.string().max(100), password: Password })
export type Join = z.infer<typeof Join>

export const InvitationFor = z.strictObject({ name: z.string(), role: Role, household: z.string() })
export type InvitationFor = z.infer<typeof InvitationFor>

export const ChangePassword = z.strictObject({ old: z.string().max(200), password: Password })
export type ChangePassword = z.infer<typeof ChangePassword>

export const ChangeRole = z.strictObject({ role: Role })

/** look: every GET that a sitter may · act: also acknowledge and tend · keep: what a keeper may, but not the doors. */
export const TokenScope = z.enum(['look', 'act', 'keep'])
export type TokenScope = z.infer<typeof TokenScope>

/** A key for a script. `Authorization: Bearer …` (RFC 6750). */
export const AccessTokenNow = z.strictObject({
  id: Handle,
  name: Name,
  scope: TokenScope,
  by: z.string(),
  createdAt: Instant,
  usedAt: Instant.nullable(),
  expiresAt: Instant.nullable(),
})
export type AccessTokenNow = z.infer<typeof AccessTokenNow>

export const MakeToken = z.strictObject({
  name: Name,
  scope: TokenScope,
  /** Days; null for one that does not end. */
  days: z.int().min(1).max(3660).nullable(),
})
export type MakeToken = z.infer<typeof MakeToken>

export const MadeToken = z.strictObject({ token: AccessTokenNow, secret: z.string() })
export type MadeToken = z.infer<typeof MadeToken>

/** Everybody who may come in, and by what. */
export const AccessNow = z.strictObject({
  people: z.array(Person),
  sessions: z.array(SessionNow),
  invitations: z.array(InvitationNow),
  tokens: z.array(AccessTokenNow),
})
export type AccessNow = z.infer<typeof AccessNow>

/** Name of a device at the embedded broker: it is part of its own topic, so it has no `/`, `+`, `#` or space. */
export const DeviceName = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,38}$/, 'use letters, digits, . _ and -')
export type DeviceName = z.infer<typeof DeviceName>

/** The name of the login that all sensors may share; no device may take it. */
export const sensorUser = 'sensors'

const DeviceTopic = TopicFilter.refine(
  (filter) => !/\p{Cc}/u.test(filter),
  'without control characters',
).refine(
  (filter) => !takesInReserved(filter),
  'takes in topics that no device may publish to (brumal/alarm, brumal/status, $…): say it more closely',
)

const deviceFields = z.strictObject({
  name: DeviceName.refine((name) => name !== sensorUser, 'is the login that all sensors share: take another'),
  kind: z.enum(['sensor', 'signal']),
  /** For firmware whose topics cannot be changed. */
  topics: z.array(DeviceTopic).max(10).default([]),
})

/**
 * What a device may do at the embedded broker (X2). sensor: publish under `brumal/in/<name>` and its extra topics, read
 * nothing · signal: a lamp or siren that reads `brumal/alarm/…` and `brumal/status`, publishes nothing.
 */
export const Device = deviceFields.refine(({ kind, topics }) => kind === 'sensor' || topics.length === 0, {
  path: ['topics'],
  message: 'a lamp or siren publishes nothing: leave them out',
})
export type Device = z.infer<typeof Device>

export const DeviceNow = deviceFields.extend({ createdAt: Instant, seenAt: Instant.nullable() })
export type DeviceNow = z.infer<typeof DeviceNow>

export const DevicesNow = z.strictObject({
  devices: z.array(DeviceNow),
  /** Whether the login that all sensors may share is open. */
  sharedLogin: z.boolean(),
  /** False where the house has a broker of its own: logins are made there. */
  isOurs: z.boolean(),
})
export type DevicesNow = z.infer<typeof DevicesNow>

/** The password and the text to paste, shown once: only a hash is kept. */
export const MadeDevice = z.strictObject({
  device: DeviceNow,
  password: z.string(),
  /** What to put into the firmware, in plain MQTT terms. */
  snippets: z.array(z.strictObject({ title: z.string(), text: z.string() })),
})
export type MadeDevice = z.infer<typeof MadeDevice>

export const SharedLogin = z.strictObject({ on: z.boolean() })

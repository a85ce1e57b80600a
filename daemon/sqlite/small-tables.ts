import { z } from 'zod'
import { Device, TokenScope } from '../../schemas/access.ts'
import { ChannelSecret } from '../../schemas/contact.ts'
import { Household } from '../../schemas/household.ts'
import { ChannelId, PersonId, SensorId } from '../../schemas/ids.ts'
import { Parcel } from '../../schemas/outbox.ts'
import { Role } from '../../schemas/person.ts'
import { Quantity } from '../../schemas/quantity.ts'

/** Tables that start-up depends on and that stay small, with what each of their rows must be. */
export interface SmallTable {
  readonly name: string
  /** Column that tells rows apart. */
  readonly key: string
  readonly order: string
  readonly row: z.ZodType<Readonly<Record<string, unknown>>>
}

/** A column that holds a document as JSON; stays text. */
const documentOf = (schema: z.ZodType) =>
  z.string().refine((text) => {
    try {
      return schema.safeParse(JSON.parse(text)).success
    } catch {
      return false
    }
  })

const Text = z.string()
const Whole = z.int()
const tokenHash = Text.min(1)

const householdTable: SmallTable = {
  name: 'household',
  key: 'id',
  order: 'id',
  row: z.strictObject({ id: z.literal(1), document: documentOf(Household) }),
}
export const seriesTable: SmallTable = {
  name: 'series',
  key: 'id',
  order: 'id',
  row: z.strictObject({ id: Whole.min(1), sensor: SensorId, quantity: Quantity }),
}
export const hotTable: SmallTable = {
  name: 'hot',
  key: 'seq',
  order: 'seq',
  row: z.strictObject({
    seq: Whole.min(1),
    series: Whole.min(1),
    at: Whole,
    value: z.number(),
    quality: Whole.min(0).max(255),
  }),
}
export const snapshotTable: SmallTable = {
  name: 'snapshot',
  key: 'id',
  order: 'id',
  row: z.strictObject({ id: z.literal(1), text: Text, seq: Whole.min(0) }),
}
export const sessionTable: SmallTable = {
  name: 'session',
  key: 'token_hash',
  order: 'token_hash',
  row: z.strictObject({
    token_hash: tokenHash,
    person: PersonId,
    created_at: Whole,
    seen_at: Whole,
    expires_at: Whole,
    agent: Text,
  }),
}

/** How far what is kept has gone on to a broker elsewhere. */
export const upstreamTables: readonly SmallTable[] = [
  {
    name: 'upstream',
    key: 'id',
    order: 'id',
    row: z.strictObject({ id: z.literal(1), seq: Whole.min(0), journal: Whole.min(0) }),
  },
  {
    name: 'upstream_owed',
    key: 'id',
    order: 'id',
    row: z.strictObject({
      id: Whole,
      hour: Whole.min(0),
      sensor: SensorId,
      quantity: Quantity,
      seq: Whole.min(0),
    }),
  },
]

/** What people have set up and made: taken over from a damaged database as it was last saved. Persons come first. */
export const peopleMadeTables: readonly SmallTable[] = [
  householdTable,
  {
    name: 'person',
    key: 'id',
    order: 'rowid',
    row: z.strictObject({ id: PersonId, name: Text.min(1), role: Role, password_hash: Text }),
  },
  { name: 'secret', key: 'name', order: 'name', row: z.strictObject({ name: Text, value: Text }) },
  {
    name: 'channel_secret',
    key: 'channel',
    order: 'channel',
    row: z.strictObject({ channel: ChannelId, secret: documentOf(ChannelSecret) }),
  },
  {
    name: 'ring',
    key: 'channel',
    order: 'channel',
    row: z.strictObject({ channel: ChannelId, at: Whole }),
  },
  {
    name: 'invitation',
    key: 'token_hash',
    order: 'rowid',
    row: z.strictObject({
      token_hash: tokenHash,
      name: Text,
      role: Role,
      invited_by: Text,
      expires_at: Whole,
    }),
  },
  {
    name: 'access_token',
    key: 'token_hash',
    order: 'rowid',
    row: z.strictObject({
      token_hash: tokenHash,
      name: Text,
      scope: TokenScope,
      person: PersonId,
      created_at: Whole,
      used_at: Whole.nullable(),
      expires_at: Whole.nullable(),
    }),
  },
  {
    name: 'device',
    key: 'name',
    order: 'rowid',
    row: z.strictObject({
      name: Text,
      kind: z.enum(['sensor', 'signal']),
      topics: documentOf(Device.shape.topics),
      created_at: Whole,
      seen_at: Whole.nullable(),
      password_hash: Text,
    }),
  },
  {
    name: 'parcel',
    key: 'key',
    order: 'rowid',
    row: z.strictObject({ key: Text, state: Text, born_at: Whole, parcel: documentOf(Parcel) }),
  },
]

export const smallTables: readonly SmallTable[] = [
  seriesTable,
  hotTable,
  snapshotTable,
  ...peopleMadeTables,
  sessionTable,
  ...upstreamTables,
]

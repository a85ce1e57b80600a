import type { Database } from 'better-sqlite3'
import { ChannelSecret } from '../../schemas/contact.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { OutboxStore } from '../ports/outbox.ts'
import { parcelTable } from './parcels.ts'
import { tried } from './storage-error.ts'
import { readStored } from './stored-json.ts'

/** Messages and the secrets of channels over an open database, which somebody else closes. */
export function sqliteOutbox(db: Database): OutboxStore {
  const parcels = parcelTable(db)
  const secret = db
    .prepare<[ChannelId], string>('SELECT secret FROM channel_secret WHERE channel = ?')
    .pluck()
  const saveSecret = db.prepare<[ChannelId, string]>(
    'INSERT OR REPLACE INTO channel_secret (channel, secret) VALUES (?, ?)',
  )
  const forgetSecret = db.prepare<[ChannelId]>('DELETE FROM channel_secret WHERE channel = ?')
  const rungAt = db.prepare<[ChannelId], Instant>('SELECT at FROM ring WHERE channel = ?').pluck()
  const saveRing = db.prepare<[ChannelId, Instant]>('INSERT OR REPLACE INTO ring (channel, at) VALUES (?, ?)')

  const forgetRing = db.prepare<[ChannelId]>('DELETE FROM ring WHERE channel = ?')
  // By another key it may lead elsewhere, and whether that rings has yet to be heard (S1)
  const changeSecret = db.transaction((channel: ChannelId, given: string) => {
    if (secret.get(channel) !== given) forgetRing.run(channel)
    saveSecret.run(channel, given)
  })
  const forget = db.transaction((channel: ChannelId) => {
    forgetSecret.run(channel)
    forgetRing.run(channel)
  })

  return {
    waiting: () => tried('reading messages that wait', () => parcels.waiting()),
    save: (parcel) => tried('saving a message', () => parcels.put(parcel)),
    recent: (limit) => tried('reading messages', () => parcels.recent(limit)),
    /** One born at `before` itself is kept. */
    forgetEnded: (before) => tried('forgetting old messages', () => parcels.forgetEnded(before)),
    channelSecret: (channel) =>
      tried("reading a channel's secret", () => {
        const text = secret.get(channel)
        return text === undefined ? null : readStored(ChannelSecret, text, `The secret of ${channel}`)
      }),
    saveChannelSecret: (channel, given) =>
      tried("saving a channel's secret", () => changeSecret.immediate(channel, JSON.stringify(given))),
    forgetChannelSecret: (channel) => tried("forgetting a channel's secret", () => forget.immediate(channel)),
    rungAt: (channel) => tried('reading when a channel rang', () => rungAt.get(channel) ?? null),
    saveRing: (channel, at) => tried('noting that a channel rang', () => void saveRing.run(channel, at)),
  }
}

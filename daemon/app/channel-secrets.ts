import type { ChannelSecret } from '../../schemas/contact.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import type { Log } from '../ports/log.ts'
import type { OutboxStore } from '../ports/outbox.ts'

export interface SecretReader {
  /**
   * The secret of a channel as it is now; while the store cannot be read, as it was read last, so that a dying disk
   * does not silence the phones (N2). Undefined where it was never read.
   */
  of(channel: ChannelId): ChannelSecret | null | undefined
  /** What was read last is no longer it. */
  changed(channel: ChannelId): void
}

export function secretReader(store: OutboxStore, log: Log): SecretReader {
  const last = new Map<ChannelId, ChannelSecret | null>()
  const unread = new Set<ChannelId>()
  function of(channel: ChannelId): ChannelSecret | null | undefined {
    const secret = readSecret(store, channel, (cause) => {
      if (!unread.has(channel))
        log.error({ err: cause, channel }, "A channel's secret cannot be read from the store.")
      unread.add(channel)
    })
    if (secret === undefined) return last.get(channel)
    unread.delete(channel)
    last.set(channel, secret)
    return secret
  }
  return {
    of,
    changed(channel) {
      last.delete(channel)
      of(channel)
    },
  }
}

/** Null where there is none, undefined where it cannot be read. */
export function readSecret(
  store: Pick<OutboxStore, 'channelSecret'>,
  channel: ChannelId,
  onUnread: (cause: unknown) => void = () => {},
): ChannelSecret | null | undefined {
  try {
    return store.channelSecret(channel)
  } catch (cause) {
    onUnread(cause)
    return undefined
  }
}

/** Keeps another secret, or none, and returns what puts the one before back, where that could be read. */
export function changeSecret(
  store: OutboxStore,
  channel: ChannelId,
  secret: ChannelSecret | null,
): () => void {
  const before = readSecret(store, channel)
  const rungAt = store.rungAt(channel)
  keepSecret(store, channel, secret)
  return () => {
    if (before === undefined) return
    keepSecret(store, channel, before)
    // Another secret makes it a channel that has yet to ring; this is the one that rang.
    if (rungAt !== null) store.saveRing(channel, rungAt)
  }
}

function keepSecret(store: OutboxStore, channel: ChannelId, secret: ChannelSecret | null): void {
  if (secret === null) store.forgetChannelSecret(channel)
  else store.saveChannelSecret(channel, secret)
}

import type { ChannelSecret } from '../../schemas/contact.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import type { Log, OutboxStore } from '../ports.ts'

/**
 * The secret of a channel as it is now; while the store cannot be read, as it was read last, so that a dying disk does
 * not silence the phones (N2). Undefined where it was never read.
 */
export function secretReader(
  store: OutboxStore,
  log: Log,
): (channel: ChannelId) => ChannelSecret | null | undefined {
  const last = new Map<ChannelId, ChannelSecret | null>()
  let isFailing = false
  return (channel) => {
    try {
      last.set(channel, store.channelSecret(channel))
      isFailing = false
    } catch (cause) {
      if (!isFailing) log.error({ err: cause, channel }, "A channel's secret cannot be read from the store.")
      isFailing = true
    }
    return last.get(channel)
  }
}

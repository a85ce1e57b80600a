import type { TellingNow } from '../../schemas/telling-now.ts'
import type { Daemon } from './daemon.ts'
import type { HttpReceiver } from './http-receiver.ts'

/** Adds a contact with its channels, as the screen does. */
export async function addContact(
  daemon: Daemon,
  id: string,
  channels: readonly {
    readonly channel: { readonly id: string; readonly [more: string]: unknown }
    readonly secret?: object
  }[],
  more: object = {},
): Promise<void> {
  const name = id.charAt(0).toUpperCase() + id.slice(1)
  await daemon.call('PUT', `/api/contacts/${id}`, { id, name, ...more })
  for (const { channel, secret } of channels)
    await daemon.call('PUT', `/api/contacts/${id}/channels/${channel.id}`, {
      channel,
      ...(secret === undefined ? {} : { secret }),
    })
}

export const relayTo = (id: string, url: string) => ({ channel: { id, kind: 'relay', label: 'Relay', url } })

/** The shortest waits that the settings allow: a minute between repeats, a minute to the next contact. */
export async function hurry(daemon: Daemon, order: readonly string[] = []): Promise<void> {
  const { telling } = await daemon.call<TellingNow>('GET', '/api/telling')
  await daemon.call('PUT', '/api/telling', {
    order,
    telling: { ...telling, repeatEvery: 60_000, escalateAfter: 60_000 },
  })
}

/** The token of the link that acknowledges, as a relay's receiver gets it. */
export function answerToken(receiver: HttpReceiver): string {
  const actions = String(receiver.requests.at(-1)?.headers['actions'] ?? '')
  return actions.split('#').at(-1) ?? ''
}

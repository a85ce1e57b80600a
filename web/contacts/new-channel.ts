import type { Channel, ChannelSecret } from '../../schemas/contact.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import type { Header } from './webhook-fields.tsx'
import { webhookTemplates } from './webhook-template.ts'
import { say } from '../../shared/words/say.ts'

/** What is typed in rather than asked for by a browser itself. */
export type TypedKind = Exclude<Channel['kind'], 'push'>

/** A channel to begin with. */
export function newChannel(kind: TypedKind): Channel {
  const id = '' as ChannelId
  switch (kind) {
    case 'relay':
      return { id, kind, label: say('Push relay'), url: '' }
    case 'mail':
      return { id, kind, label: say('Mail'), address: '' }
    case 'webhook': {
      const [{ contentType, template }] = webhookTemplates
      return { id, kind, label: say('Webhook'), url: '', method: 'POST', contentType, template }
    }
    default:
      return kind satisfies never
  }
}

/** What was typed as the channel's secret; null where nothing was, and what is kept stays. */
export function secretOf(
  kind: Channel['kind'],
  token: string,
  headers: readonly Header[],
): ChannelSecret | null {
  const named = headers.filter(({ name }) => name.trim() !== '')
  if (kind === 'relay' && token.trim() !== '') return { kind, token: token.trim() }
  if (kind === 'webhook' && named.length > 0)
    return { kind, headers: Object.fromEntries(named.map(({ name, value }) => [name.trim(), value.trim()])) }
  return null
}

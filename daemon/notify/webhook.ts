import type { Agent } from 'node:https'
import type { Clock } from '../ports/clock.ts'
import type { Sender } from '../ports/outbox.ts'
import { deliveryOfAnswer } from './delivery-of-answer.ts'
import { exchange } from './exchange.ts'
import { shownHost } from './failure-sentence.ts'
import { isHeaderValue, keyHeader } from './header-text.ts'
import { fillTemplate, sentContentType, templateMistakes } from './webhook-template.ts'
import { say } from '../../shared/words/say.ts'

export interface Webhook {
  readonly clock: Pick<Clock, 'now'>
  readonly agent?: Agent
}

/**
 * Any HTTP service. The request: method and url of the channel; `Host`, `Content-Type`, the headers of the secret in
 * their order, `Idempotency-Key` (unless the secret has one), `Content-Length`, `Connection: close`; then the filled
 * template. A template with mistakes, or a header that only we may set, is refused before anything is sent.
 */
export function webhookSender({ clock, agent }: Webhook): Sender<'webhook'> {
  return {
    async send(channel, secret, parcel, signal) {
      const url = new URL(channel.url)
      const refused = (sentence: string) => ({ outcome: 'refused', sentence }) as const
      if (secret !== null && secret.kind !== 'webhook')
        return refused(say('The headers kept for this webhook belong to a channel of another kind.'))
      const own = secret?.headers ?? {}
      const bad = Object.entries(own).find(([name, value]) => isReserved(name) || !isHeaderValue(value))
      if (bad !== undefined)
        return refused(say('The header {bad} of this webhook cannot be sent.', { bad: bad[0].slice(0, 60) }))
      const [mistake] = templateMistakes(channel.template, channel.contentType)
      if (mistake !== undefined) return refused(mistake)

      const hasKey = Object.keys(own).some((name) => name.toLowerCase() === 'idempotency-key')
      const headers = {
        'Content-Type': sentContentType(channel.contentType),
        ...own,
        ...(hasKey ? {} : { 'Idempotency-Key': keyHeader(parcel.key) }),
      }
      const body = Buffer.from(fillTemplate(channel.template, channel.contentType, parcel))
      const { method } = channel
      const answer = await exchange({ url, method, headers, body, agent, signal, followsRedirects: true })
      return deliveryOfAnswer(
        say('The receiver at {host}', { host: shownHost(url) }),
        answer,
        signal,
        clock.now(),
      )
    },
  }
}

/** Headers that frame the message or belong to the connection (RFC 9110 §7.6.1); two of a kind would be two messages. */
const isReserved = (name: string): boolean => reserved.has(name.toLowerCase())
const reserved = new Set([
  'host',
  'content-type',
  'content-length',
  'content-encoding',
  'transfer-encoding',
  'connection',
  'keep-alive',
  'proxy-connection',
  'upgrade',
  'expect',
  'te',
  'trailer',
])

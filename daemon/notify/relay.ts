import type { Agent } from 'node:https'
import type { Priority } from '../../schemas/band.ts'
import type { Message } from '../../schemas/outbox.ts'
import type { Clock } from '../ports/clock.ts'
import type { Sender } from '../ports/outbox.ts'
import { deliveryOfAnswer } from './delivery-of-answer.ts'
import { exchange } from './exchange.ts'
import { shownHost } from './failure-sentence.ts'
import { say } from '../../shared/words/say.ts'
import { boundedText, headerLink, headerText, isHeaderValue, keyHeader } from './header-text.ts'

/** Bytes of UTF-8: relays hand on to push services, which take about 4 KiB (RFC 8030 §7.2). */
const relayTextLimit = 4000

/** What the `Priority` header says. One to five, five the loudest: common practice, no source. */
const usualPriorities: Readonly<Record<Priority, string>> = { high: '5', medium: '4', low: '2' }

export interface Relay {
  readonly clock: Pick<Clock, 'now'>
  readonly agent?: Agent
  readonly priorities?: Readonly<Record<Priority, string>>
}

/**
 * HTTP publish to a push relay. The request, byte for byte, each line ended by CR LF, lines in brackets only where there
 * is something to say:
 *
 *     POST <path and query of the channel's url> HTTP/1.1
 *     Host: <its host, and its port where it is not the usual one>
 *     Content-Type: text/plain; charset=utf-8
 *     Title: <title; printable ASCII as it is, else encoded words of RFC 2047 in UTF-8 and base64>
 *     Priority: <5, 4 or 2 for high, medium, low>
 *     [Click: <link, in ASCII>]
 *     [Actions: view, Acknowledge, <acknowledge link, in ASCII, commas and semicolons percent-encoded>]
 *     [Authorization: Bearer <token>]
 *     Idempotency-Key: "<the parcel's key>"
 *     Content-Length: <bytes of the body>
 *     Connection: close
 *
 *     <text in UTF-8, cut to 4,000 bytes>
 */
export function relaySender({ clock, agent, priorities = usualPriorities }: Relay): Sender<'relay'> {
  return {
    async send(channel, secret, parcel, signal) {
      const url = new URL(channel.url)
      const who = say('The relay at {host}', { host: shownHost(url) })
      const token = secret?.kind === 'relay' ? secret.token : null
      if (secret !== null && token === null)
        return {
          outcome: 'refused',
          sentence: say('The token kept for this relay belongs to a channel of another kind.'),
        }
      if (token !== null && !isHeaderValue(token))
        return {
          outcome: 'refused',
          sentence: say('The token for {host} holds characters that none can hold.', {
            host: shownHost(url),
          }),
        }
      const { message } = parcel
      const headers = {
        'Content-Type': 'text/plain; charset=utf-8',
        Title: headerText(message.title),
        Priority: priorities[message.priority],
        ...linkHeaders(message),
        ...(token === null ? {} : { Authorization: `Bearer ${token}` }),
        'Idempotency-Key': keyHeader(parcel.key),
      }
      const body = Buffer.from(boundedText(message.text, relayTextLimit))
      const answer = await exchange({
        url,
        method: 'POST',
        headers,
        body,
        agent,
        signal,
        followsRedirects: true,
      })
      return deliveryOfAnswer(who, answer, signal, clock.now())
    },
  }
}

/** A translation of the button's word must be ASCII without a comma, as the rest of the line. */
function linkHeaders(message: Message): Record<string, string> {
  const link = headerLink(message.link)
  const answer = headerLink(message.acknowledgeLink)?.replaceAll(',', '%2C').replaceAll(';', '%3B')
  return {
    ...(link === null ? {} : { Click: link }),
    ...(answer === undefined ? {} : { Actions: `view, ${say('Acknowledge #relay')}, ${answer}` }),
  }
}

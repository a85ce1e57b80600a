import { createHash } from 'node:crypto'
import { createTransport } from 'nodemailer'
import type { Message } from '../../schemas/outbox.ts'
import type { Delivery, Sender } from '../ports/outbox.ts'
import { failureSentence, gaveUpSentence } from './failure-sentence.ts'
import { say } from '../../shared/words/say.ts'

/** 15 s in ms, for connecting, for the greeting and for each silence; the library's own are minutes. A design choice. */
const patience = 15_000
/** 1 s in ms for the server to close its side too; the library's own 5 s would be how long the daemon takes to stop. */
const closeWithin = 1000

export interface MailServer {
  readonly host: string
  readonly port: number
  /** `starttls` is required, not tried: a server without it gets nothing. `none` sends the login in the clear. */
  readonly security: 'tls' | 'starttls' | 'none'
  readonly user?: string
  readonly password?: string
  /** `brumal@house.example`, or with a name: `Brumal <brumal@house.example>`. */
  readonly from: string
  /** PEM of the authority to trust instead of the system's. */
  readonly ca?: string
}

/**
 * Mail by SMTP. Subject: the title; body: the text, then the link that shows it and lets it be answered. `Message-ID` comes from the
 * parcel's key, so that a second copy is known for one; `Auto-Submitted: auto-generated` (RFC 3834) keeps answering
 * machines quiet; high priority sets `X-Priority: 1 (Highest)`. A server's 4xx is tried again, its 5xx refuses the
 * message (RFC 5321 §4.2.1), a refused login is tried again, since a login is put right while the parcel waits.
 */
export function mailSender(server: MailServer): Sender<'mail'> {
  const transport = createTransport({
    host: server.host,
    port: server.port,
    secure: server.security === 'tls',
    requireTLS: server.security === 'starttls',
    ignoreTLS: server.security === 'none',
    connectionTimeout: patience,
    greetingTimeout: patience,
    socketTimeout: patience,
    dnsTimeout: patience,
    socketCloseTimeout: closeWithin,
    disableFileAccess: true,
    disableUrlAccess: true,
    ...(server.ca === undefined ? {} : { tls: { ca: server.ca } }),
    ...(server.user === undefined ? {} : { auth: { user: server.user, pass: server.password ?? '' } }),
  })
  const who = say('The mail server at {host}:{port}', { host: server.host.slice(0, 100), port: server.port })

  return {
    async send(channel, _secret, parcel, signal) {
      if (signal.aborted) return later(gaveUpSentence(who))
      const { message } = parcel
      try {
        await transport.sendMail({
          from: server.from,
          to: { name: '', address: channel.address },
          subject: message.title,
          text: bodyOf(message),
          messageId: `<${createHash('sha256').update(parcel.key).digest('hex').slice(0, 32)}@${domainOf(server.from)}>`,
          date: new Date(parcel.bornAt),
          headers: { 'Auto-Submitted': 'auto-generated' },
          ...(message.priority === 'high' ? { priority: 'high' } : {}),
          signal,
        })
        return { outcome: 'delivered', sentence: say('{who} took the message.', { who }) }
      } catch (failure) {
        return signal.aborted ? later(gaveUpSentence(who)) : deliveryOf(failure, who, server)
      }
    },
  }
}

const later = (sentence: string): Delivery => ({ outcome: 'later', retryAfter: null, sentence })

function deliveryOf(failure: unknown, who: string, { user }: MailServer): Delivery {
  const { code, responseCode } = failure as { code?: unknown; responseCode?: unknown }
  if (code === 'EAUTH')
    return later(
      say('{who} does not accept the login “{user}” or its password.', {
        who,
        user: (user ?? '').slice(0, 60),
      }),
    )
  if (code === 'ETLS' && responseCode !== undefined)
    return later(say('{who} does not offer STARTTLS, so nothing was sent to it.', { who }))
  if (typeof responseCode === 'number') {
    if (loginWanted.has(responseCode))
      return later(say('{who} asks for a login ({responseCode}).', { who, responseCode }))
    if (responseCode < 500)
      return later(say('{who} could not take the message now ({responseCode}).', { who, responseCode }))
    return {
      outcome: 'refused',
      sentence: say('{who} refuses the message ({responseCode}).', { who, responseCode }),
    }
  }
  if (code === 'EENVELOPE' || code === 'EMESSAGE')
    return {
      outcome: 'refused',
      sentence: say('The message cannot be mailed: its address or its size is not taken.'),
    }
  return later(failureSentence(who, failure))
}

/** RFC 4954 §6: authentication required; mechanism too weak; encryption required. */
const loginWanted = new Set([530, 534, 538])

/** Without the link that answers on opening: scanners of mail open every link, and would answer for a sleeper. */
function bodyOf({ text, link }: Message): string {
  return [text, ...(link === null ? [] : ['', say('See and answer: {link}', { link })]), ''].join('\n')
}

/** The part after the last @, for the right side of a Message-ID; a reserved name where there is none (RFC 2606). */
const domainOf = (from: string): string => /@([A-Za-z0-9.-]+)>?\s*$/.exec(from)?.[1] ?? 'brumal.invalid'

import { readFileSync } from 'node:fs'
import type { Settings } from '../../schemas/settings.ts'
import { mailSender } from '../notify/mail.ts'
import { relaySender } from '../notify/relay.ts'
import { newVapidKeys, type VapidKeys, webPushSender } from '../notify/web-push.ts'
import { webhookSender } from '../notify/webhook.ts'
import type { Clock } from '../ports/clock.ts'
import type { Senders } from '../ports/outbox.ts'
import type { PeopleStore } from '../ports/people.ts'

/** The household's pair for Web Push, made once: subscriptions hang on it. */
export function vapidKeysOf(people: PeopleStore): VapidKeys {
  return JSON.parse(people.secret('vapidKeys', () => JSON.stringify(newVapidKeys()))) as VapidKeys
}

/** A sender for each kind of channel that these settings allow. `clock` is the real one: receivers live by it. */
export function sendersOf(settings: Settings, keys: VapidKeys, clock: Clock): Senders {
  const { mail } = settings
  return {
    push: webPushSender({ vapid: { ...keys, subject: subjectOf(settings) }, clock }),
    relay: relaySender({ clock }),
    webhook: webhookSender({ clock }),
    mail:
      mail === undefined
        ? null
        : mailSender({
            host: mail.host,
            port: mail.port,
            security: mail.security,
            from: mail.from,
            ...(mail.user === undefined ? {} : { user: mail.user }),
            ...(mail.password === undefined ? {} : { password: mail.password }),
            ...(mail.caFile === undefined ? {} : { ca: readFileSync(mail.caFile, 'utf8') }),
          }),
  }
}

/** Whom a push service may write to (RFC 8292 §2.1): as set, else whoever sends the mail, else the page's own address. */
function subjectOf({ push, mail, http }: Settings): string {
  if (push.subject !== undefined) return push.subject
  const sender = /<([^<>]+)>/.exec(mail?.from ?? '')?.[1] ?? mail?.from
  if (sender !== undefined) return `mailto:${sender}`
  return http.address?.startsWith('https:') ? http.address : 'mailto:keeper@brumal.invalid'
}

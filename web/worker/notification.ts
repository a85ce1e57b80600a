import type { Priority } from '../../schemas/band.ts'
import type { MessageKind } from '../../schemas/outbox.ts'
import { say, spokenLanguage } from '../../shared/words/say.ts'

/** What a tap on a notification leads to. */
export interface NoticeData {
  /** Path on our own origin that opens what it is about. */
  readonly path: string
  /** Seals the answer that its button gives; null where there is nothing to answer. */
  readonly token: string | null
  readonly isRing: boolean
  readonly tag: string
}

/** A notification as the platform takes it (Notifications API §2, with what phones add to it). */
export interface Notice {
  readonly title: string
  readonly options: {
    readonly body: string
    readonly tag: string
    readonly renotify?: boolean
    readonly requireInteraction?: boolean
    readonly silent?: boolean
    readonly vibrate?: readonly number[]
    readonly icon: string
    readonly badge: string
    readonly lang: string
    readonly actions?: readonly { readonly action: string; readonly title: string }[]
    readonly data: NoticeData
  }
}

/** Long enough to be felt through a pillow: a second on, a third off, four times. A design choice. */
const alarmVibration = [1000, 300, 1000, 300, 1000, 300, 1000]

/**
 * The notification for a push message. Whatever cannot be read still shows one: browsers take the permission from a page
 * that is pushed to and shows nothing, and an alarm in unknown words beats none.
 */
export function noticeOf(payload: string | null): Notice {
  const push = readPush(payload)
  if (push === null) return unreadable()
  const { title, text, priority, kind } = push
  const isLoud = !(kind === 'returned' || kind === 'summary' || (kind === 'floodOver' && priority === 'low'))
  const isRing = kind === 'ring'
  const tag = push.alarm ?? `brumal:${kind}`
  const token = tokenIn(push.acknowledgeLink)
  return {
    title,
    options: {
      body: text,
      ...common(),
      tag,
      // One alarm has one notification: the newer replaces the older, and rings anew only where it is to be heard
      ...(isLoud ? { renotify: true } : { silent: true }),
      ...(isLoud && priority === 'high' ? { requireInteraction: true, vibrate: alarmVibration } : {}),
      ...(token === null ? {} : { actions: [isRing ? itRang() : acknowledge()] }),
      data: { path: pathIn(push.link) ?? '/alarms', token, isRing, tag },
    },
  }
}

/** Says quietly what came of a tap, in the place of the notification that was tapped. */
export function answeredNotice(data: NoticeData, sentence: string): Notice {
  const title = data.isRing ? say('Test') : say('Answered')
  return {
    title,
    options: { body: sentence, ...common(), tag: data.tag, silent: true, data: { ...data, token: null } },
  }
}

/** Something that this phone has to be told about itself. */
export const plainNotice = (title: string, body: string, path: string): Notice => ({
  title,
  options: {
    body,
    ...common(),
    tag: 'brumal:phone',
    renotify: true,
    data: { path, token: null, isRing: false, tag: 'brumal:phone' },
  },
})

/** What the tapped notification carried; null for one that is not ours or is too old to read. */
export function readData(data: unknown): NoticeData | null {
  if (!isRecord(data)) return null
  const { path, token, isRing, tag } = data
  if (typeof path !== 'string' || !path.startsWith('/') || typeof tag !== 'string') return null
  return { path, token: typeof token === 'string' ? token : null, isRing: isRing === true, tag }
}

interface Push {
  readonly title: string
  readonly text: string
  readonly priority: Priority
  readonly kind: MessageKind
  readonly alarm: string | null
  readonly link: string | null
  readonly acknowledgeLink: string | null
}

const priorities: readonly string[] = ['low', 'medium', 'high'] satisfies Priority[]
const kinds: readonly string[] = [
  'raised',
  'again',
  'returned',
  'chattering',
  'flood',
  'floodOver',
  'summary',
  'ring',
] satisfies MessageKind[]

function readPush(payload: string | null): Push | null {
  const given = parsed(payload ?? '')
  if (!isRecord(given)) return null
  const { title, text, priority, kind, alarm, link, acknowledgeLink } = given
  if (typeof title !== 'string' || title === '' || typeof text !== 'string') return null
  if (!priorities.includes(priority as string) || !kinds.includes(kind as string)) return null
  return {
    title,
    text,
    priority: priority as Priority,
    kind: kind as MessageKind,
    alarm: textOrNull(alarm),
    link: textOrNull(link),
    acknowledgeLink: textOrNull(acknowledgeLink),
  }
}

/**
 * The way on our own origin that a link leads to. The origin that this worker came from is one that this phone reaches;
 * the address in the settings may be another, and no payload may open another site.
 */
function pathIn(link: string | null): string | null {
  const url = urlOf(link)
  return url === null ? null : url.pathname.replace(/^\/{2,}/, '/') + url.search + url.hash
}

/** What stands behind the # of the link that answers: it never goes into an address that a server sees (X4). */
const tokenIn = (link: string | null): string | null => urlOf(link)?.hash.slice(1) || null

function urlOf(link: string | null): URL | null {
  return link !== null && /^https?:/.test(link) && URL.canParse(link) ? new URL(link) : null
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null // not JSON: shown as unreadable
  }
}

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null

const textOrNull = (value: unknown): string | null =>
  typeof value === 'string' && value !== '' ? value : null

const common = () => ({ icon: '/icon-192.png', badge: '/badge.png', lang: spokenLanguage() })
const acknowledge = () => ({ action: 'answer', title: say('Acknowledge') })
const itRang = () => ({ action: 'answer', title: say('It rang') })

const unreadable = (): Notice => ({
  title: say('Brumal has something to say'),
  options: {
    body: say('What it is could not be read. Open Brumal and look at the alarms.'),
    ...common(),
    tag: 'brumal:unreadable',
    renotify: true,
    requireInteraction: true,
    vibrate: alarmVibration,
    data: { path: '/alarms', token: null, isRing: false, tag: 'brumal:unreadable' },
  },
})

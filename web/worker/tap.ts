import type { AnswerNow } from '../../schemas/telling-now.ts'
import type { Ask } from '../page/ask.ts'
import { answeredNotice, type Notice, type NoticeData } from './notification.ts'
import type { OpenPage, WorkerScope } from './scope.ts'

/** What a page is told by the worker when a notification was tapped while it was open. */
export interface OpenThis {
  readonly kind: 'open'
  readonly path: string
}

/**
 * Answers from the notification itself, and says what came of it. Null where the page must be opened instead: no network,
 * or a link that has had its day.
 */
export async function answerTap(ask: Ask, data: NoticeData): Promise<Notice | null> {
  if (data.token === null) return null
  const token = { token: data.token }
  const answer = await ask<AnswerNow>(
    'POST',
    data.isRing ? '/api/answer/rang' : '/api/answer/acknowledge',
    token,
  )
  if (answer.ok) return answeredNotice(data, answer.value.sentence)
  // 409: somebody else was first, or it is over. How it stands now says who
  if (answer.problem.status !== 409) return null
  const now = await ask<AnswerNow>('POST', '/api/answer', token)
  return now.ok ? answeredNotice(data, now.value.sentence) : null
}

/** Brings an open dashboard to the front, which then shows what it is about; else opens a page. */
export async function openPage(clients: WorkerScope['clients'], data: NoticeData): Promise<void> {
  const pages = await clients.matchAll({ type: 'window', includeUncontrolled: true })
  const page = pages.find(({ url }) => !byLinkOnly.has(new URL(url).pathname))
  if (page === undefined || data.isRing) await clients.openWindow(data.path)
  else await showIn(page, data.path)
}

/** Pages that stand for one link, and show nothing else. */
const byLinkOnly = new Set(['/answer', '/join'])

async function showIn(page: OpenPage, path: string): Promise<void> {
  page.postMessage({ kind: 'open', path } satisfies OpenThis)
  await page.focus()
}

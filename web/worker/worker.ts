import { say } from '../../shared/words/say.ts'
import { createAsk } from '../page/ask.ts'
import { readPhoneNote } from '../page/phone-note.ts'
import { announce, subscribe } from '../page/phone-subscription.ts'
import { soon } from '../page/soon.ts'
import { createKeptAnswers } from './kept-answers.ts'
import { noticeOf, type Notice, plainNotice, readData } from './notification.ts'
import type { SubscriptionChanged, WorkerScope } from './scope.ts'
import { createShell, type ShellFiles } from './shell.ts'
import { speakKept } from './speak-kept.ts'
import { answerTap, openPage } from './tap.ts'
import { wayOf } from './way-of.ts'

// The service worker: it rings when a push message comes, answers from the notification, and shows the last known state
// when the daemon cannot be reached.

/** Longest wait for the push service, in ms: some browsers wait for ever, and then nobody would be told. */
const servicePatienceMs = 20_000

/** Put here by the build. */
declare const SHELL_FILES: ShellFiles

const scope = self as unknown as WorkerScope
const shell = createShell(SHELL_FILES)
const kept = createKeptAnswers(() => Date.now())
const ask = createAsk((...request) => fetch(...request))
const show = ({ title, options }: Notice): Promise<void> =>
  scope.registration.showNotification(title, options)

scope.addEventListener('install', (event) => {
  event.waitUntil(shell.keep().then(() => scope.skipWaiting()))
})

scope.addEventListener('activate', (event) => {
  event.waitUntil(shell.dropEarlier().then(() => scope.clients.claim()))
})

scope.addEventListener('fetch', (event) => {
  const { request } = event
  const way = wayOf(request, scope.location.origin, SHELL_FILES.paths)
  switch (way) {
    case 'page':
      return event.respondWith(shell.page(request))
    case 'file':
      return event.respondWith(shell.file(request))
    case 'kept':
      return event.respondWith(kept.answer({ request, waitUntil: (done) => event.waitUntil(done) }))
    case 'out':
      return event.waitUntil(kept.forget())
    case 'network':
      return
    default:
      return way satisfies never
  }
})

scope.addEventListener('push', (event) => {
  const payload = event.data?.text() ?? null
  event.waitUntil(speakKept().then(() => show(noticeOf(payload))))
})

scope.addEventListener('notificationclick', (event) => {
  event.notification.close()
  const data = readData(event.notification.data)
  if (data === null) return
  event.waitUntil(
    (async () => {
      await speakKept()
      const answered = event.action === 'answer' ? await answerTap(ask, data) : null
      if (answered !== null) await show(answered)
      else await openPage(scope.clients, data).catch(() => show(couldNotOpen(data.path)))
    })(),
  )
})

scope.addEventListener('pushsubscriptionchange', (event) => {
  event.waitUntil(resubscribe(event))
})

/** The browser has given up this phone's address: another is asked for and told, or the phone says that it is out. */
async function resubscribe({ newSubscription }: SubscriptionChanged): Promise<void> {
  const note = await readPhoneNote()
  if (note === null) return
  const key = await ask<{ readonly pushKey: string }>('GET', '/api/me/phone')
  if (key.ok) {
    try {
      const subscription =
        newSubscription ?? (await soon(subscribe(scope.registration, key.value.pushKey), servicePatienceMs))
      if (subscription !== null && (await announce(ask, note.label, subscription)).ok) return
    } catch {
      // the push service gave no address: said below
    }
  }
  await speakKept()
  await show(outOfReach())
}

const outOfReach = (): Notice =>
  plainNotice(
    say('Brumal cannot ring this phone any more'),
    say('Its address has changed. Open Brumal on it and press Ring this phone under Contacts.'),
    '/contacts',
  )

/** Browsers let a worker open a page only shortly after the tap: the second tap is fresh. */
const couldNotOpen = (path: string): Notice =>
  plainNotice(say('Not answered yet'), say('Brumal did not answer. Tap here to open it.'), path)

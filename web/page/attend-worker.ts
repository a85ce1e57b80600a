import type { OpenThis } from '../worker/tap.ts'
import type { Page } from './page.ts'

/** The worker fetches every file of the page to keep it: not while the first answer and its curves are on their way, in ms. */
const afterTheFirstMs = 2000

/**
 * Starts the service worker, which keeps the page for when the network is gone and rings when a push message comes; and
 * goes where a tapped notification leads. Over plain http there is none, and the page works without.
 */
export function attendWorker(page: Page, entered: Promise<void>): void {
  if (!('serviceWorker' in navigator)) return
  const { serviceWorker } = navigator
  serviceWorker.addEventListener('message', ({ data }: MessageEvent<OpenThis>) => {
    if (data.kind !== 'open') return
    // Whoever is signed in sees the alarm on top of Tonight; for anybody else the link itself is the way in
    if (page.door.value !== 'in') location.assign(data.path)
    else page.route.go(data.path.startsWith('/answer') ? '/' : data.path)
  })
  // On the very first visit the worker comes after the first answers: it is given others to keep
  serviceWorker.addEventListener('controllerchange', () => {
    if (page.door.value === 'in') void page.refresh()
  })
  // Refused where the certificate is not trusted; Ring this phone says so to whoever asks for it
  void entered
    .then(() => new Promise((resolve) => setTimeout(resolve, afterTheFirstMs)))
    .then(() => serviceWorker.register('/sw.js', { updateViaCache: 'none' }))
    .catch(() => undefined)
}

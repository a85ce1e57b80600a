import type { Problem } from '../../schemas/api.ts'
import type { ThisPhone } from '../../schemas/phone.ts'
import type { Ask } from '../page/ask.ts'
import { writePhoneNote } from '../page/phone-note.ts'
import { announce, subscribe } from '../page/phone-subscription.ts'
import type { Hurdle } from './phone-words.ts'

/** Longest wait for the service worker to start, in ms: it is a few kB that the browser mostly has already. */
const workerPatienceMs = 10_000

export type Rung =
  | { readonly ok: true; readonly value: ThisPhone }
  | { readonly ok: false; readonly hurdle: Hurdle }
  | { readonly ok: false; readonly problem: Problem }

/** What stands in the way before anything is asked; null when nothing does. */
export function hurdleNow(): Hurdle | null {
  if (!isSecureContext) return 'insecure'
  if (!('serviceWorker' in navigator && 'PushManager' in window && 'Notification' in window))
    return isTouchApple() && !isInstalled() ? 'homeScreen' : 'noPush'
  return Notification.permission === 'denied' ? 'refused' : null
}

/** Call it from the press of a button: browsers answer the question for permission only there. */
export async function ringThisPhone(ask: Ask, label: string): Promise<Rung> {
  const permission = await Notification.requestPermission()
  if (permission !== 'granted')
    return { ok: false, hurdle: permission === 'denied' ? 'refused' : 'dismissed' }
  const key = await ask<{ readonly pushKey: string }>('GET', '/api/me/phone')
  if (!key.ok) return key
  const registration = await worker()
  if (registration === null) return { ok: false, hurdle: 'noWorker' }
  try {
    return await announce(ask, label, await subscribe(registration, key.value.pushKey))
  } catch (error) {
    // Push API §3.1: NotAllowedError for a refused permission; else the service could not be used
    const isRefused = error instanceof DOMException && error.name === 'NotAllowedError'
    return { ok: false, hurdle: isRefused ? 'refused' : 'noService' }
  }
}

/** Whether this browser has an address that the push service still knows. */
export async function isRung(): Promise<boolean> {
  const registration = await navigator.serviceWorker.getRegistration()
  return (await registration?.pushManager.getSubscription()) != null
}

/** Gives the address up: the push service refuses messages to it from now on. */
export async function stopRinging(): Promise<void> {
  const registration = await navigator.serviceWorker.getRegistration()
  await (await registration?.pushManager.getSubscription())?.unsubscribe()
  await writePhoneNote(null)
}

async function worker(): Promise<ServiceWorkerRegistration | null> {
  const never = new Promise<null>((resolve) => setTimeout(() => resolve(null), workerPatienceMs))
  try {
    await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' })
    return await Promise.race([navigator.serviceWorker.ready, never])
  } catch {
    return null // SecurityError for a certificate that is not trusted; TypeError for one that was not fetched
  }
}

/** A tablet of theirs calls itself a Mac, but has a screen to touch. */
const isTouchApple = (): boolean =>
  /iPhone|iPad/.test(navigator.userAgent) ||
  (/Macintosh/.test(navigator.userAgent) && navigator.maxTouchPoints > 1)

const isInstalled = (): boolean => matchMedia('(display-mode: standalone)').matches

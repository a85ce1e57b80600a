import type { Problem } from '../../schemas/api.ts'
import type { ThisPhone } from '../../schemas/phone.ts'
import type { Ask } from '../page/ask.ts'
import { writePhoneNote } from '../page/phone-note.ts'
import { announce, subscribe } from '../page/phone-subscription.ts'
import { soon } from '../page/soon.ts'
import type { Hurdle } from './phone-words.ts'

/** Longest wait for the service worker to start, in ms: it is a few kB that the browser mostly has already. */
const workerPatienceMs = 10_000
/** Longest wait for the push service, in ms: without a way to it, some browsers wait for ever and say nothing. */
const servicePatienceMs = 20_000

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
    const subscription = await soon(subscribe(registration, key.value.pushKey), servicePatienceMs)
    if (subscription === null) return { ok: false, hurdle: 'noService' }
    return await announce(ask, label, subscription)
  } catch (error) {
    // Push API §3.1: NotAllowedError for a refused permission; else the service could not be used
    const isRefused = error instanceof DOMException && error.name === 'NotAllowedError'
    return { ok: false, hurdle: isRefused ? 'refused' : 'noService' }
  }
}

/** Whether this browser has an address that the push service still knows. */
export async function isRung(): Promise<boolean> {
  const registration = await navigator.serviceWorker.getRegistration()
  const subscription = await registration?.pushManager.getSubscription()
  return subscription !== null && subscription !== undefined
}

/** Gives the address up: the push service refuses messages to it from now on. */
export async function stopRinging(): Promise<void> {
  const registration = await navigator.serviceWorker.getRegistration()
  await (await registration?.pushManager.getSubscription())?.unsubscribe()
  await writePhoneNote(null)
}

async function worker(): Promise<ServiceWorkerRegistration | null> {
  try {
    await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' })
    return await soon(navigator.serviceWorker.ready, workerPatienceMs)
  } catch {
    return null // SecurityError for a certificate that is not trusted; TypeError for one that was not fetched
  }
}

/** A tablet of theirs calls itself a Mac, but has a screen to touch. */
const isTouchApple = (): boolean =>
  /iPhone|iPad/.test(navigator.userAgent) ||
  (/Macintosh/.test(navigator.userAgent) && navigator.maxTouchPoints > 1)

const isInstalled = (): boolean => matchMedia('(display-mode: standalone)').matches

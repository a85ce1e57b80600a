import type { Notice } from './notification.ts'

// lib.webworker and lib.dom contradict each other and cannot stand in one program: this is what the worker uses.

interface Extendable {
  waitUntil(done: Promise<unknown>): void
}

export interface Fetching extends Extendable {
  readonly request: Request
  respondWith(answer: Promise<Response>): void
}

interface Pushed extends Extendable {
  readonly data: { text(): string } | null
}

interface Clicked extends Extendable {
  readonly action: string
  readonly notification: { readonly data: unknown; close(): void }
}

export interface SubscriptionChanged extends Extendable {
  readonly newSubscription?: PushSubscription | null
}

/** An open page of ours. */
export interface OpenPage {
  readonly url: string
  focus(): Promise<unknown>
  postMessage(message: unknown): void
}

interface Registration {
  readonly pushManager: PushManager
  showNotification(title: string, options: Notice['options']): Promise<void>
}

/** Events by their names. */
interface Events {
  readonly install: Extendable
  readonly activate: Extendable
  readonly fetch: Fetching
  readonly push: Pushed
  readonly notificationclick: Clicked
  readonly pushsubscriptionchange: SubscriptionChanged
}

/** Global scope of a service worker, as far as this one uses it. */
export interface WorkerScope {
  readonly location: { readonly origin: string }
  readonly registration: Registration
  readonly clients: {
    claim(): Promise<void>
    matchAll(which: {
      readonly type: 'window'
      readonly includeUncontrolled: true
    }): Promise<readonly OpenPage[]>
    openWindow(path: string): Promise<unknown>
  }
  skipWaiting(): Promise<void>
  addEventListener<Kind extends keyof Events>(kind: Kind, listener: (event: Events[Kind]) => void): void
}

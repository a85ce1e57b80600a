import type { BrowserContext, CDPSession, Page, Worker } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import type { TellingNow } from '../../schemas/telling-now.ts'
import { isChromiumHere } from '../support/chromium.ts'
import { type CertificateFolder, certificateFolder } from '../support/channel-world.ts'
import { type Daemon, keeper, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { goTo } from '../support/go-to.ts'
import { oneChromium } from '../support/one-chromium.ts'
import { type PushService, startPushService } from '../support/push-service.ts'
import { hasShown, noteShown } from '../support/shown-notices.ts'
import { until } from '../support/until.ts'

/**
 * The browser's own push service is on the internet, which tests have not: `subscribe` alone is replaced, by a
 * subscription at the local push service. Everything else is real: the worker, the daemon's encrypted message, its
 * decryption with the subscription's keys, the push event in the worker, and the notification.
 */
describe.skipIf(!isChromiumHere)('the installed page on a phone', () => {
  const browser = oneChromium({ isWhole: true })
  let certificates: CertificateFolder
  let service: PushService
  let daemon: Daemon
  let context: BrowserContext
  let page: Page

  beforeAll(() => {
    certificates = certificateFolder()
  })
  afterAll(() => certificates.remove())
  afterEach(async () => {
    await context.close()
    await daemon.stop()
    await service.stop()
  })

  async function signIn(): Promise<void> {
    service = await startPushService(certificates.good)
    daemon = await startDaemon({ env: { NODE_EXTRA_CA_CERTS: certificates.ca } })
    await tortoiseHouse(daemon)
    context = await browser().newContext({ viewport: { width: 390, height: 800 }, locale: 'en-GB' })
    await context.grantPermissions(['notifications'], { origin: daemon.url })
    page = await context.newPage()
    await page.goto(daemon.url)
    await page.getByLabel('Name').fill(keeper.name)
    await page.getByLabel('Password').fill(keeper.password)
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByRole('navigation').waitFor()
  }

  /** Presses the button; gives the subscription that the daemon was told. */
  async function ringThisPhone() {
    const { pushKey } = await daemon.call<TellingNow>('GET', '/api/telling')
    const phone = service.subscribe(pushKey)
    const { endpoint, p256dh, auth } = phone.secret
    await page.evaluate(
      (subscription) => {
        PushManager.prototype.subscribe = async () =>
          ({ ...subscription, toJSON: () => subscription }) as unknown as PushSubscription
      },
      { endpoint, keys: { p256dh, auth } },
    )
    await goTo(page, 'Contacts')
    await page.getByRole('button', { name: 'Ring this phone' }).click()
    await until(
      async () => (await daemon.call<TellingNow>('GET', '/api/telling')).contacts.length === 1,
      'the phone to be a channel',
    )
    await until(() => context.serviceWorkers().length > 0, 'the service worker')
    return phone
  }

  const worker = (): Worker => {
    const [found] = context.serviceWorkers()
    if (found === undefined) throw new Error('no service worker')
    return found
  }

  /** Gives the worker what the push service took, as a phone's browser does. */
  async function deliver(plaintext: string): Promise<void> {
    const cdp: CDPSession = await context.newCDPSession(page)
    const registrations: { registrationId: string; scopeURL: string; isDeleted: boolean }[] = []
    cdp.on('ServiceWorker.workerRegistrationUpdated', (event) => registrations.push(...event.registrations))
    await cdp.send('ServiceWorker.enable')
    await until(() => registrations.some(({ isDeleted }) => !isDeleted), 'the worker’s registration')
    const registrationId = registrations.findLast(({ isDeleted }) => !isDeleted)?.registrationId ?? ''
    await cdp.send('ServiceWorker.deliverPushMessage', {
      origin: daemon.url,
      registrationId,
      data: plaintext,
    })
    await cdp.detach()
  }

  const notices = () =>
    worker().evaluate(async () => {
      const { registration } = self as unknown as { registration: ServiceWorkerRegistration }
      return (await registration.getNotifications()).map(
        ({ title, body, tag, data, requireInteraction }) => ({
          title,
          body,
          tag,
          data: data as unknown,
          requireInteraction,
          actions: [] as string[],
        }),
      )
    })

  /** Taps the shown notification's button, as the platform reports it to the worker. */
  const tap = (action: string) =>
    worker().evaluate(async (button) => {
      const scope = self as unknown as {
        registration: ServiceWorkerRegistration
        dispatchEvent(event: Event): boolean
        NotificationEvent: new (kind: string, init: object) => Event
      }
      const [notification] = await scope.registration.getNotifications()
      scope.dispatchEvent(new scope.NotificationEvent('notificationclick', { notification, action: button }))
    }, action)

  test('A6: it subscribes, is rung by a real push message, and acknowledges from the notification', async () => {
    await signIn()
    const phone = await ringThisPhone()
    const { contacts } = await daemon.call<TellingNow>('GET', '/api/telling')
    expect(contacts).toMatchObject([
      {
        contact: { name: keeper.name, person: 'ada' },
        channels: [{ channel: { kind: 'push' }, hasSecret: true }],
      },
    ])

    await daemon.publish('brumal/in/probe', senml(-1, Date.now() - 300_000))
    await daemon.publish('brumal/in/probe', senml(-1, Date.now() - 1000))
    await until(() => phone.taken.length === 1, 'the push message', 20_000)
    expect(service.faults).toEqual([])
    await noteShown(worker())
    await deliver(phone.taken[0]?.plaintext ?? '')
    await hasShown(worker, 'ALARM: Low shelf box −1.0 °C, dangerously cold')
    const [notice] = await notices()
    expect(notice).toMatchObject({
      title: 'ALARM: Low shelf box −1.0 °C, dangerously cold',
      tag: 'limit:box:temperature:lowCritical',
      requireInteraction: true,
    })
    expect(notice?.body).toContain('There: Juno')

    await tap('answer')
    await until(async () => (await daemon.alarms()).standing[0]?.state.name === 'acknowledged', 'the answer')
    expect((await daemon.alarms()).standing[0]?.state).toMatchObject({ by: 'Ada' })
    await hasShown(worker, 'Answered')
    expect((await notices())[0]?.body).toMatch(/^Ada acknowledged it at \d\d:\d\d\./)
  }, 60_000)

  test('the page opens without the daemon, shows what was last known, and says loudly how old it is', async () => {
    await signIn()
    await daemon.publish('brumal/in/probe', senml(5.2))
    await page.getByText('5.2').first().waitFor()
    // It comes some seconds after the first answer, and keeps what is asked for from the next visit on
    await page.evaluate(async () => void (await navigator.serviceWorker.ready))
    await page.reload()
    await page.getByText('Juno is safe tonight').waitFor()
    await until(
      () =>
        page.evaluate(async () => {
          const kept = await Promise.all(['/api/tonight', '/api/household'].map((path) => caches.match(path)))
          return kept.every((answer) => answer !== undefined)
        }),
      'the last answers to be kept',
    )
    await daemon.kill('SIGTERM')
    await page.reload()
    await page.getByText('Low shelf box').first().waitFor({ timeout: 30_000 })
    await page.getByRole('alert').first().waitFor()
    expect(await page.getByRole('alert').first().innerText()).toMatch(/no answer|not answer|last|old|ago/i)
  }, 60_000)
})

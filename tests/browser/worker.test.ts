import type { BrowserContext, CDPSession, Page, Worker } from 'playwright-core'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { pushPayload } from '../../daemon/notify/push-payload.ts'
import type { TellingNow } from '../../schemas/telling-now.ts'
import { isChromiumHere } from '../support/chromium.ts'
import { aParcel, type Change } from '../support/channel-world.ts'
import { goTo } from '../support/go-to.ts'
import { oneChromium } from '../support/one-chromium.ts'
import { hasShown, noteShown } from '../support/shown-notices.ts'
import { until } from '../support/until.ts'
import { startWebFixture, type WebFixture } from '../support/web-fixture-server.ts'

const webRoot = new URL('../../dist/web/', import.meta.url).pathname

interface Shown {
  readonly title: string
  readonly body: string
  readonly requireInteraction: boolean
  readonly silent: boolean
}

// The built service worker in a real browser: push messages are handed to it by the browser's own inspector
describe.skipIf(!isChromiumHere)('the installed page', () => {
  const browser = oneChromium({ isWhole: true })
  let context: BrowserContext
  let fixture: WebFixture
  let page: Page
  let inspector: CDPSession
  let registrationId: string

  beforeEach(async () => {
    fixture = await startWebFixture(webRoot, 'alarm', 0)
    context = await browser().newContext({ viewport: { width: 360, height: 740 }, locale: 'en-GB' })
    await context.grantPermissions(['notifications'], { origin: fixture.url })
    page = await context.newPage()
    page.setDefaultTimeout(15_000)
    inspector = await context.newCDPSession(page)
    const registered = new Promise<string>((resolve) => {
      inspector.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
        const [first] = registrations
        if (first !== undefined) resolve(first.registrationId)
      })
    })
    await inspector.send('ServiceWorker.enable')
    await page.goto(`${fixture.url}/winter`)
    await page.getByRole('heading', { level: 1 }).waitFor()
    registrationId = await registered
    // Once it has taken the page over, the answers that it may need one day are kept
    await until(() => page.evaluate(() => caches.has('brumal-kept')), 'the last answers to be kept')
    await noteShown(worker())
  })
  afterEach(async () => {
    await context.close()
    await fixture.close().catch(() => undefined) // one test closes it itself
  })

  async function push(data: string): Promise<void> {
    await inspector.send('ServiceWorker.deliverPushMessage', { origin: fixture.url, registrationId, data })
  }

  const alarm = (change: Change = {}, token = 'cold') =>
    pushPayload(
      aParcel({
        ...change,
        message: {
          link: `https://brumal.house.example/answer#${token}`,
          acknowledgeLink: `https://brumal.house.example/answer?now#${token}`,
          ...change.message,
        },
      }),
      3993,
    )

  const shown = (): Promise<Shown[]> =>
    page.evaluate(async () => {
      const { getNotifications } = ServiceWorkerRegistration.prototype
      const all = await getNotifications.call(await navigator.serviceWorker.ready)
      return all.map(({ title, body, requireInteraction, silent }) => ({
        title,
        body,
        requireInteraction,
        silent: silent ?? false,
      }))
    })
  const showing = async (title: string): Promise<Shown[]> => {
    await hasShown(worker, title)
    return shown()
  }

  const worker = (): Worker => {
    const [one] = context.serviceWorkers()
    if (one === undefined) throw new Error('no worker runs')
    return one
  }

  /** The browser tells its worker that this phone's address has changed, and to what where it knows. */
  async function changeAddress(newSubscription: object | null): Promise<void> {
    await page.evaluate(async () => {
      const note = { label: 'Old phone', contact: 'robin', channel: 'robin-phone' }
      await (await caches.open('brumal-phone')).put('/phone', Response.json(note))
    })
    await worker().evaluate((given) => {
      const { ExtendableEvent } = self as unknown as { ExtendableEvent: new (kind: string) => Event }
      const event = new ExtendableEvent('pushsubscriptionchange')
      const more = given === null ? {} : { newSubscription: { toJSON: () => given } }
      self.dispatchEvent(Object.assign(event, more))
    }, newSubscription)
  }

  /** Taps the notification, or its button, as the platform would. */
  async function tap(action: '' | 'answer'): Promise<void> {
    await worker().evaluate(async (action) => {
      const scope = self as unknown as {
        registration: ServiceWorkerRegistration
        NotificationEvent: new (kind: string, init: object) => Event
      }
      const [notification] = await scope.registration.getNotifications()
      self.dispatchEvent(new scope.NotificationEvent('notificationclick', { notification, action }))
    }, action)
  }

  test('A6: a push message is shown as it was written; the newer of one alarm takes the older’s place', async () => {
    await push(alarm())
    expect(await showing('ALARM Box 1 0.4 °C, too cold')).toMatchObject([
      {
        body: 'Box 1 is too cold.\nFirst: look at the fridge door.',
        requireInteraction: true,
        silent: false,
      },
    ])
    await push(alarm({ kind: 'returned', message: { title: 'Over: Box 1', priority: 'low' } }))
    expect(await showing('Over: Box 1')).toMatchObject([{ requireInteraction: false, silent: true }])
  })

  test('N1: a push message that cannot be read is shown all the same', async () => {
    await push('{"title":')
    expect(await showing('Brumal has something to say')).toHaveLength(1)
  })

  test('A4: the button of the notification acknowledges, and the notification says so', async () => {
    await push(alarm())
    await showing('ALARM Box 1 0.4 °C, too cold')
    await page.request.post(`${fixture.url}/api/answer`, { data: { token: 'cold' } })
    await tap('answer')
    const [answered, ...others] = await showing('Answered')
    expect(answered?.body).toMatch(/^Robin acknowledged it at /)
    expect(answered?.silent).toBe(true)
    expect(others).toEqual([])
  })

  test('a tap brings the open dashboard to the alarm', async () => {
    await push(alarm())
    await showing('ALARM Box 1 0.4 °C, too cold')
    await tap('')
    await page.waitForURL(`${fixture.url}/`)
    await page.getByRole('heading', { level: 1, name: /^No: Top box is dangerously cold/ }).waitFor()
    expect((await shown()).map(({ title }) => title)).not.toContain('ALARM Box 1 0.4 °C, too cold')
  })

  test('N1: a phone whose address has changed tells the daemon, under the name that it had', async () => {
    const keys = { p256dh: 'B'.repeat(87), auth: 'A'.repeat(22) }
    await changeAddress({ endpoint: 'https://push.house.example/another', keys })
    await until(async () => {
      const told = (await (await page.request.get(`${fixture.url}/api/telling`)).json()) as TellingNow
      return told.contacts[0]?.channels.at(-1)?.channel.label === 'Old phone'
    }, 'the new address to be known')
    expect(await shown()).toEqual([])
  })

  test('N1: a phone that has lost its address and gets no other says so', async () => {
    await changeAddress(null)
    const [notice] = await showing('Brumal cannot ring this phone any more')
    expect(notice?.body).toContain('press Ring this phone')
  })

  test('N1: without the daemon the page opens on what it knew last, and says loudly how old that is', async () => {
    await fixture.close()
    await page.goto(`${fixture.url}/tonight`)
    await page.getByText(/^This page has heard nothing from Brumal since \d\d:\d\d/).waitFor()
    await page.getByRole('heading', { level: 1, name: /^Unknown since \d\d:\d\d\./ }).waitFor()
    await page.getByText('The last answer was: No: Top box is dangerously cold').waitFor()
    await page.getByText('Top probe').first().waitFor()
    await goTo(page, 'Contacts')
    await page.getByText('Brumal has not said yet who you are.').waitFor() // its code too is at hand
  })

  test('N1: a network that swallows everything keeps nobody waiting for long', async () => {
    fixture.stall()
    const asked = performance.now()
    await page.goto(`${fixture.url}/tonight`)
    await page.getByText(/^This page has heard nothing from Brumal since/).waitFor()
    expect(performance.now() - asked).toBeLessThan(15_000) // 3 s for the page, 4 s each for who and what
    await page.getByRole('heading', { level: 1, name: /^Unknown since/ }).waitFor()
  })

  test('X1: after signing out nothing is left to read without the daemon', async () => {
    await page.getByRole('button', { name: 'Sign out' }).click()
    await page.getByRole('heading', { level: 1, name: 'Sign in' }).waitFor()
    await until(() => page.evaluate(async () => !(await caches.has('brumal-kept'))), 'the answers to be gone')
    await fixture.close()
    await page.goto(`${fixture.url}/tonight`)
    await page.getByRole('heading', { level: 1, name: 'Brumal does not answer' }).waitFor()
    expect(await page.content()).not.toContain('Top box')
  })

  test('X4: of the API nothing is kept but the two answers, and the page’s own files', async () => {
    await page.goto(`${fixture.url}/contacts`)
    await page.getByRole('article', { name: 'Robin' }).waitFor()
    const kept = await page.evaluate(async () => {
      const names = await caches.keys()
      const requests = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()))
      return requests.flat().map(({ url }) => new URL(url).pathname)
    })
    const ofApi = kept.filter((path) => path.startsWith('/api/')).sort()
    expect(ofApi).toEqual(['/api/household', '/api/tonight'])
    const others = kept.filter((path) => !path.startsWith('/api/') && !path.startsWith('/assets/'))
    expect(others.sort()).toEqual(['/', '/icon.svg'])
  })
})

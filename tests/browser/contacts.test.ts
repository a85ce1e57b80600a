import type { BrowserContext, Page } from 'playwright-core'
import { afterEach, describe, expect, test } from 'vitest'
import type { TellingNow } from '../../schemas/telling-now.ts'
import { isChromiumHere, openChromium } from '../support/chromium.ts'
import { complaintsOf } from '../support/complaints.ts'
import { keeper, startDaemon } from '../support/daemon.ts'
import { goTo } from '../support/go-to.ts'
import { startHttpReceiver } from '../support/http-receiver.ts'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { oneChromium } from '../support/one-chromium.ts'
import { until } from '../support/until.ts'
import type { Scene } from '../support/web-fixture-scene.ts'
import { startWebFixture, type WebFixture } from '../support/web-fixture-server.ts'

const webRoot = new URL('../../dist/web/', import.meta.url).pathname

// The built page and its worker in a real browser, over invented answers
describe.skipIf(!isChromiumHere)('telling people, by the screen', () => {
  const browser = oneChromium()
  const ringing = oneChromium({ isWhole: true })
  let context: BrowserContext
  let fixture: WebFixture
  let page: Page
  let complaints: readonly string[]

  afterEach(async () => {
    await context.close()
    await fixture.close()
  })

  async function open(scene: Scene, path = '/contacts', width = 360, from = browser): Promise<void> {
    fixture = await startWebFixture(webRoot, scene, 0)
    context = await from().newContext({
      viewport: { width, height: 740 },
      locale: 'en-GB',
      reducedMotion: 'reduce',
    })
    page = await context.newPage()
    page.setDefaultTimeout(15_000)
    complaints = complaintsOf(page)
    await page.goto(fixture.url + path)
    await page.getByRole('heading', { level: 1 }).waitFor()
  }

  const button = (name: string | RegExp) => page.getByRole('button', { name })
  const telling = async (): Promise<TellingNow> =>
    (await (await page.request.get(`${fixture.url}/api/telling`)).json()) as TellingNow
  const names = async (): Promise<string[]> => (await telling()).contacts.map((one) => one.contact.name)

  test('from nobody to a phone that rings: a contact, a relay with its token, a test that is heard (A4, S1)', async () => {
    await open('empty')
    await page.getByText('Nobody is told yet.').waitFor()
    await page.getByText('No phone rings, whatever happens, until a contact is added.').waitFor()

    await button('Add a contact').click()
    const form = page.getByRole('form', { name: 'New contact' })
    await form.getByLabel('Name').fill('Ada')
    await form.getByLabel('Temperatures in').selectOption('fahrenheit')
    await form.getByLabel('Of their own').check()
    await form.getByRole('button', { name: 'Save' }).click()
    const ada = page.getByRole('article', { name: 'Ada' })
    await ada.getByText('quiet 22:00 to 06:30').waitFor()
    await ada.getByText('Nothing reaches Ada yet.').waitFor()

    await button('Add a channel for Ada').click()
    const channel = page.getByRole('form', { name: 'New channel for Ada' })
    await channel.getByLabel('What to call it').fill('Bedside')
    await channel.getByLabel('Address with its topic').fill('https://relay.house.example/dusk')
    await channel.getByLabel('Token').fill('tk-2718')
    await channel.getByRole('button', { name: 'Save' }).click()
    await ada.getByText('Never tested.').waitFor()
    expect((await telling()).contacts[0]).toMatchObject({
      contact: { units: 'fahrenheit', quiet: { from: '22:00' } },
      channels: [{ hasSecret: true, channel: { kind: 'relay', label: 'Bedside' } }],
    })

    await button('Ring it by Bedside').click()
    await ada.getByText('Did it ring?').waitFor()
    await button(/^It did not/).click()
    await ada.getByText(/listen to this very topic/).waitFor()
    await button(/^It rang/).click()
    await ada.getByText(/^Last rung: /).waitFor()

    // X4: what is kept is never shown again
    await button('Change Bedside').click()
    await page.getByText('A token is kept. Type a new one to replace it.').waitFor()
    expect(await page.getByLabel('Token').inputValue()).toBe('')
    expect(await page.content()).not.toContain('tk-2718')
    expect(complaints).toEqual([])
  })

  test('the order is changed by keyboard, and the focus stays where the hand is', async () => {
    await open('safe')
    expect(await names()).toEqual(['Robin', 'Bela'])
    await button('Tell Bela earlier').focus()
    await page.keyboard.press('Enter')
    await page.getByText('Bela is now number 1 of 2.').waitFor()
    expect(await names()).toEqual(['Bela', 'Robin'])
    const focused = () => page.evaluate(() => document.activeElement?.getAttribute('aria-label'))
    expect(await focused()).toBe('Tell Bela earlier')
    await page.keyboard.press('Enter') // no further: nothing happens, and the focus is not lost
    expect(await focused()).toBe('Tell Bela earlier')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Enter')
    await until(async () => (await names())[0] === 'Robin', 'Robin to be told first again')
  })

  test('what was removed can be put back, and says which secrets are lost', async () => {
    await open('safe')
    await button('Remove Robin').click()
    await until(async () => (await names()).join() === 'Bela', 'Robin to be gone')
    await button('Undo').click()
    await page.getByText(/press Ring this phone on Android phone again; type the token of/).waitFor()
    expect(await names()).toEqual(['Robin', 'Bela'])
    const [robin] = (await telling()).contacts
    expect(robin?.channels.map(({ channel }) => channel.kind)).toEqual(['relay'])
  })

  test('a template’s mistake is told in the daemon’s words, and nothing typed is lost', async () => {
    await open('unreached')
    await button('Add a channel for Bela').click()
    const form = page.getByRole('form', { name: 'New channel for Bela' })
    expect(await form.getByLabel('By').locator('option[value=mail]').isDisabled()).toBe(true)
    await form.getByText(/Mail needs a mail server in the settings/).waitFor()
    await form.getByLabel('By').selectOption('webhook')
    await form.getByLabel('Address').fill('https://gateway.house.example/send')
    await form.getByLabel('Content').selectOption('application/x-www-form-urlencoded')
    expect(await form.getByLabel('Body').inputValue()).toMatch(/^title=\{\{title\}\}&/)
    await form.getByLabel('Body').fill('m={{titel}}')
    await form.getByRole('button', { name: 'Save' }).click()
    expect(await form.getByRole('alert').innerText()).toContain('There is no placeholder {{titel}}.')
    expect(await form.getByLabel('Body').inputValue()).toBe('m={{titel}}')
    await form.getByLabel('Body').fill('m={{title}}')
    await form.getByRole('button', { name: 'Save' }).click()
    await form.waitFor({ state: 'detached' })
    expect((await telling()).contacts[1]?.channels.at(-1)?.channel).toMatchObject({
      contentType: 'application/x-www-form-urlencoded',
      template: 'm={{title}}',
    })
  })

  test('N1: who cannot be reached is named on every screen, and what became of the messages on one', async () => {
    await open('unreached', '/')
    await page.getByText(/Robin’s Android phone has not been tested for 31 days/).waitFor()
    for (const screen of ['Tonight', 'Winter', 'Alarms', 'Set-up', 'Contacts']) {
      await goTo(page, screen)
      const banner = page.getByRole('complementary', { name: 'Who cannot be reached' })
      expect(await banner.innerText()).toContain('Bela cannot be reached by any channel.')
    }
    await page.getByText('fails', { exact: false }).first().waitFor()
    await page.getByRole('navigation').getByRole('link', { name: 'Alarms' }).click()
    const list = page.getByRole('region', { name: 'Messages' }).getByRole('listitem')
    await list.first().waitFor()
    expect(await list.count()).toBe(20)
    await page
      .getByText(/Bela, by Text messages: Not delivered yet\. .* Next try in \d+ (?:s|min)\./)
      .waitFor()
    await page.getByText(/Bela, by Text messages: Failed after 9 tries\./).waitFor()
    await page.getByText('Robin, by Bedside relay: No longer needed.').waitFor()
    await button('More messages').click()
    await until(async () => (await list.count()) === 27, 'the rest of the messages')
  })

  test('X1: a sitter sees who is told, and may have their own phone rung', async () => {
    await open('sitter')
    await page.getByText('Told in this order: Robin, Bela. Only a keeper changes that.').waitFor()
    await button('Ring this phone').waitFor()
    expect(await page.getByRole('button', { name: /Add|Change|Remove|Ring it/ }).count()).toBe(0)
  })

  test('a phone that may not be rung says why, and how to undo it', async () => {
    await open('safe', '/contacts', 360, ringing)
    await button('Ring this phone').click() // headless, the browser refuses without asking
    await page.getByText('This browser has been told not to let this page notify you.').waitFor()
    await page.getByText(/Press the sign beside the address/).waitFor()
  })

  test('a private window, which has no push service, gets an answer too', async () => {
    await open('safe', '/contacts', 360, ringing)
    await context.grantPermissions(['notifications'], { origin: fixture.url })
    await page.reload()
    await button('Ring this phone').click()
    await page.getByText('The push service of this browser gave no address.').waitFor()
    await page.getByText(/no private window/).waitFor()
    expect((await telling()).contacts[0]?.channels).toHaveLength(2)
  })

  test('over plain http the page says that a phone needs https', async () => {
    await open('safe')
    // A name that is not this machine's own makes http insecure (Secure Contexts §3.1)
    const context2 = await browser().newContext()
    const insecure = await context2.newPage()
    await insecure.route('http://brumal.house.example/**', async (route) => {
      const { pathname, search } = new URL(route.request().url())
      if (pathname === '/api/live') await route.abort()
      else await route.fulfill({ response: await route.fetch({ url: fixture.url + pathname + search }) })
    })
    await insecure.goto('http://brumal.house.example/contacts')
    await insecure.getByText('This page was opened over plain http.', { exact: false }).waitFor()
    expect(await insecure.getByRole('button', { name: 'Ring this phone' }).count()).toBe(0)
    await context2.close()
  })

  test.each([
    [320, 'light'],
    [1280, 'dark'],
  ] as const)('axe finds nothing wrong with contacts at %i px, %s (WCAG 2.2 AA)', async (width, light) => {
    await open('unreached', '/contacts', width)
    await page.emulateMedia({ colorScheme: light })
    await button('Add a contact').click()
    await button('Change Text messages').click()
    await button('Add a header').click()
    await button('Ring it by Android phone').click()
    await page.getByText('Did it ring?').waitFor()
    expect(await violationsOn(page)).toEqual([])
    expect(await isTooWide(page)).toBe(false)
  })
})

describe.skipIf(!isChromiumHere)('telling people, by the screen of the running daemon', () => {
  test('S1: a relay is added, rung and heard, and the message stands among the messages', async () => {
    const daemon = await startDaemon()
    const receiver = await startHttpReceiver()
    const browser = await openChromium()
    try {
      const page = await (await browser.newContext({ viewport: { width: 360, height: 740 } })).newPage()
      page.setDefaultTimeout(15_000)
      await page.goto(`${daemon.url}/contacts`)
      await page.getByLabel('Name').fill(keeper.name)
      await page.getByLabel('Password').fill(keeper.password)
      await page.getByRole('button', { name: 'Sign in' }).click()
      await page.getByRole('button', { name: 'Add a contact' }).click()
      const contact = page.getByRole('form', { name: 'New contact' })
      await contact.getByLabel('Name').fill('Cleo')
      await contact.getByLabel('Signs in as').selectOption({ label: `${keeper.name}, keeper` })
      await contact.getByRole('button', { name: 'Save' }).click()
      await page.getByRole('button', { name: 'Add a channel for Cleo' }).click()
      const channel = page.getByRole('form', { name: 'New channel for Cleo' })
      await channel.getByLabel('Address with its topic').fill(`${receiver.origin}/dusk`)
      await channel.getByLabel('Token').fill('tk-31415')
      await channel.getByRole('button', { name: 'Save' }).click()

      await page.getByRole('button', { name: 'Ring it by Push relay' }).click()
      await page.getByText('Did it ring?').waitFor()
      expect(receiver.requests.at(-1)?.headers).toMatchObject({ authorization: 'Bearer tk-31415' })
      await page.getByRole('button', { name: /^It rang/ }).click()
      await page.getByText('Last rung: just now.').waitFor()
      expect(await page.content()).not.toContain('tk-31415')

      await page.getByRole('navigation').getByRole('link', { name: 'Alarms' }).click()
      await page.getByText(/^Cleo, by Push relay: Delivered\./).waitFor()
      await page.getByText(`${keeper.name} heard the test for Cleo ring.`, { exact: false }).waitFor()
      const told = await daemon.call<TellingNow>('GET', '/api/telling')
      expect(told.contacts[0]?.contact.person).toBe('ada')
    } finally {
      await browser.close()
      await receiver.stop()
      await daemon.stop()
    }
  })
})

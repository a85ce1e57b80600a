import mqtt from 'mqtt'
import type { Locator, Page } from 'playwright-core'
import { afterEach, describe, expect, test } from 'vitest'
import type { Connection } from '../../schemas/api.ts'
import { type Daemon, keeper, senml, startDaemon } from '../support/daemon.ts'
import { goTo } from '../support/go-to.ts'
import { startHttpReceiver } from '../support/http-receiver.ts'
import { violationsOnPhoneAndDesk } from '../support/look-at.ts'
import { oneChromium } from '../support/one-chromium.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'

/** What a person does from the empty folder to a guarded box: presses, and fields filled in. */
const mostPresses = 18
const mostFields = 9

describe.skipIf(!isChromiumHere)('the first steps, on the running daemon', () => {
  const browser = oneChromium()
  let daemon: Daemon
  let page: Page
  afterEach(async () => {
    await page.context().close()
    await daemon.stop()
  })

  async function open(width: number): Promise<void> {
    const context = await browser().newContext({
      viewport: { width, height: 800 },
      locale: 'en-GB',
      timezoneId: 'Europe/Vienna',
      reducedMotion: 'reduce',
    })
    page = await context.newPage()
    page.setDefaultTimeout(15_000)
    await page.goto(daemon.url)
  }
  const part = () => page.getByRole('region', { name: 'First steps' })
  const next = () => part().locator('[aria-current=step]').getByRole('heading').innerText()
  const isAt = (step: string) => until(async () => (await next()) === step, `the step ${step}`)

  test('from an empty folder to a guarded box whose phone has rung, one step after the other', {
    timeout: 90_000,
  }, async () => {
    daemon = await startDaemon({ isNew: true, env: { BRUMAL_TIMEZONE: 'UTC' } })
    const phone = await startHttpReceiver()
    const code = /set-up code\s+([0-9A-Z-]{14})/.exec(daemon.printed())?.[1] ?? ''
    let presses = 0
    let fields = 0
    const press = async (what: Locator): Promise<void> => {
      presses += 1
      await what.click()
    }
    const type = async (form: Locator | Page, label: string, text: string): Promise<void> => {
      fields += 1
      await form.getByLabel(label).fill(text)
    }
    const choose = async (form: Locator, label: string, choice: string): Promise<void> => {
      fields += 1
      await form.getByLabel(label).selectOption({ label: choice })
    }
    const button = (name: string | RegExp) => page.getByRole('button', { name })
    try {
      await open(360)
      await type(page, 'Code', code)
      await type(page, 'Your name', keeper.name)
      await type(page, 'Password', keeper.password)
      await press(button('Begin'))

      await isAt('Time zone')
      await press(button('Take Europe/Vienna'))

      await isAt('First sensor')
      const context = page.context()
      const how = (await (await context.request.get(`${daemon.url}/api/connection`)).json()) as Connection
      const sensor = await mqtt.connectAsync(`mqtt://127.0.0.1:${how.port}`, {
        username: how.user ?? '',
        password: how.password ?? '',
      })
      await sensor.publishAsync('brumal/in/probe', senml(5.5), { qos: 1 })
      await page.getByText('Heard brumal/in/probe').waitFor()
      await press(page.getByRole('link', { name: 'Claim it' }))

      await press(button('Add a place'))
      const place = page.getByRole('form', { name: 'New place' })
      await type(place, 'Name', 'Low shelf box')
      await press(place.getByRole('button', { name: 'Save' }))
      await place.waitFor({ state: 'detached' })
      await press(button(/^Claim/))
      await press(
        page.getByRole('form', { name: 'Claim brumal/in/probe' }).getByRole('button', { name: 'Claim it' }),
      )
      const line = page.locator('.next-step')
      await line.getByText('Say who lives in it').waitFor()
      await press(line.getByRole('link', { name: 'Go there' }))
      await press(button('Add an animal'))
      const animal = page.getByRole('form', { name: 'New animal' })
      await type(animal, 'Name', 'Juno')
      fields += 1
      await animal.getByLabel('Species').selectOption('testudo-hermanni')
      await choose(animal, 'Place', 'Low shelf box')
      await press(animal.getByRole('button', { name: 'Save' }))
      await animal.waitFor({ state: 'detached' })

      await line.getByText('First contact').waitFor()
      await press(line.getByRole('link', { name: 'Go to Contacts' }))
      await press(button('Add a contact'))
      const contact = page.getByRole('form', { name: 'New contact' })
      await type(contact, 'Name', 'Ada')
      await press(contact.getByRole('button', { name: 'Save' }))
      await press(button('Add a channel for Ada'))
      const channel = page.getByRole('form', { name: 'New channel for Ada' })
      await type(channel, 'Address with its topic', `${phone.origin}/dusk`)
      await press(channel.getByRole('button', { name: 'Save' }))
      await line.getByText('Press Ring it, and say whether it rang.').waitFor()
      await press(button('Ring it by Push relay'))
      await press(button(/^It rang/))
      await line.waitFor({ state: 'detached' })
      expect(phone.requests.length).toBeGreaterThan(0)

      await press(page.getByRole('navigation').getByRole('link', { name: 'Tonight' }))
      await sensor.publishAsync('brumal/in/probe', senml(5.5), { qos: 1 })
      await page
        .getByRole('article', { name: 'Low shelf box' })
        .getByText('5.5 °C', { exact: true })
        .waitFor()
      expect(await part().count()).toBe(0)
      await sensor.endAsync()
      const home = (await (await context.request.get(`${daemon.url}/api/household`)).json()) as object
      expect(home).toMatchObject({
        timeZone: 'Europe/Vienna',
        sensors: [{ topic: 'brumal/in/probe', place: 'low-shelf-box' }],
        animals: [{ name: 'Juno', place: 'low-shelf-box' }],
      })
      expect(presses).toBeLessThanOrEqual(mostPresses)
      expect(fields).toBeLessThanOrEqual(mostFields)
    } finally {
      await phone.stop()
    }
  })

  test('fit a phone and a desk, are clean for axe in light and dark, and are put away and brought back', {
    timeout: 60_000,
  }, async () => {
    daemon = await startDaemon()
    await open(360)
    await page.getByLabel('Name').fill(keeper.name)
    await page.getByLabel('Password').fill(keeper.password)
    await page.getByRole('button', { name: 'Sign in' }).click()
    await isAt('First sensor')
    expect(await violationsOnPhoneAndDesk(page, part())).toEqual([])

    await page.getByRole('button', { name: 'Put these steps away' }).click()
    await page.reload()
    await page.getByText('Nothing is watched here yet.').waitFor()
    expect(await part().count()).toBe(0)
    await goTo(page, 'Set-up')
    await page.getByRole('button', { name: 'Show them on Tonight' }).click()
    await page.locator('.next-step').getByText('First sensor').waitFor()
    await goTo(page, 'Tonight')
    await isAt('First sensor')
  })
})

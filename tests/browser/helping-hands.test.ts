import type { BrowserContext, Page } from 'playwright-core'
import { afterEach, describe, expect, test } from 'vitest'
import { isChromiumHere } from '../support/chromium.ts'
import { addContact, answerToken, relayTo } from '../support/contacts.ts'
import { type Daemon, keeper, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { type HttpReceiver, startHttpReceiver } from '../support/http-receiver.ts'
import { oneChromium } from '../support/one-chromium.ts'
import { until } from '../support/until.ts'

describe.skipIf(!isChromiumHere)('two people and a phone, on the running daemon', () => {
  const browser = oneChromium()
  let daemon: Daemon
  let relay: HttpReceiver
  const contexts: BrowserContext[] = []

  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close()
    await daemon.stop()
    await relay.stop()
  })

  async function aPhone(): Promise<Page> {
    const context = await browser().newContext({ viewport: { width: 390, height: 800 }, locale: 'en-GB' })
    contexts.push(context)
    const page = await context.newPage()
    page.setDefaultTimeout(15_000)
    return page
  }

  async function aHouse(): Promise<void> {
    relay = await startHttpReceiver()
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    await addContact(daemon, 'ada', [relayTo('ada-relay', `${relay.origin}/ada`)], { person: 'ada' })
  }

  const freeze = () => daemon.publish('brumal/in/probe', senml(-1, Date.now() - 300_000))

  test('X1: a sitter comes in by a link that works once, acknowledges, and is out when the keeper ends it', async () => {
    await aHouse()
    const desk = await aPhone()
    await desk.goto(`${daemon.url}/set-up`)
    await desk.getByLabel('Name').fill(keeper.name)
    await desk.getByLabel('Password').fill(keeper.password)
    await desk.getByRole('button', { name: 'Sign in' }).click()
    await desk.getByRole('button', { name: 'Invite somebody' }).click()
    const form = desk.getByRole('form', { name: 'Invite somebody' })
    await form.getByLabel('Name').fill('Cleo')
    await form.getByRole('button', { name: 'Make the link' }).click()
    const shown = await desk.getByRole('region', { name: 'Invitation link' }).innerText()
    const hash = /\/join#[\w-]+/.exec(shown)?.[0] ?? ''

    const phone = await aPhone()
    await phone.goto(daemon.url + hash)
    await phone.getByLabel('Choose a password').fill('a lamp in the attic')
    await phone.getByRole('button', { name: 'Come in' }).click()
    await phone.getByRole('navigation').waitFor()
    const second = await aPhone()
    await second.goto(daemon.url + hash)
    await second.getByRole('heading', { name: 'This invitation opens nothing' }).waitFor()

    await freeze()
    await phone.getByRole('heading', { name: /^No: Low shelf box/ }).waitFor()
    await phone
      .getByRole('button', { name: /^Acknowledge/ })
      .first()
      .click()
    await until(async () => (await daemon.alarms()).standing[0]?.state.name === 'acknowledged', 'the answer')
    expect((await daemon.alarms()).standing[0]?.state).toMatchObject({ by: 'Cleo' })

    const access = await daemon.call<{ sessions: { id: string; person: string }[] }>('GET', '/api/access')
    const session = access.sessions.find(({ person }) => person === 'cleo')
    await daemon.call('DELETE', `/api/sessions/${session?.id}`)
    await phone.getByRole('heading', { name: 'Sign in' }).waitFor()
    expect(await phone.content()).not.toContain('Juno')
  }, 60_000)

  test('A6: the link in a message answers without a sign-in, and the same page says that the box is opened', async () => {
    await aHouse()
    await freeze()
    await until(() => relay.requests.length === 1, 'the message', 10_000)
    const phone = await aPhone()
    await phone.goto(`${daemon.url}/answer#${answerToken(relay)}`)
    await phone.getByText('There: Juno').or(phone.getByText('Juno (Hermann’s tortoise)')).first().waitFor()
    expect((await daemon.alarms()).standing[0]?.state.name).toBe('unacknowledged') // looking is not answering
    await phone.getByRole('button', { name: /I have seen it/ }).click()
    await phone
      .getByText(/Ada acknowledged it at \d\d:\d\d/)
      .first()
      .waitFor()
    await phone.getByRole('button', { name: '15 min' }).click()
    await until(
      async () => (await daemon.tonight()).places.some(({ tendedUntil }) => tendedUntil !== null),
      'tending',
    )
    const kinds = (await daemon.alarms()).journal.map(({ kind, by }) => `${kind} ${by}`)
    expect(kinds).toContain('acknowledged Ada')
    expect(kinds).toContain('tending Ada')
    expect(await phone.context().cookies()).toEqual([]) // the link opens one alarm, and no door
  }, 60_000)

  test('A6: the link that acknowledges does it on opening, and says who was first', async () => {
    await aHouse()
    await freeze()
    await until(() => relay.requests.length === 1, 'the message', 10_000)
    const token = answerToken(relay)
    const phones = [await aPhone(), await aPhone()]
    await Promise.all(phones.map((phone) => phone.goto(`${daemon.url}/answer?now#${token}`)))
    for (const phone of phones)
      await phone
        .getByText(/acknowledged/i)
        .first()
        .waitFor()
    const lines = (await daemon.alarms()).journal.filter(({ kind }) => kind === 'acknowledged')
    expect(lines).toHaveLength(1)
  }, 60_000)
})

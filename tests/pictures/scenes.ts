import type { Page } from 'playwright-core'
import type { Scene } from '../support/web-fixture-scene.ts'
import { accessLooks, linkLooks } from './door-looks.ts'
import type { Look } from './take.ts'

/** What is worth looking at in a scene of invented answers: states that a house seldom comes to by itself. */
export function looksOf(scene: Scene): Look[] {
  switch (scene) {
    case 'safe':
      return [
        ...screens(),
        {
          name: 'table',
          path: '/',
          before: (page) =>
            page
              .getByRole('button', { name: /as a table/ })
              .first()
              .click(),
        },
        { name: 'crosshair', path: '/', before: pointAtChart },
        { name: 'place', path: '/places/larder-fridge' },
        { name: 'place-learning', path: '/places/cellar' },
        { name: 'place-unknown', path: '/places/attic' },
        { name: 'trial', path: '/places/larder-fridge/trial' },
        { name: 'check', path: '/sensors/top-probe/check' },
        { name: 'animals', path: '/animals' },
        { name: 'animal', path: '/animals/bramble' },
        { name: 'weigh', path: '/weigh', before: (page) => page.getByLabel(/^Bramble/).focus() },
        { name: 'note', path: '/animals/bramble/note/checked' },
        { name: 'forms', path: '/set-up', before: openForms },
        { name: 'accuracy', path: '/set-up', before: openAccuracy },
        ...accessLooks(),
        { name: 'contact-forms', path: '/contacts', before: openContactForms },
        { name: 'ring', path: '/contacts', before: ringIt },
      ]
    case 'alarm':
      return [
        { name: 'tonight', path: '/' },
        { name: 'place', path: '/places/top-box' },
        { name: 'alarms', path: '/alarms' },
        {
          name: 'shelve',
          path: '/alarms',
          before: (page) => page.getByRole('button', { name: 'Shelve', exact: true }).first().click(),
        },
      ]
    case 'empty':
      return screens()
    case 'first':
      return [{ name: 'first', path: '/#code=MOSS-7F3K-Q2' }]
    case 'out':
      return [{ name: 'sign-in', path: '/', before: tryToSignIn }, ...linkLooks()]
    case 'lost':
      return [
        {
          name: 'tonight',
          path: '/',
          before: async (page) => {
            await page.context().setOffline(true)
            await page.locator('.live-lost').waitFor({ timeout: 90_000 })
          },
        },
      ]
    case 'unreached':
      return [
        { name: 'tonight', path: '/' },
        { name: 'contacts', path: '/contacts' },
        { name: 'alarms', path: '/alarms' },
        { name: 'webhook', path: '/contacts', before: openWebhook },
        { name: 'set-up', path: '/set-up' },
      ]
    case 'sitter':
      return screens()
    case 'sitterEmpty':
      return screens()
    case 'unsure':
      return [
        { name: 'tonight', path: '/' },
        { name: 'set-up', path: '/set-up' },
      ]
    case 'practice':
      return [{ name: 'tonight', path: '/' }]
    default:
      return scene satisfies never
  }
}

function screens(): Look[] {
  return [
    { name: 'tonight', path: '/' },
    { name: 'winter', path: '/winter' },
    { name: 'alarms', path: '/alarms' },
    { name: 'contacts', path: '/contacts' },
    { name: 'set-up', path: '/set-up' },
  ]
}

async function pointAtChart(page: Page): Promise<void> {
  const chart = page.getByRole('slider').first()
  await chart.focus()
  await page.keyboard.press('Home')
  for (let i = 0; i < 8; i += 1) await page.keyboard.press('Shift+ArrowRight')
}

async function openForms(page: Page): Promise<void> {
  for (const name of ['Add a place', 'Add an animal']) await page.getByRole('button', { name }).click()
  await page.getByRole('button', { name: 'Add a limit' }).click()
  await page.getByText('Its numbers and their sources').click()
  await page
    .getByRole('button', { name: /^Claim/ })
    .first()
    .click()
  await page.getByText('Topic, decoder and battery').click()
}

async function openAccuracy(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Change Larder fridge' }).click()
  await page.getByRole('button', { name: 'Change Fridge air' }).click()
  await page.getByText('More about its accuracy').click()
}

async function openContactForms(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Add a contact' }).click()
  await page.getByLabel('Of their own').last().check()
  await page.getByRole('button', { name: 'Change Bedside relay' }).click()
}

async function ringIt(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Ring it by Android phone' }).click()
  await page.getByRole('button', { name: /^It did not/ }).click()
}

async function openWebhook(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Ring it by Text messages' }).click()
  await page.getByText('Not delivered yet.').waitFor()
  await page.getByRole('button', { name: 'Change Text messages' }).click()
  await page.getByRole('button', { name: 'Add a header' }).click()
  await page.getByText('What the body may hold').click()
  await page.getByRole('textbox', { name: 'Body' }).fill('{"message":{{text}}}')
  await page.getByRole('button', { name: 'Save' }).first().click()
  await page.getByRole('alert').waitFor()
}

async function tryToSignIn(page: Page): Promise<void> {
  await page.getByLabel('Name').fill('Robin')
  await page.getByLabel('Password').fill('wrong')
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.getByRole('alert').waitFor()
}

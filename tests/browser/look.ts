/**
 * Takes pictures of every screen and asks axe about each:
 *
 *   tsx tests/browser/look.ts http://localhost:8420 pictures NAME PASSWORD   a running daemon
 *   tsx tests/browser/look.ts fixture pictures [scene …]                     the built pages with invented answers
 *   tsx tests/browser/look.ts fixture:FOLDER pictures [scene …]              the same, built into another folder
 */
import { mkdir } from 'node:fs/promises'
import type { Page } from 'playwright-core'
import { openChromium } from '../support/chromium.ts'
import { type Look, lookAt, type Seen } from '../support/look-at.ts'
import { type Scene, scenes } from '../support/web-fixture-scene.ts'
import { startWebFixture } from '../support/web-fixture-server.ts'
import { accessLooks, linkLooks } from './door-looks.ts'

const [base = 'fixture', folder = 'pictures', ...rest] = process.argv.slice(2)
await mkdir(folder, { recursive: true })
const browser = await openChromium()
const seen: Seen[] = []
if (base.startsWith('fixture')) {
  const webRoot = base.slice('fixture:'.length) || new URL('../../dist/web/', import.meta.url).pathname
  for (const scene of rest.length === 0 ? scenes : (rest as Scene[])) {
    const fixture = await startWebFixture(webRoot, scene, 0)
    const looks = looksOf(scene).map((look) => ({ ...look, name: `${scene}-${look.name}` }))
    seen.push(...(await lookAt(browser, fixture.url, folder, looks, async () => {})))
    await fixture.close()
  }
} else {
  const [name = '', password = ''] = rest
  const enter = async (page: Page): Promise<void> => {
    await page.getByLabel('Name').fill(name)
    await page.getByLabel('Password').fill(password)
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByRole('navigation').waitFor()
  }
  seen.push(...(await lookAt(browser, base, folder, screens(), enter)))
}
await browser.close()

for (const one of seen) {
  for (const violation of one.violations) console.log(`${one.name}: axe: ${violation}`)
  for (const complaint of one.complaints) console.log(`${one.name}: console: ${complaint}`)
  if (one.isTooWide) console.log(`${one.name}: wider than its window`)
}
const bad = seen.filter((one) => one.violations.length > 0 || one.complaints.length > 0 || one.isTooWide)
console.log(`${seen.length} looks, ${bad.length} with something to mend`)
process.exitCode = bad.length === 0 ? 0 : 1

function screens(): Look[] {
  return [
    { name: 'tonight', path: '/' },
    { name: 'winter', path: '/winter' },
    { name: 'alarms', path: '/alarms' },
    { name: 'contacts', path: '/contacts' },
    { name: 'set-up', path: '/set-up' },
  ]
}

function looksOf(scene: Scene): Look[] {
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

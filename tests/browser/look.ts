/**
 * Takes pictures of every screen and asks axe about each:
 *
 *   tsx tests/browser/look.ts http://localhost:8420 pictures NAME PASSWORD   a running daemon
 *   tsx tests/browser/look.ts fixture pictures [scene …]                     the built pages with invented answers
 */
import { mkdir } from 'node:fs/promises'
import type { Page } from 'playwright-core'
import { openChromium } from '../support/chromium.ts'
import { type Look, lookAt, type Seen } from '../support/look-at.ts'
import { type Scene, scenes } from '../support/web-fixture-scene.ts'
import { startWebFixture } from '../support/web-fixture-server.ts'

const [base = 'fixture', folder = 'pictures', ...rest] = process.argv.slice(2)
await mkdir(folder, { recursive: true })
const browser = await openChromium()
const seen: Seen[] = []
if (base === 'fixture') {
  const webRoot = new URL('../../dist/web/', import.meta.url).pathname
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
        { name: 'forms', path: '/set-up', before: openForms },
      ]
    case 'alarm':
      return [
        { name: 'tonight', path: '/' },
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
      return [{ name: 'sign-in', path: '/', before: tryToSignIn }]
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
    case 'unsure':
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
  await page.getByText('Topic and decoder').click()
}

async function tryToSignIn(page: Page): Promise<void> {
  await page.getByLabel('Name').fill('Robin')
  await page.getByLabel('Password').fill('wrong')
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.getByRole('alert').waitFor()
}

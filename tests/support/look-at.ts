import { join } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import type { Browser, Page } from 'playwright-core'

/** One picture: a path, and what to do there before it is taken. */
export interface Look {
  readonly name: string
  readonly path: string
  readonly before?: (page: Page) => Promise<void>
}

export interface Seen {
  readonly name: string
  /** What axe found, one line each; empty is good. */
  readonly violations: readonly string[]
  /** What the browser's console complained of: thrown errors, refused styles and scripts. */
  readonly complaints: readonly string[]
  /** The page is wider than its window. */
  readonly isTooWide: boolean
}

export const widths = [360, 390, 1280] as const
export const lights = ['light', 'dark'] as const

/** Takes every look in each width and light, and asks axe (WCAG 2.2 AA) about each. */
export async function lookAt(
  browser: Browser,
  base: string,
  folder: string,
  looks: readonly Look[],
  enter: (page: Page) => Promise<void>,
): Promise<Seen[]> {
  const seen: Seen[] = []
  for (const width of widths) {
    for (const light of lights) {
      const context = await browser.newContext({
        viewport: { width, height: width < 500 ? 740 : 900 },
        deviceScaleFactor: width < 500 ? 2 : 1,
        colorScheme: light,
        reducedMotion: 'reduce',
        locale: 'en-GB',
      })
      const page = await context.newPage()
      await page.goto(base)
      await enter(page)
      for (const look of looks) seen.push(await takeLook(page, base, folder, look, `${width}-${light}`))
      await context.close()
    }
  }
  return seen
}

async function takeLook(page: Page, base: string, folder: string, look: Look, kind: string): Promise<Seen> {
  const name = `${look.name}-${kind}`
  const complaints: string[] = []
  const note = (message: { type(): string; text(): string }): void => {
    // The browser notes every answer of 400 and above, also those that a look asks for
    const isAnswer = message.text().startsWith('Failed to load resource')
    if (message.type() === 'error' && !isAnswer) complaints.push(message.text())
  }
  page.on('console', note)
  await page.goto(new URL(look.path, base).href)
  await page.locator('main').waitFor()
  await page.waitForFunction(() => document.querySelector('.night-waiting') === null)
  await look.before?.(page)
  await page.evaluate(() => document.fonts.ready)
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true })
  const violations = await violationsOn(page)
  page.off('console', note)
  await page.context().setOffline(false) // some looks are taken without a network
  return {
    name,
    complaints,
    violations,
    isTooWide: await isTooWide(page),
  }
}

/** What axe finds wrong with the page as it stands, one line each (WCAG 2.2 AA). */
export const violationsOn = (page: Page): Promise<string[]> =>
  found(
    new AxeBuilder({ page }).withTags([
      'wcag2a',
      'wcag2aa',
      'wcag21a',
      'wcag21aa',
      'wcag22aa',
      'best-practice',
    ]),
  )

/** The same of contrast alone: what a page whose rest was looked at in the other light can still have wrong. */
export const contrastOn = (page: Page): Promise<string[]> =>
  found(new AxeBuilder({ page }).withRules(['color-contrast']))

async function found(axe: AxeBuilder): Promise<string[]> {
  const { violations } = await axe.analyze()
  return violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(' ')).join('; ')}`)
}

export const isTooWide = (page: Page): Promise<boolean> =>
  page.evaluate(() => document.documentElement.scrollWidth > innerWidth)

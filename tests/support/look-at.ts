import { AxeBuilder } from '@axe-core/playwright'
import type { Locator, Page } from 'playwright-core'
import { until } from './until.ts'

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
  // Else it opens and shuts a page of its own for each answer, which takes longer than the looking
  const { violations } = await axe.setLegacyMode().analyze()
  return violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(' ')).join('; ')}`)
}

/** What axe finds on a small phone by day and on a desk by night, each once `part` stands and nothing is too wide. */
export async function violationsOnPhoneAndDesk(page: Page, part: Locator): Promise<string[]> {
  const violations: string[] = []
  for (const [width, colorScheme] of [
    [360, 'light'],
    [1280, 'dark'],
  ] as const) {
    await page.setViewportSize({ width, height: 800 })
    await page.emulateMedia({ colorScheme })
    await part.waitFor()
    await until(async () => !(await isTooWide(page)), `the page to fit its window of ${width}`)
    violations.push(...(await violationsOn(page)).map((one) => `at ${width}, ${colorScheme}: ${one}`))
  }
  return violations
}

export const isTooWide = (page: Page): Promise<boolean> =>
  page.evaluate(() => document.documentElement.scrollWidth > innerWidth)

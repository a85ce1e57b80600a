import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'

/** A small phone, a usual one, a desk. */
export const widths = [360, 390, 1280] as const
export const lights = ['light', 'dark'] as const

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

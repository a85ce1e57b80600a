import type { Page } from 'playwright-core'

/** To a screen by its way at the top, or on a narrow window behind More. */
export async function goTo(page: Page, screen: string): Promise<void> {
  const ways = page.getByRole('navigation', { name: 'Screens' })
  await ways.waitFor()
  const way = ways.getByRole('link', { name: screen })
  if ((await way.count()) === 0) await ways.getByRole('button', { name: /^More/ }).click()
  await way.click()
}

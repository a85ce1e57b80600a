import type { Page } from 'playwright-core'

/**
 * What the page's console complains of from now on, refused styles and scripts among it. It also notes every answer of
 * 400 and above: only where asked for, as many a test brings such an answer about.
 */
export function complaintsOf(page: Page, also: { answers?: boolean } = {}): readonly string[] {
  const complaints: string[] = []
  page.on('pageerror', (error) => complaints.push(error.message))
  page.on('console', (message) => {
    const isAnswer = message.text().startsWith('Failed to load resource')
    if (message.type() === 'error' && (!isAnswer || also.answers === true)) complaints.push(message.text())
  })
  return complaints
}

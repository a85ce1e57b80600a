import type { BrowserContext, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll } from 'vitest'
import { type Daemon, startDaemon } from './daemon.ts'
import { oneChromium } from './one-chromium.ts'

/**
 * One daemon for all tests of the file or group, its house furnished once, and pages at which its keeper is signed in;
 * what a test opens is closed after it.
 */
export function pagesOnDaemon(furnish: (daemon: Daemon) => Promise<unknown>) {
  const browser = oneChromium()
  const contexts: BrowserContext[] = []
  let daemon: Daemon
  beforeAll(async () => {
    daemon = await startDaemon()
    await furnish(daemon)
  })
  afterAll(() => daemon.stop())
  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close()
  })

  async function openPage(
    window: { width: number; height: number },
    colorScheme: 'light' | 'dark' = 'light',
  ): Promise<Page> {
    const context = await browser().newContext({
      viewport: window,
      locale: 'en-GB',
      colorScheme,
      reducedMotion: 'reduce',
      serviceWorkers: 'block',
    })
    contexts.push(context)
    const [name = '', value = ''] = daemon.cookie().split('=')
    await context.addCookies([{ name, value, url: daemon.url }])
    const page = await context.newPage()
    page.setDefaultTimeout(20_000)
    return page
  }
  return { daemon: () => daemon, openPage }
}

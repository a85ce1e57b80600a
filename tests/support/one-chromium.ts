import type { Browser } from 'playwright-core'
import { beforeAll } from 'vitest'
import { openChromium } from './chromium.ts'

const opened = new Map<boolean, Promise<Browser>>()

/** One browser for all tests of the process, given once they run; it ends with the process. What a test opens in it, it closes. */
export function oneChromium({ notifies = false } = {}): () => Browser {
  let browser: Browser
  beforeAll(async () => {
    const here = opened.get(notifies)
    if (here !== undefined && (await here).isConnected()) browser = await here
    else {
      const next = openChromium({ notifies })
      opened.set(notifies, next)
      browser = await next
    }
  })
  return () => browser
}

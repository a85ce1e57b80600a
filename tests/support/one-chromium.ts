import type { Browser } from 'playwright-core'
import { beforeAll } from 'vitest'
import { openChromium } from './chromium.ts'

const opened = new Map<boolean, Browser>()

/** One browser for all tests of the process, given once they run; it ends with the process. What a test opens in it, it closes. */
export function oneChromium({ isWhole = false } = {}): () => Browser {
  let browser: Browser
  beforeAll(async () => {
    const here = opened.get(isWhole)
    browser = here?.isConnected() === true ? here : await openChromium({ isWhole })
    opened.set(isWhole, browser)
  })
  return () => browser
}

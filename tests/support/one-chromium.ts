import type { Browser } from 'playwright-core'
import { afterAll, beforeAll } from 'vitest'
import { openChromium } from './chromium.ts'

/** One browser for all tests of the file or group, given once they run. */
export function oneChromium(): () => Browser {
  let browser: Browser
  beforeAll(async () => {
    browser = await openChromium()
  })
  afterAll(async () => browser.close())
  return () => browser
}

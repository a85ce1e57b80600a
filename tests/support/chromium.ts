import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

const whole = '/usr/bin/chromium'
const windowless = '/usr/bin/chromium-headless-shell'

/** Without Chromium these tests are skipped, unless it is asked for. */
export const isChromiumHere = existsSync(whole) || process.env['BRUMAL_REQUIRE_PEERS'] === '1'

/**
 * Debian's Chromium, quiet and without a window: where it is there the same engine in a shell that has none, in which a new
 * page takes a tenth of the time. What notifies, rings or is measured needs the whole browser, as people have it.
 */
export const openChromium = ({ isWhole = false } = {}): Promise<Browser> =>
  chromium.launch({
    executablePath: isWhole || !existsSync(windowless) ? whole : windowless,
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  })

import type { Browser, BrowserContext } from 'playwright-core'
import { type Daemon, startDaemon } from '../support/daemon.ts'

/** When the pictures' night stands: in the small hours of a winter's night, with most of the night's curve drawn. */
const pictured = Date.parse('2027-01-13T03:07:00+01:00')

export interface PracticeHouse {
  readonly daemon: Daemon
  /** Milliseconds from this machine's clock to the house's. */
  readonly shift: number
}

/** The built program on its practice household, whose chance has a fixed seed, at a fixed hour of a fixed winter. */
export async function startPracticeHouse(): Promise<PracticeHouse> {
  const shift = pictured - Date.now()
  const preload = new URL('shift-date.mjs', import.meta.url).href
  const daemon = await startDaemon({
    args: ['practice'],
    env: { NODE_OPTIONS: `--import ${preload}`, PICTURES_SHIFT_MS: String(shift) },
  })
  return { daemon, shift }
}

export interface Window {
  readonly width: number
  readonly height: number
  readonly light: 'light' | 'dark'
}

/** A window that shows the house's own time; without a cookie nobody is signed in. */
export async function openWindow(
  browser: Browser,
  house: { readonly url: string; readonly shift: number; readonly cookie: string | null },
  window: Window,
): Promise<BrowserContext> {
  const context = await browser.newContext({
    viewport: { width: window.width, height: window.height },
    deviceScaleFactor: 1,
    colorScheme: window.light,
    reducedMotion: 'reduce',
    locale: 'en-GB',
    timezoneId: 'Europe/Vienna',
    serviceWorkers: 'block', // it would keep a clock of its own
  })
  await context.addInitScript((shift) => {
    const Real = Date
    globalThis.Date = class extends Real {
      constructor(...given: unknown[]) {
        if (given.length === 0) super(Real.now() + shift)
        else super(...(given as [number]))
      }

      static override now() {
        return Real.now() + shift
      }
    } as DateConstructor
  }, house.shift)
  if (house.cookie !== null) {
    const [name = '', value = ''] = house.cookie.split('=')
    await context.addCookies([{ name, value, url: house.url }])
  }
  return context
}

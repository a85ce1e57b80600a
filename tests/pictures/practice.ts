import { cp, mkdir, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Browser, BrowserContext } from 'playwright-core'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { root } from '../support/repository.ts'

/** When the pictures' night stands: in the small hours of a winter's night, with most of the night's curve drawn. */
const pictured = Date.parse('2027-01-13T03:07:00+01:00')

export interface PracticeHouse {
  readonly daemon: Daemon
  /** Milliseconds from this machine's clock to the house's. */
  readonly shift: number
  stop(): Promise<void>
}

/** The built program on its practice household, whose chance has a fixed seed, at a fixed hour of a fixed winter. */
export async function startPracticeHouse(): Promise<PracticeHouse> {
  const shift = pictured - Date.now()
  const preload = new URL('shift-date.mjs', import.meta.url).href
  const copy = await copyOfBuilt()
  const daemon = await startDaemon({
    program: join(copy, 'daemon/cli/brumal.js'),
    args: ['practice'],
    opensWithin: 180_000,
    env: { NODE_OPTIONS: `--import ${preload}`, PICTURES_SHIFT_MS: String(shift) },
  })
  return {
    daemon,
    shift,
    async stop() {
      await daemon.stop()
      await rm(copy, { recursive: true })
    },
  }
}

/** A build that is made meanwhile would take the page's files away; below node_modules it finds its packages. */
async function copyOfBuilt(): Promise<string> {
  const copy = join(root, `node_modules/.cache/pictures-${process.pid}`)
  await mkdir(copy, { recursive: true })
  await cp(join(root, 'dist'), copy, { recursive: true })
  await writeFile(join(copy, 'package.json'), '{"type":"module"}')
  return copy
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

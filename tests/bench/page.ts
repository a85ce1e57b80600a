import type { Browser, CDPSession, Page } from 'playwright-core'
import type { NightCurve } from '../../schemas/api.ts'
import { openChromium } from '../support/chromium.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { until } from '../support/until.ts'
import { report } from './report.ts'
import { openSlowLine } from './slow-line.ts'

/**
 * A middling phone in a garden: 4 times slower than this machine, 1.6 Mbit/s down, 750 kbit/s up, 150 ms there and back
 * (what is commonly taken for slow 4G; values from memory).
 */
const slowPhone = { cpu: 4, down: 1_600_000 / 8, up: 750_000 / 8, latency: 150 } as const

const phone = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 3, isMobile: true, hasTouch: true }

/** The practice household in headless Chromium: *Tonight* from an empty cache to its answer, and a chart that is moved. */
export async function page(rounds: number): Promise<void> {
  const browser = await openChromium({ isWhole: true })
  const daemon = await startDaemon({ args: ['practice'] })
  try {
    await until(async () => (await daemon.tonight()).places.length > 0, 'the practice household', 60_000)
    await new Promise((resolve) => setTimeout(resolve, 20_000)) // the household has its winter to go through first
    await tonightFromCold(browser, daemon, rounds)
    await tonightKept(browser, daemon, rounds)
    await chartMoved(browser, daemon, rounds)
  } finally {
    await browser.close()
    await daemon.stop()
  }
}

interface Seen {
  readonly answerMs: number
  readonly curveMs: number
  readonly scriptKb: number
  readonly allKb: number
}

async function tonightFromCold(browser: Browser, daemon: Daemon, rounds: number): Promise<void> {
  const seen: Seen[] = []
  for (let i = 0; i < rounds; i++) seen.push(await onceFromCold(browser, daemon))
  const say = (what: string, unit: string, of: (one: Seen) => number): number =>
    report(`page: Tonight on a slow phone, ${what}`, unit, rounds, seen.map(of))
  say('from cold to the answer', 'ms', (one) => one.answerMs)
  say('from cold to the first curve', 'ms', (one) => one.curveMs)
  say('scripts, compressed', 'kB', (one) => one.scriptKb)
  say('everything until the first curve, compressed', 'kB', (one) => one.allKb)
}

async function onceFromCold(browser: Browser, daemon: Daemon): Promise<Seen> {
  const { tab, session, close } = await openTab(browser, daemon)
  await slow(session)
  const bytes = { script: 0, all: 0 }
  const scripts = new Set<string>()
  session.on('Network.responseReceived', ({ requestId, type }) => {
    if (type === 'Script') scripts.add(requestId)
  })
  session.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
    bytes.all += encodedDataLength
    if (scripts.has(requestId)) bytes.script += encodedDataLength
  })
  const answerMs = await firstSeen(tab, daemon.url, '.answer')
  const curveMs = await firstSeen(tab, null, '.night-plot canvas')
  await close()
  return { answerMs, curveMs, scriptKb: bytes.script / 1000, allKb: bytes.all / 1000 }
}

/**
 * The page that its worker has kept, as on every visit but the first: only answers come over the line, there and back in as
 * many ms; how many bits it takes in a second counts for little then.
 */
async function tonightKept(browser: Browser, daemon: Daemon, rounds: number): Promise<void> {
  const answers: number[] = []
  for (let i = 0; i < rounds; i++) {
    const line = await openSlowLine(Number(new URL(daemon.url).port))
    const url = `http://127.0.0.1:${line.port}`
    const { tab, session, close } = await openTab(browser, daemon)
    await firstSeen(tab, url, '.answer')
    await tab.waitForFunction(() => navigator.serviceWorker.controller !== null)
    await tab.waitForFunction(async () => (await caches.keys()).includes('brumal-kept'))
    await tab.goto('about:blank')
    line.delay(slowPhone.latency / 2)
    await session.send('Emulation.setCPUThrottlingRate', { rate: slowPhone.cpu })
    answers.push(await firstSeen(tab, url, '.answer'))
    await close()
    await line.close()
  }
  report('page: Tonight on a slow phone that was here before, to the answer', 'ms', rounds, answers)
}

async function slow(session: CDPSession): Promise<void> {
  await session.send('Emulation.setCPUThrottlingRate', { rate: slowPhone.cpu })
  await session.send('Network.enable')
  await session.send('Network.emulateNetworkConditions', {
    offline: false,
    latency: slowPhone.latency,
    downloadThroughput: slowPhone.down,
    uploadThroughput: slowPhone.up,
  })
}

/** When something that is not empty was first on the screen, in ms since the page was asked for. */
async function firstSeen(tab: Page, url: string | null, selector: string): Promise<number> {
  if (url !== null) await tab.goto(url, { waitUntil: 'commit' })
  const seen = await tab.waitForFunction((css) => {
    const one = document.querySelector(css)
    if (one === null || (one.textContent === '' && one.tagName !== 'CANVAS')) return null
    return performance.now()
  }, selector)
  return Number(await seen.jsonValue())
}

/** Readings of one night, one every 0.4 s: far more than any sensor sends. */
const manyPoints = 100_000
const crowdedPlace = 'cellar-fridge'

async function chartMoved(browser: Browser, daemon: Daemon, rounds: number): Promise<void> {
  const perSecond: number[] = []
  const slowest: number[] = []
  for (let i = 0; i < rounds; i++) {
    const { tab, close } = await openTab(browser, daemon)
    await tab.route(`**/api/places/${crowdedPlace}/night?*`, async (route) => {
      const answer = await route.fetch()
      await route.fulfill({ response: answer, json: crowded((await answer.json()) as NightCurve) })
    })
    await tab.goto(daemon.url)
    const plot = tab.locator(`article:has(a[href='/places/${crowdedPlace}']) .night-plot`)
    await plot.locator('canvas').waitFor()
    await plot.focus()
    for (let press = 0; press < 2; press++) await tab.keyboard.press('+')
    const frames = await plot.evaluate(moveForTwoSeconds)
    perSecond.push((1000 * frames.length) / frames.reduce((sum, one) => sum + one, 0))
    slowest.push(Math.max(...frames))
    await close()
  }
  report('page: a chart of 100,000 points that is moved', 'frames/s', rounds, perSecond)
  report('page: its slowest frame', 'ms', rounds, slowest)
}

/** Runs in the page: a wheel that turns a little at each frame; gives how long each frame took, ms. */
async function moveForTwoSeconds(host: Element): Promise<number[]> {
  const over = host.querySelector('.u-over')
  const frames: number[] = []
  let last = await new Promise<number>(requestAnimationFrame)
  const end = last + 2000
  for (let step = 0; last < end; step++) {
    const deltaX = step % 120 < 60 ? 6 : -6
    over?.dispatchEvent(new WheelEvent('wheel', { deltaX, bubbles: true, cancelable: true }))
    const now = await new Promise<number>(requestAnimationFrame)
    frames.push(now - last)
    last = now
  }
  return frames
}

/** The same night with many more readings, round the same values. */
function crowded(curve: NightCurve): object {
  const { from, to } = curve.night
  const at = Array.from({ length: manyPoints }, (_, i) => Math.round(from + ((to - from) * i) / manyPoints))
  const mean = at.map((_, i) => 5 + 1.5 * Math.sin(i / 900) + 0.2 * Math.sin(i * 12.9898))
  const [series] = curve.series
  return { ...curve, series: [{ ...series, columns: { at, low: mean, mean, high: mean } }] }
}

async function openTab(
  browser: Browser,
  daemon: Daemon,
): Promise<{ tab: Page; session: CDPSession; close: () => Promise<void> }> {
  const context = await browser.newContext(phone)
  const [name = '', value = ''] = daemon.cookie().split('=')
  await context.addCookies([{ name, value, url: daemon.url }])
  const tab = await context.newPage()
  const session = await context.newCDPSession(tab)
  return { tab, session, close: () => context.close() }
}

import { join } from 'node:path'
import type { BrowserContext, Page } from 'playwright-core'
import { contrastOn, isTooWide, violationsOn } from '../support/look-at.ts'
import { until } from '../support/until.ts'

/** One picture: a path, and what to do there before it is taken. */
export interface Look {
  readonly name: string
  readonly path: string
  readonly before?: (page: Page) => Promise<void>
}

export interface Seen {
  readonly name: string
  /** What is wrong with it, a line each; empty is good. */
  readonly faults: readonly string[]
}

/** How a look is taken beside its picture. */
export interface Taking {
  /** Of the site, without a path. */
  readonly url: string
  readonly folder: string
  /** Ends each picture's name; null: only as much as its window holds is pictured, under the look's own name. */
  readonly kind: string | null
  /** `contrast`: where all else was looked at in the other light. */
  readonly axe: 'all' | 'contrast'
  /** Widths besides its own in which it must not be wider than its window. */
  readonly alsoAt: readonly number[]
}

/** Takes one look as a picture of the whole page, and finds what axe, the console and a narrow window say against it. */
export async function take(context: BrowserContext, look: Look, taking: Taking): Promise<Seen> {
  const name = taking.kind === null ? look.name : `${look.name}-${taking.kind}`
  const page = await context.newPage()
  page.setDefaultTimeout(60_000)
  const faults: string[] = []
  page.on('pageerror', (error) => faults.push(`thrown: ${error.message}`))
  page.on('console', (message) => {
    // The browser notes every answer of 400 and above, also those that a look asks for
    const isAnswer = message.text().startsWith('Failed to load resource')
    if (message.type() === 'error' && !isAnswer) faults.push(`console: ${message.text()}`)
  })
  try {
    const isQuiet = quietOf(page)
    await page.goto(new URL(look.path, taking.url).href)
    await page.locator('main h1').first().waitFor()
    await until(isQuiet, `${look.path} to have all its answers`, 60_000)
    await look.before?.(page)
    await page.evaluate(() => document.fonts.ready)
    const window = page.viewportSize() ?? { width: 360, height: 740 }
    // Held open to its full height, the page has its bar at its foot and not across its middle
    if (taking.kind !== null) await holdOpen(page, window)
    await page.screenshot({ path: join(taking.folder, `${name}.png`), fullPage: taking.kind !== null })
    await page.setViewportSize(window)
    const violations = await (taking.axe === 'all' ? violationsOn(page) : contrastOn(page))
    faults.push(...violations.map((one) => `axe: ${one}`))
    for (const width of [window.width, ...taking.alsoAt]) {
      await page.setViewportSize({ ...window, width })
      if (!(await settles(async () => !(await isTooWide(page)))))
        faults.push(`wider than its window of ${width}: ${await widestOn(page)}`)
    }
  } catch (error) {
    faults.push(error instanceof Error ? (error.message.split('\n')[0] ?? 'failed') : String(error))
  } finally {
    await context.setOffline(false) // some looks are taken without a network
    await page.close()
  }
  console.log(`${faults.length === 0 ? 'well ' : 'FAULT'}  ${name}`)
  return { name, faults }
}

/** Some parts grow once they are in sight, and the page with them. Two frames on, the new height is drawn. */
async function holdOpen(page: Page, window: { width: number; height: number }): Promise<void> {
  for (let held = 0; held < (await heightOf(page)); ) {
    held = await heightOf(page)
    await page.setViewportSize({ ...window, height: held })
    await page.evaluate(
      () =>
        new Promise((resolve) =>
          setTimeout(() => requestAnimationFrame(() => requestAnimationFrame(resolve)), 200),
        ),
    )
  }
}

/** Whether every question but the live stream has had its answer for a while. */
function quietOf(page: Page): () => boolean {
  let open = 0
  let since = performance.now()
  const isStream = (type: string): boolean => type === 'eventsource'
  const count = (by: number) => (request: { resourceType(): string; url(): string }) => {
    if (isStream(request.resourceType()) || request.url().endsWith('/api/live')) return
    open += by
    since = performance.now()
  }
  page.on('request', count(1))
  page.on('requestfinished', count(-1))
  page.on('requestfailed', count(-1))
  return () => open <= 0 && performance.now() - since > QUIET_MS
}

/** Charts are drawn in the frame after their answer. */
const QUIET_MS = 250

const heightOf = (page: Page): Promise<number> => page.evaluate(() => document.documentElement.scrollHeight)

/** Charts follow their window a frame or two later. */
async function settles(isWell: () => Promise<boolean>): Promise<boolean> {
  return until(isWell, 'the page to fit its window', 1000).then(
    () => true,
    () => false,
  )
}

/** What sticks out furthest to the right, as a selector of sorts. */
const widestOn = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const out = [...document.querySelectorAll('body *')]
      .map((element) => ({ element, right: element.getBoundingClientRect().right }))
      .filter(({ right }) => right > innerWidth)
      .sort((a, b) => b.right - a.right)[0]
    if (out === undefined) return 'nothing to name'
    return `${out.element.tagName.toLowerCase()}.${[...out.element.classList].join('.')} to ${Math.round(out.right)}`
  })

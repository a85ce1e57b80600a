import type { Browser, BrowserContext, Locator, Page, Response } from 'playwright-core'
import { complaintsOf } from './complaints.ts'
import type { Scene } from './web-fixture-scene.ts'
import { startWebFixture, type WebFixture } from './web-fixture-server.ts'

/** One page on the built dashboard with invented answers behind it: what the page does, not whether the daemon does. */
export interface Visit {
  readonly page: Page
  readonly context: BrowserContext
  readonly fixture: WebFixture
  readonly answers: readonly Response[]
  /** What the browser's console complained of, refused styles and scripts among it. */
  readonly complaints: readonly string[]
  heading(name: string | RegExp): Locator
  button(name: string | RegExp): Locator
  part(name: string): Locator
  /** Paths of the API that were asked, in order. */
  asked(): string[]
  close(): Promise<void>
}

/**
 * Without the page's worker, which has tests of its own: it would fetch every file and ask everything once more. `first` may
 * change answers on their way.
 */
export async function visit(
  browser: Browser,
  scene: Scene,
  path: string,
  width = 390,
  first?: (page: Page) => Promise<unknown>,
): Promise<Visit> {
  const webRoot = new URL('../../dist/web/', import.meta.url).pathname
  const fixture = await startWebFixture(webRoot, scene, 0)
  const context = await browser.newContext({
    viewport: { width, height: 740 },
    locale: 'en-GB',
    reducedMotion: 'reduce',
    serviceWorkers: 'block',
  })
  const page = await context.newPage()
  page.setDefaultTimeout(15_000)
  const answers: Response[] = []
  page.on('response', (response) => answers.push(response))
  const complaints = complaintsOf(page)
  await first?.(page)
  await page.goto(fixture.url + path)
  return {
    page,
    context,
    fixture,
    answers,
    complaints,
    heading: (name) => page.getByRole('heading', { level: 1, name }),
    button: (name) => page.getByRole('button', { name }),
    part: (name) => page.getByRole('region', { name, exact: true }),
    asked: () =>
      answers.map((answer) => new URL(answer.url()).pathname).filter((asked) => asked.startsWith('/api/')),
    async close() {
      // An answer that a test was about to change when the page closed is nobody's any more
      await page.unrouteAll({ behavior: 'ignoreErrors' })
      await context.close()
      await fixture.close()
    },
  }
}

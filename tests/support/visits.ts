import type { Page } from 'playwright-core'
import { afterEach } from 'vitest'
import { oneChromium } from './one-chromium.ts'
import type { Scene } from './web-fixture-scene.ts'
import { type Visit, visit } from './web-fixture-visit.ts'

/** One browser for all tests of the file; what a test visits is closed after it. */
export function visits() {
  const browser = oneChromium()
  const open: Visit[] = []
  afterEach(async () => {
    // a test may have closed its own, to see what is left
    for (const one of open.splice(0)) if (!one.page.isClosed()) await one.close()
  })
  return async (
    scene: Scene,
    path: string,
    width?: number,
    first?: (page: Page) => Promise<unknown>,
  ): Promise<Visit> => {
    const seen = await visit(browser(), scene, path, width, first)
    open.push(seen)
    return seen
  }
}

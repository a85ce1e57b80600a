import type { Browser, Page } from 'playwright-core'
import { pathOfAnimal, pathOfPlace, pathOfTrial } from '../../web/page/route.ts'
import { type Scene } from '../support/web-fixture-scene.ts'
import { startWebFixture } from '../support/web-fixture-server.ts'
import { openWindow, startPracticeHouse, type Window } from './practice.ts'
import { type Look, type Seen, take } from './take.ts'

/** One picture of README.md: of the practice household, or of a scene of invented answers. */
interface Shown extends Look, Window {
  readonly of: 'practice' | Scene
}

const folder = new URL('../../fixtures/pictures/', import.meta.url).pathname
const phone = { width: 390, height: 844, light: 'dark' } as const
const desk = { width: 1280, height: 1000, light: 'light' } as const

const shown: readonly Shown[] = [
  { of: 'practice', name: 'winter-desk', path: '/winter', ...desk, width: 1100, height: 820 },
  { of: 'practice', name: 'animal-desk', path: pathOfAnimal('bramble'), ...desk, height: 1774 },
  { of: 'practice', name: 'plan-desk', path: '/plan', ...desk, height: 1913, before: openDraft },
  { of: 'practice', name: 'weigh-phone', path: '/weigh', ...phone, width: 360, height: 900 },
  { of: 'practice', name: 'tonight-alarm-phone', path: '/', ...phone, before: untilDangerous },
  { of: 'safe', name: 'place-desk', path: pathOfPlace('larder-fridge'), ...desk },
  { of: 'safe', name: 'trial-desk', path: pathOfTrial('larder-fridge'), ...desk, height: 1250 },
  { of: 'safe', name: 'contacts-desk', path: '/contacts', ...desk, width: 1100, height: 720 },
  { of: 'out', name: 'answer-phone', path: '/answer#cold', ...phone },
]

/** Takes them anew, each as much of its page as one window holds. */
export async function takeForReadme(browser: Browser, webRoot: string): Promise<Seen[]> {
  const seen: Seen[] = []
  const practice = await startPracticeHouse()
  for (const look of shown) {
    const fixture = look.of === 'practice' ? null : await startWebFixture(webRoot, look.of, 0)
    const house =
      fixture === null
        ? { url: practice.daemon.url, shift: practice.shift, cookie: practice.daemon.cookie() }
        : { url: fixture.url, shift: 0, cookie: null }
    const context = await openWindow(browser, house, look)
    seen.push(await take(context, look, { url: house.url, folder, kind: null, axe: 'all', alsoAt: [] }))
    await context.close()
    await fixture?.close()
  }
  await practice.stop()
  return seen
}

/** The practice's box runs away within the first two minutes, and again every quarter of an hour. */
async function untilDangerous(page: Page): Promise<void> {
  await page
    .getByText(/dangerously cold/)
    .first()
    .waitFor({ timeout: 15 * 60_000 })
}

/** The one animal that is still to go down. */
async function openDraft(page: Page): Promise<void> {
  await page.getByText('Fennel').first().click()
}

/**
 * Takes pictures of every screen, asks axe about each, and exits with 1 where something is wrong:
 *
 *   npm run pictures -- FOLDER                       the built program on its practice household
 *   npm run pictures -- FOLDER --only plan,place     only screens whose names begin so
 *   npm run pictures -- FOLDER --widths 360 --lights dark
 *   npm run pictures -- FOLDER --scenes alarm,lost   the page with invented answers instead; `all` for all scenes
 *   npm run pictures -- --readme                     the pictures of README.md, anew
 */
import { mkdir } from 'node:fs/promises'
import { parseArgs } from 'node:util'
import { openChromium } from '../support/chromium.ts'
import { type Scene, scenes } from '../support/web-fixture-scene.ts'
import { startWebFixture } from '../support/web-fixture-server.ts'
import { openWindow, startPracticeHouse } from './practice.ts'
import { takeForReadme } from './readme.ts'
import { looksOf } from './scenes.ts'
import { everyScreen, shutScreens } from './screens.ts'
import { type Look, type Seen, take } from './take.ts'

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    only: { type: 'string' },
    scenes: { type: 'string' },
    widths: { type: 'string', default: '360,768,1440' },
    lights: { type: 'string', default: 'light,dark' },
    readme: { type: 'boolean', default: false },
  },
})
/** Held sideways to a phone of this width nothing may run out of the page (WCAG 2.2, 1.4.10). */
const narrowest = 320
/** A page waits for its answers as long as it computes; some scenes lose their network, which one window shares. */
const atOnce = values.scenes === undefined ? 3 : 1
const only = values.only?.split(',') ?? null
const widths = values.widths.split(',').map(Number)
const lights = values.lights.split(',').filter((one) => one === 'light' || one === 'dark')
const webRoot = new URL('../../dist/web/', import.meta.url).pathname

const browser = await openChromium()
try {
  const seen = values.readme ? await takeForReadme(browser, webRoot) : await takeAll(positionals[0])
  const bad = seen.filter((one) => one.faults.length > 0)
  for (const one of bad) for (const fault of one.faults) console.log(`${one.name}: ${fault}`)
  console.log(`${seen.length} pictures, ${bad.length} with something to mend`)
  process.exitCode = bad.length === 0 && seen.length > 0 ? 0 : 1
} finally {
  await browser.close()
}

async function takeAll(folder: string | undefined): Promise<Seen[]> {
  if (folder === undefined) throw new Error('Name a folder for the pictures: npm run pictures -- FOLDER')
  await mkdir(folder, { recursive: true })
  return values.scenes === undefined ? takePractice(folder) : takeScenes(folder, values.scenes)
}

async function takePractice(folder: string): Promise<Seen[]> {
  const { daemon, shift, stop } = await startPracticeHouse()
  try {
    const house = { url: daemon.url, shift, folder }
    const inside = await takeLooks({ ...house, cookie: daemon.cookie() }, everyScreen())
    return [...inside, ...(await takeLooks({ ...house, cookie: null }, shutScreens))]
  } finally {
    await stop()
  }
}

async function takeScenes(folder: string, asked: string): Promise<Seen[]> {
  const seen: Seen[] = []
  for (const scene of asked === 'all' ? scenes : (asked.split(',') as Scene[])) {
    const fixture = await startWebFixture(webRoot, scene, 0)
    const looks = looksOf(scene).map((look) => ({ ...look, name: `${scene}-${look.name}` }))
    seen.push(...(await takeLooks({ url: fixture.url, shift: 0, folder, cookie: null }, looks)))
    await fixture.close()
  }
  return seen
}

/** Every look in each width and light. */
async function takeLooks(
  house: {
    readonly url: string
    readonly shift: number
    readonly cookie: string | null
    readonly folder: string
  },
  looks: readonly Look[],
): Promise<Seen[]> {
  const seen: Seen[] = []
  const wanted = looks.filter(({ name }) => only === null || only.some((begin) => name.startsWith(begin)))
  for (const width of widths) {
    for (const light of lights) {
      const context = await openWindow(browser, house, { width, height: width < 500 ? 740 : 900, light })
      const isFirst = light === lights[0]
      const waiting = [...wanted]
      const takeNext = async (): Promise<void> => {
        for (let look = waiting.shift(); look !== undefined; look = waiting.shift())
          seen.push(
            await take(context, look, {
              url: house.url,
              folder: house.folder,
              kind: `${width}-${light}`,
              axe: isFirst ? 'all' : 'contrast',
              alsoAt: isFirst && width < 500 ? [narrowest] : [],
            }),
          )
      }
      await Promise.all(Array.from({ length: atOnce }, takeNext))
      await context.close()
    }
  }
  return seen
}

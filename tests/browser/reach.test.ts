import type { BrowserContextOptions, Page, Request } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { oneChromium } from '../support/one-chromium.ts'
import { cutOn, movingOn, smallOn, unseenFocusOn } from '../support/reach-measures.ts'
import { until } from '../support/until.ts'
import { startWebFixture, type WebFixture } from '../support/web-fixture-server.ts'
import { isChromiumHere } from '../support/chromium.ts'

/** One of each kind of screen. */
const paths = [
  '/',
  '/day',
  '/animals',
  '/alarms',
  '/plan',
  '/winter',
  '/contacts',
  '/set-up',
  '/species',
  '/weigh',
  '/what-if',
  '/places/larder-fridge',
  '/places/larder-fridge/trial',
  '/sensors/top-probe/check',
  '/animals/bramble',
  '/animals/bramble/winter',
  '/animals/bramble/note/weighed',
] as const

describe.skipIf(!isChromiumHere)('who can reach and read it', () => {
  const browser = oneChromium()
  let fixture: WebFixture
  let page: Page
  beforeAll(async () => {
    fixture = await startWebFixture(new URL('../../dist/web/', import.meta.url).pathname, 'alarm', 0)
  })
  afterAll(() => fixture.close())
  afterEach(async () => page.context().close())

  const underWay = new Set<Request>()
  async function open(options: BrowserContextOptions, path = '/'): Promise<void> {
    const context = await browser().newContext({
      serviceWorkers: 'block',
      reducedMotion: 'reduce',
      ...options,
    })
    page = await context.newPage()
    page.setDefaultTimeout(10_000)
    underWay.clear()
    page.on('request', (request) => {
      if (!request.url().endsWith('/api/live')) underWay.add(request)
    })
    page.on('requestfinished', (request) => underWay.delete(request))
    page.on('requestfailed', (request) => underWay.delete(request))
    await page.goto(fixture.url + path)
    await standing()
  }
  /** Nothing is under way, and what is drawn is the same twice. */
  async function standing(): Promise<void> {
    let before = ''
    await until(async () => {
      if (underWay.size > 0) return false
      const now = await page.evaluate(
        () =>
          `${location.pathname} ${document.querySelector('h1')?.textContent} ${document.body.scrollHeight} ${document.querySelectorAll('*').length}`,
      )
      const stands = now === before && !now.includes('undefined')
      before = now
      return stands
    }, `${page.url()} to stand`)
  }
  /** As by a link on it: the page stays, and what it knows. */
  async function go(path: string): Promise<void> {
    await page.evaluate((next) => {
      history.pushState(null, '', next)
      dispatchEvent(new PopStateEvent('popstate'))
    }, path)
    await standing()
  }
  const textSize = (share: string): Promise<void> =>
    page.evaluate((size) => {
      document.documentElement.style.fontSize = size
    }, share)

  test('at 320 px and at twice the text nothing is cut or beside the screen; what is pressed is large enough, and its focus is seen', async () => {
    await open({ viewport: { width: 320, height: 740 }, locale: 'en-GB' })
    const faults: string[] = []
    for (const path of paths) {
      await page.setViewportSize({ width: 320, height: 740 })
      await textSize('')
      await go(path)
      const narrow = [...(await cutOn(page)), ...(await smallOn(page)), ...(await unseenFocusOn(page))]
      const moving = await movingOn(page)
      await page.setViewportSize({ width: 640, height: 740 })
      await textSize('200%')
      const large = await cutOn(page)
      faults.push(
        ...[...narrow, ...moving, ...large.map((one) => `at 200 %: ${one}`)].map((one) => `${path} ${one}`),
      )
    }
    expect(faults).toEqual([])
  }, 60_000)

  test('what measures it finds each fault on a page that has them all', async () => {
    page = await browser().newPage({ viewport: { width: 320, height: 740 } })
    await page.setContent(`<style>
      * { margin: 0 } body { background: white; width: 320px }
      .wide { width: 400px } .short { width: 60px; overflow: hidden; white-space: nowrap }
      button { all: unset; display: block; width: 18px; height: 18px; font-size: 10px; transition: color 1s }
      :focus-visible { outline: 2px solid #ddd } .none:focus-visible { outline: none }
    </style><p class="wide">a</p><p class="short">longer than its room</p><button>a</button><button class="none">b</button>`)
    expect(await cutOn(page)).toEqual([
      expect.stringMatching(/^scrolls sideways: 400 in 320/),
      expect.stringMatching(/^cut: p\.short/),
    ])
    expect(await smallOn(page)).toEqual([
      expect.stringMatching(/"a" 18 × 18$/),
      expect.stringMatching(/"b" 18 × 18$/),
    ])
    expect(await unseenFocusOn(page)).toEqual([
      expect.stringMatching(/^1\.\d to 1: button/),
      expect.stringMatching(/^no line: button\.none/),
    ])
    expect(await movingOn(page)).toEqual(['button.', 'button.none'])
  })

  test('in the dark the focus is seen as well', async () => {
    await open({ viewport: { width: 1280, height: 900 }, locale: 'en-GB', colorScheme: 'dark' }, '/set-up')
    expect(await unseenFocusOn(page)).toEqual([])
    await go('/')
    expect(await unseenFocusOn(page)).toEqual([])
  })

  test('to each screen by its way at the top and back, by keyboard alone', async () => {
    await open({ viewport: { width: 1280, height: 900 }, locale: 'en-GB' })
    const focused = (): Promise<string> =>
      page.evaluate(() => document.activeElement?.textContent?.replace(/\d.*/, '').trim() ?? '')
    const ways = await page.getByRole('navigation', { name: 'Screens' }).getByRole('link').allInnerTexts()
    const names = ways.map((way) => way.replace(/\d[\s\S]*/, '').trim())
    expect(names.length).toBeGreaterThanOrEqual(8)
    await page.getByRole('heading', { level: 1 }).focus()
    // Each from the heading of the one before, where the focus went; the first stands last
    for (const name of [...names.slice(1), 'Tonight']) {
      // Bounded, for a ring that leaves it out would never end
      for (let i = 0; i < 30 && (await focused()) !== name; i += 1) await page.keyboard.press('Shift+Tab')
      expect(await focused()).toBe(name)
      await page.keyboard.press('Enter')
      await until(
        () => page.evaluate(() => document.activeElement?.tagName === 'H1'),
        `the heading of ${name} to have the focus`,
      )
      expect(new URL(page.url()).pathname === '/', name).toBe(name === 'Tonight')
      const current = page.getByRole('navigation', { name: 'Screens' }).locator('[aria-current=page]')
      expect(await current.innerText()).toContain(name)
    }
  })

  describe('a reader in the United States', () => {
    const american = { viewport: { width: 390, height: 800 }, locale: 'en-US', timezoneId: 'America/Chicago' }
    /** But for the messages: they stand as they were sent, in the units of their contact. */
    const words = (): Promise<string> =>
      page.locator('#app').evaluate((app: HTMLElement) => {
        const sent = app.querySelector<HTMLElement>('[aria-labelledby=messages]')
        return app.innerText.replace(sent?.innerText ?? '', '')
      })

    test('reads °F, twelve hours, and the month first: Tonight, a place, Winter, a trial run, the alarms', async () => {
      await open(american)
      for (const path of [
        '/',
        '/places/larder-fridge',
        '/winter',
        '/places/larder-fridge/trial',
        '/alarms',
        '/animals/bramble',
        '/plan',
        '/sensors/top-probe/check',
        '/species',
      ]) {
        await go(path)
        const text = await words()
        expect(text.match(/.{0,40}°C.{0,10}/g) ?? [], path).toEqual([])
        expect(
          text.match(/.{0,20}(?<![\d:])(?:[01]\d|2[0-3]):[0-5]\d(?!\s[AP]M).{0,10}/g) ?? [],
          path,
        ).toEqual([])
      }
      await go('/')
      expect(await words()).toMatch(/\d\d\.\d.°F/)
      expect(await page.getByRole('slider').first().getAttribute('aria-label')).toMatch(/°F/)
      await go('/places/larder-fridge')
      expect(await words()).toMatch(/\d:\d\d.[AP]M/)
      expect(await words()).toMatch(/Mon, Jan 11, 5:48.PM/)
    })

    test('types °F and has it back as typed; stored is °C (31.1 °F is −0.5 °C)', async () => {
      await open(american, '/set-up')
      const cellar = page.getByRole('listitem').filter({ hasText: 'Cellar' }).first()
      await cellar.getByRole('button', { name: /^Change/ }).click()
      const form = page.getByRole('form', { name: 'Change Cellar' })
      await form.getByRole('button', { name: 'Add a limit' }).click()
      const value = form.getByLabel('Value, °F')
      await value.fill('31,1')
      expect(await value.inputValue()).toBe('31,1')
      const saved = page.waitForRequest((request) => request.method() === 'PUT')
      await form.getByRole('button', { name: 'Save' }).click()
      expect((await saved).postDataJSON()).toMatchObject({
        ownLimits: [{ quantity: 'temperature', value: -0.5 }],
      })
      await cellar.getByRole('button', { name: /^Change/ }).click()
      expect(await value.inputValue()).toBe('31.1')
      await value.fill('cold')
      expect(await value.evaluate((input: HTMLInputElement) => input.validationMessage)).toBe(
        'A number, please.',
      )
    })

    test('chooses °C and 24 hours for this screen: at once, and still after it is opened anew', async () => {
      await open(american, '/set-up')
      const part = page.getByRole('region', { name: 'This screen' })
      const example = part.getByText(/^So it reads/)
      expect(await example.innerText()).toMatch(
        /40\.1.°F, \d?\d:\d\d.PM, Tue, Jan 12|40\.1.°F, .*[AP]M, \w+, Jan \d+/,
      )
      await part.getByLabel('Temperatures').selectOption('celsius')
      await part.getByLabel('Clock').selectOption('h23')
      await until(
        async () => /4\.5.°C, \d\d:\d\d, \w+, Jan \d+\./.test(await example.innerText()),
        'the example to follow',
      )
      await page.reload()
      await standing()
      expect(await example.innerText()).toMatch(/4\.5.°C, \d\d:\d\d,/)
      await go('/')
      expect(await words()).not.toContain('°F')
    })
  })
})

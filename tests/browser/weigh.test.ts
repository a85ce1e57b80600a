import type { Page, Request } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import type { DiaryEntry } from '../../schemas/diary.ts'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('weighing', () => {
  const visit = visits()
  let open: Visit

  const field = (name: string) => open.page.getByLabel(new RegExp(`^${name}`))
  const row = (name: string) =>
    open.page.getByRole('list', { name: 'Animals to weigh' }).getByRole('listitem').filter({ hasText: name })
  const hasFocus = (name: string) => field(name).evaluate((one) => one === document.activeElement)
  const isPut = (request: Request): boolean =>
    request.method() === 'PUT' && new URL(request.url()).pathname.startsWith('/api/diary/')
  /** What was sent, as long as one looks. */
  const sent = (page: Page): DiaryEntry[] => {
    const entries: DiaryEntry[] = []
    page.on('request', (request) => {
      if (isPut(request)) entries.push(request.postDataJSON() as DiaryEntry)
    })
    return entries
  }

  test('from Tonight to a saved weigh-in in three taps, with the way back and the next animal', async () => {
    open = await visit('safe', '/', 390)
    const { page } = open
    let taps = 0
    const tap = async (what: { click(): Promise<void> }): Promise<void> => {
      taps += 1
      await what.click()
    }
    await tap(page.getByRole('link', { name: 'Weigh', exact: true }))
    await open.heading('Weigh').waitFor()
    await tap(row('Bramble').getByText('Bramble'))
    await until(() => hasFocus('Bramble'), 'the field to have the focus')
    expect(await field('Bramble').getAttribute('inputmode')).toBe('decimal')
    await page.keyboard.type('801,5')
    await tap(open.button('Save'))
    await page.getByText('Bramble: 801.5 g noted.').waitFor()
    expect(taps).toBe(3)
    await until(() => hasFocus('Sorrel'), 'the next animal’s field to have the focus')
    await row('Bramble')
      .getByText(/^801\.5.g, just now/)
      .waitFor()

    await open.button('Undo').click()
    await row('Bramble')
      .getByText(/^804.g, 2 days ago/)
      .waitFor()
    expect(await row('Bramble').getByText('noted').count()).toBe(0)
    expect(open.complaints).toEqual([])
  })

  test('those due come first, then those that are down by how long ago they were weighed', async () => {
    open = await visit('safe', '/weigh')
    await field('Bramble').waitFor()
    const names = await open.page.locator('.weigh-name').allInnerTexts()
    expect(names).toEqual(['Puddle due', 'Thistle due', 'Bramble', 'Sorrel', 'Amber'])
  })

  test('a mass that differs by more than 30 % from the last is asked about once', async () => {
    open = await visit('safe', '/weigh')
    const { page } = open
    const entries = sent(page)
    await field('Bramble').fill('81')
    await page.keyboard.press('Enter')
    const question = page.getByRole('group', { name: /^Really 81.g\? Last time 804.g\.$/ })
    await question.waitFor()
    await question.getByRole('button', { name: 'Correct it' }).click()
    await until(() => hasFocus('Bramble'), 'the field to have the focus again')
    expect(entries).toEqual([])
    await question.waitFor({ state: 'detached' })
    await page.keyboard.press('Enter')
    await question.getByRole('button', { name: /^Save 81.g$/ }).click()
    await page.getByText(/^Bramble: 81.g noted\./).waitFor()
    expect(entries.map(({ note }) => note)).toEqual([{ kind: 'weighed', grams: 81 }])
  })

  test('what is no number is not sent, and said so', async () => {
    open = await visit('safe', '/weigh')
    const entries = sent(open.page)
    await field('Amber').fill('1.450,5')
    await open.button('Save').click()
    await open.page.getByText('Type what the scale shows, as 812 or 81.5.').waitFor()
    expect(await field('Amber').getAttribute('aria-invalid')).toBe('true')
    expect(entries).toEqual([])
  })

  test('a whole fridge by keyboard alone, a wet box among it', async () => {
    open = await visit('safe', '/weigh')
    const { page } = open
    const entries = sent(page)
    await field('Puddle').focus()
    await page.keyboard.type('61')
    await page.keyboard.press('Enter')
    await until(() => hasFocus('Thistle'), 'the second field')
    await page.keyboard.type('450')
    for (const _ of ['Save', 'dry', 'wet']) await page.keyboard.press('Tab')
    await page.keyboard.press('Space')
    expect(await open.button('wet').getAttribute('aria-pressed')).toBe('true')
    for (const _ of ['dry', 'Save', 'field']) await page.keyboard.press('Shift+Tab')
    await page.keyboard.press('Enter')
    await until(() => hasFocus('Bramble'), 'the third field')
    expect(entries.map(({ animal, note }) => ({ animal, note }))).toEqual([
      { animal: 'puddle', note: { kind: 'weighed', grams: 61 } },
      { animal: 'thistle', note: { kind: 'weighed', grams: 450, box: 'wet' } },
    ])
    for (const [name, grams] of [
      ['Bramble', '803'],
      ['Sorrel', '603'],
      ['Amber', '1451'],
    ] as const) {
      await until(() => hasFocus(name), `${name}’s field`)
      await page.keyboard.type(grams)
      await page.keyboard.press('Enter')
    }
    await page.getByText('All weighed.').waitFor()
  })

  test('the step of the scale is remembered on this device and goes with the weigh-in', async () => {
    open = await visit('safe', '/weigh')
    const { page } = open
    const entries = sent(page)
    await page.getByLabel('The scale shows steps of').selectOption('0.1')
    await page.reload()
    await field('Sorrel').fill('603.2')
    expect(await page.getByLabel('The scale shows steps of').inputValue()).toBe('0.1')
    await open.button('Save').click()
    await page.getByText(/^Sorrel: 603\.2.g noted\./).waitFor()
    expect(entries[0]?.note).toEqual({ kind: 'weighed', grams: 603.2, scaleStep: 0.1 })
  })

  test('while Brumal is out of reach the number stays, over a reload too, and a second try is the same entry', async () => {
    let isCut = true
    open = await visit('safe', '/weigh', 390, (page) =>
      page.route('**/api/diary/*', (route) =>
        isCut && route.request().method() === 'PUT' ? route.abort() : route.continue(),
      ),
    )
    const { page } = open
    const entries = sent(page)
    await field('Bramble').fill('803')
    await open.button('Save').click()
    await row('Bramble').getByText('Brumal cannot be reached from here.').waitFor()
    await page.getByText('The number is kept here. Save it again once Brumal answers.').waitFor()
    expect(await field('Bramble').inputValue()).toBe('803')
    await page.reload()
    await field('Bramble').focus()
    expect(await field('Bramble').inputValue()).toBe('803')
    isCut = false
    await open.button('Save').click()
    await page.getByText(/^Bramble: 803.g noted\./).waitFor()
    expect(entries).toHaveLength(2)
    expect(entries[1]).toEqual(entries[0])
  })

  test('where the last weigh-ins do not come the sheet is filled in all the same, and claims nothing of them', async () => {
    open = await visit('safe', '/weigh', 390, (page) => page.route('**/api/diary?*', () => {}))
    await row('Bramble')
      .getByText(/^last mass not known · in hold, Top box$/)
      .waitFor()
    await field('Bramble').fill('803')
    await open.button('Save').click()
    await open.page.getByText(/^Bramble: 803.g noted\./).waitFor()
  })

  test('axe finds nothing wrong, open and asking, on a phone and a desk, light and dark (WCAG 2.2 AA)', async () => {
    open = await visit('safe', '/weigh', 360)
    const { page } = open
    await field('Bramble').fill('81')
    await open.button('Save').click()
    await page.getByRole('group', { name: /^Really/ }).waitFor()
    for (const width of [360, 1280]) {
      await page.setViewportSize({ width, height: 740 })
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme })
        expect(await violationsOn(page)).toEqual([])
        expect(await isTooWide(page)).toBe(false)
      }
    }
    await page.setViewportSize({ width: 360, height: 740 })
    for (const button of await row('Bramble').getByRole('button').all())
      expect((await button.boundingBox())?.height).toBeGreaterThanOrEqual(40)
    for (const name of ['Save', 'dry', 'wet'])
      expect(
        (await row('Bramble').getByRole('button', { name, exact: true }).boundingBox())?.height,
      ).toBeGreaterThanOrEqual(44)
  }, 60_000)
})

import type { Page } from 'playwright-core'
import { afterEach, describe, expect, test, vi } from 'vitest'
import type { Household } from '../../schemas/household.ts'
import { addDays } from '../../shared/time/wall.ts'
import { isChromiumHere } from '../support/chromium.ts'
import { complaintsOf } from '../support/complaints.ts'
import { tortoiseHouse } from '../support/daemon.ts'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { pagesOnDaemon } from '../support/pages-on-daemon.ts'
import { until } from '../support/until.ts'

// A daemon, a browser and a house to fill: more than the usual 20 s where others work too
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

describe.skipIf(!isChromiumHere)('planning a winter, on the running daemon', () => {
  const { daemon, openPage } = pagesOnDaemon(async (empty) => {
    await tortoiseHouse(empty)
    await empty.call('PUT', '/api/animals/fennel', {
      id: 'fennel',
      name: 'Fennel',
      species: 'testudo-hermanni',
      place: 'box',
      mode: 'goesDown',
      hatched: '2015',
      hasWintered: true,
    })
  })
  const seen: { page: Page; complaints: readonly string[] }[] = []
  afterEach(async () => {
    for (const { page, complaints } of seen.splice(0)) {
      await page.context().close()
      expect(complaints).toEqual([])
    }
  })

  async function planOn(width: number, colorScheme: 'light' | 'dark', path = '/plan'): Promise<Page> {
    const page = await openPage({ width, height: 800 }, colorScheme)
    seen.push({ page, complaints: complaintsOf(page) })
    await page.goto(daemon().url + path)
    await page.getByRole('heading', { level: 1, name: /^Plan, winter/ }).waitFor()
    return page
  }

  const fennel = async () =>
    (await daemon().call<Household>('GET', '/api/household')).animals.find(({ id }) => id === 'fennel')

  test('S3: a draft is reckoned from a wish and moved by the arrow keys, by a drag and by its dates', async () => {
    const page = await planOn(1280, 'light')
    await page.getByRole('button', { name: 'Fennel' }).click()
    const wish = page.getByLabel('The hold begins on')
    await page.getByRole('slider', { name: 'The hold begins, Fennel' }).waitFor()
    const year = new Date().getUTCFullYear() + 1
    await wish.fill(`${year}-11-20`)
    const dates = page.locator('.mover-dates')
    await dates
      .getByText('Hold from Sat 20 Nov')
      .or(dates.getByText(/20 Nov/))
      .first()
      .waitFor()

    const hold = page.getByRole('slider', { name: 'The hold begins, Fennel' })
    const wake = page.getByRole('slider', { name: 'The waking begins, Fennel' })
    const woken = await wake.getAttribute('aria-valuetext')
    await hold.press('ArrowRight')
    await until(async () => (await wish.inputValue()) === `${year}-11-21`, 'the hold to begin a day later')
    expect(await wake.getAttribute('aria-valuetext')).toBe(woken)
    await page.getByRole('slider', { name: 'The whole winter, Fennel' }).press('Shift+ArrowLeft')
    await until(async () => (await wish.inputValue()) === `${year}-11-14`, 'all of it to come a week earlier')

    const strip = await page.locator('.strip-moving .phase-hold').boundingBox()
    const lane = await page.locator('.mover-lane').boundingBox()
    if (strip === null || lane === null) throw new Error('nothing to drag')
    const [x, y] = [strip.x + strip.width / 2, strip.y + strip.height / 2]
    await page.mouse.move(x, y)
    await page.mouse.down()
    await page.mouse.move(x - 60, y, { steps: 6 })
    await page.mouse.up()
    await until(async () => (await wish.inputValue()) < `${year}-11-14`, 'the drag to move it')

    await wish.fill(`${year}-11-20`)
    await until(async () => /20 Nov/.test(await dates.innerText()), 'the proposal of that day')
    await page.getByRole('button', { name: 'Keep as draft' }).click()
    await page.getByText('The winter of Fennel is kept as a draft.').waitFor()
    const kept = await fennel()
    expect(kept?.plan).toEqual([])
    expect(kept?.draft.map(({ phase }) => phase)).toEqual([
      'feedUp',
      'fast',
      'coolDown',
      'hold',
      'warmUp',
      'awake',
    ])
    await page.getByRole('button', { name: 'Undo' }).click()
    await until(async () => (await fennel())?.draft.length === 0, 'the draft to be gone again')
  })

  test('S3: a hold that is longer than its cap is planned at the cap, and says so with its source', async () => {
    const page = await planOn(390, 'light', '/plan?animal=fennel')
    await page.getByLabel('Weeks of hold').fill('25')
    const mind = page.locator('.conflicts > li', { hasText: 'You asked for 175 days of hold' })
    await mind.waitFor()
    await mind.locator('summary').click()
    await mind.getByText(/BVA|McArthur/).waitFor()
    await page.getByRole('button', { name: 'Keep as draft' }).click()
    await page.getByText('The winter of Fennel is kept as a draft.').waitFor()
    await until(async () => {
      const steps = (await fennel())?.draft ?? []
      const [hold, warm] = ['hold', 'warmUp'].map((name) => steps.find(({ phase }) => phase === name)?.from)
      return hold !== undefined && warm !== undefined && Math.round((warm - hold) / 86_400_000) <= 91
    }, 'the draft to be kept, at most 13 weeks long')
  })

  test('S1: the gate lists what is missing; begun all the same with a reason, it cools, and warming ends it', async () => {
    const today = new Date().toISOString().slice(0, 10)
    const proposal = await daemon().call<{ steps: object[] }>('POST', '/api/animals/fennel/proposal', {
      by: 'hold',
      on: addDays(today, 21),
      weeks: 8,
    })
    await daemon().call('PUT', '/api/animals/fennel/draft?anyway=a+test', {
      steps: proposal.steps,
      wish: { by: 'hold', on: addDays(today, 21), weeks: 8 },
    })
    const page = await planOn(1280, 'dark', '/plan?animal=fennel')
    await page.getByText(/^\d+ things are missing or against it\.$/).waitFor()
    expect(await page.locator('.begin .judged > li').count()).toBeGreaterThan(3)
    await page.getByRole('button', { name: 'Begin all the same…' }).click()
    await page.getByLabel('Why it goes down all the same').fill('weighed by the vet this morning')
    await page.getByRole('button', { name: 'Begin cooling all the same' }).click()
    await page.getByText('Fennel is cooling down.').waitFor()
    expect((await fennel())?.draft).toEqual([])
    expect((await fennel())?.plan.map(({ phase }) => phase)).toContain('coolDown')

    await page.getByRole('button', { name: 'Begin warming Fennel…' }).click()
    await page.getByLabel('Why now').fill('it will not settle')
    await page.getByRole('button', { name: 'Begin warming', exact: true }).click()
    await page.getByText('Fennel is warming up.').waitFor()
    const journal = await daemon().call<{ kind: string; text?: string }[]>('GET', '/api/journal?limit=20')
    expect(journal.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['coolingBegan', 'warmingBegan']))
    expect(journal.find(({ kind }) => kind === 'coolingBegan')?.text).toContain(
      'weighed by the vet this morning',
    )
  })

  test('a keeper’s own table is shown before it is taken in, and Undo takes it back', async () => {
    const page = await planOn(390, 'light')
    await page.goto(`${daemon().url}/set-up`)
    const part = page.getByRole('region', { name: 'Files' })
    const file = part.getByLabel('A CSV file')
    const table = (text: string) => ({ name: 'masses.csv', mimeType: 'text/csv', buffer: Buffer.from(text) })
    await file.setInputFiles(table('date,animal,weight (g)\n2026-09-01,Juno,811\n2026-09-08,Nobody,812\n'))
    await part.getByText(/^Line 3:/).waitFor()
    expect(await part.getByRole('button', { name: 'Take it in' }).isDisabled()).toBe(true)

    await file.setInputFiles(table('date,animal,weight (g)\n2026-09-01,Juno,811\n2026-09-08,Juno,812.5\n'))
    await part.getByText('2 entries found.').waitFor()
    await part.getByText('Weighed: 812.5 g').waitFor()
    const noted = () => daemon().call<object[]>('GET', '/api/diary?animal=juno&kind=weighed')
    expect(await noted()).toEqual([])
    await part.getByRole('button', { name: 'Take it in' }).click()
    await page.getByText('Took in 2 entries.').waitFor()
    expect(await noted()).toHaveLength(2)
    expect(await violationsOn(page)).toEqual([])
    await page.getByRole('button', { name: 'Undo' }).click()
    await until(async () => (await noted()).length === 0, 'the table to be taken back')
  })

  test('its page and its paper are for everybody (WCAG 2.2 AA), as wide as the window, in both lights', async () => {
    for (const [width, light] of [
      [360, 'dark'],
      [1280, 'light'],
    ] as const) {
      const page = await planOn(width, light, '/plan?animal=fennel')
      await page.getByRole('heading', { level: 2, name: /Fennel/ }).waitFor()
      expect(await violationsOn(page)).toEqual([])
      expect(await isTooWide(page)).toBe(false)
      await page.goto(`${daemon().url}/animals/juno/winter`)
      await page
        .frameLocator('iframe')
        .getByRole('heading', { level: 1, name: /^Juno, winter/ })
        .waitFor()
      expect(await violationsOn(page)).toEqual([])
      expect(await isTooWide(page)).toBe(false)
      if (width === 360) await page.context().close()
    }
  })
})

import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { until } from '../support/until.ts'
import { markNight } from '../support/web-fixture-marks.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('the page of one place', () => {
  const visit = visits()
  let open: Visit

  const pathOf = (page: Page): string => new URL(page.url()).pathname
  const focused = (page: Page): Promise<string> =>
    page.evaluate(() => document.activeElement?.textContent ?? '')

  test('from Tonight by keyboard, and back to where one was (WCAG 2.4.3)', async () => {
    open = await visit('safe', '/')
    const { page } = open
    const link = page.getByRole('article', { name: 'Low box' }).getByRole('link', { name: 'Low box' })
    await link.waitFor()
    // The keyboard's own way there; bounded, for a ring that leaves it out would never end
    for (let i = 0; i < 60 && (await focused(page)) !== 'Low box'; i += 1) await page.keyboard.press('Tab')
    expect(await focused(page)).toBe('Low box')
    const outline = await link.evaluate((element) => getComputedStyle(element).outlineStyle)
    expect(outline).toBe('solid')

    await page.keyboard.press('Enter')
    await open.heading('Low box').waitFor()
    expect(pathOf(page)).toBe('/places/low-box')
    await until(async () => (await focused(page)) === 'Low box', 'the heading to have the focus')
    expect(await page.title()).toBe('Low box · Brumal')
    expect(await page.getByText('No sensor of its own: judged by Larder fridge.').count()).toBe(1)

    await page.getByRole('main').getByRole('link', { name: 'Larder fridge' }).press('Enter')
    await open.heading('Larder fridge').waitFor()
    await until(async () => (await focused(page)) === 'Larder fridge', 'its heading to have the focus')
    await page.goBack()
    await open.heading('Low box').waitFor()
    await page.goBack()
    await open.heading(/^Yes: all five animals/).waitFor()
    await until(async () => (await focused(page)) === 'Low box', 'the focus to be back on the link')
    expect(open.complaints).toEqual([])
  })

  test('a deep link opens it: what the curve says, and the doors of two weeks (L12)', async () => {
    open = await visit('safe', '/places/larder-fridge')
    await open.heading('Larder fridge').waitFor()
    const says = open.part('What the curve says')
    await says
      .getByText('The door was last opened yesterday at 22:20; the air was nearly back after 14')
      .waitFor()
    expect(await says.innerText()).toMatch(
      /It runs about every 38 minutes, cooling for a third of the time; the air swings by 1\.4.°C round 5\.1.°C\./,
    )
    // The sixth is older than two weeks; a contact's tells nothing of the air
    const rows = open.part('The door in the last 14 days').getByRole('row')
    expect(await rows.allInnerTexts()).toEqual([
      expect.stringMatching(/^Opened\s+Air warmed\s+Nearly back in$/),
      expect.stringMatching(/^22:20\s+2\.4.°C\s+14 min$/),
      expect.stringMatching(/^Mon 11 Jan, 17:48\s+1\.6.°C\s+9 min$/),
      expect.stringMatching(/^Sat 9 Jan, 17:30\s+4\.1.°C\s+31 min$/),
      expect.stringMatching(/^Tue 5 Jan, 19:00\s+1\.8.°C\s+11 min$/),
      expect.stringMatching(/^Sat 2 Jan, 03:00\s+not known\s+not known$/),
    ])
    const chart = open.page.getByRole('slider')
    expect(await chart.getAttribute('aria-label')).toContain('door opened 22:20.')
    await open.button('Show Larder fridge as a table').click()
    const cells = await open.page.getByRole('row', { name: /^22:15/ }).innerText()
    expect(cells).toMatch(/opened 22:20$/)
    expect(open.complaints).toEqual([])
  })

  test('an opening that is told while one looks is listed at once', async () => {
    open = await visit('safe', '/places/cellar')
    const door = open.part('The door in the last 14 days')
    await door.getByText(/^No opening was seen\./).waitFor()
    await open
      .part('What the curve says')
      .getByText('How it cools is not known yet: 3 of 8 runs seen.')
      .waitFor()
    const at = Date.parse('2027-01-13T03:00:00+01:00')
    open.fixture.send({
      kind: 'journal',
      line: { id: 5000, at, kind: 'doorOpened', by: 'brumal', place: 'cellar', rise: 3 } as never,
    })
    await door.getByRole('row', { name: /^03:00 3\.0.°C not known$/ }).waitFor()
  })

  test('a contact’s opening gets its rise and recovery once the air is back: one row, not two', async () => {
    open = await visit('safe', '/places/cellar')
    const door = open.part('The door in the last 14 days')
    await door.getByText(/^No opening was seen\./).waitFor()
    const at = Date.parse('2027-01-13T03:00:00+01:00')
    const line = { at, until: at + 60_000, kind: 'doorOpened', by: 'brumal', place: 'cellar' }
    open.fixture.send({ kind: 'journal', line: { ...line, id: 5000 } as never })
    await door.getByRole('row', { name: /^03:00 not known not known$/ }).waitFor()
    const back = { ...line, id: 5001, rise: 2, recovery: 900_000 }
    open.fixture.send({ kind: 'journal', line: back as never })
    await door.getByRole('row', { name: /^03:00 2\.0.°C 15 min$/ }).waitFor()
    expect(await door.getByRole('row').count()).toBe(2)
  })

  test('L12: alarms that stood are marked under the curve, listed by name and time, and read out', async () => {
    open = await visit('safe', '/places/larder-fridge', 390, markNight)
    const { page } = open
    const stood = page.getByRole('list', { name: 'Alarms in this curve' })
    await until(
      async () => (await stood.getByRole('listitem').allInnerTexts()).length === 4,
      'the alarms to be listed',
    )
    expect(await stood.getByRole('listitem').allInnerTexts()).toEqual([
      'Fridge back wall silent, since 21:37',
      'door ajar, 22:45 to 22:57',
      'not cooling, 23:57 to 01:32',
      'dangerously warm, 00:17 to 00:59',
    ])
    const chart = page.getByRole('slider')
    expect(await chart.getAttribute('aria-label')).toContain('not cooling 23:57 to 01:32')
    const readOut = () => chart.getAttribute('aria-valuetext')
    await chart.press('Home')
    await until(async () => /^20:00 .*(cooling|resting)$/.test((await readOut()) ?? ''), 'the first reading')
    for (const _ of [1, 2]) await chart.press('PageDown')
    await chart.press('ArrowRight')
    await until(async () => (await readOut())?.startsWith('00:02') === true, 'two minutes past midnight')
    expect(await readOut()).toMatch(/· Fridge back wall silent · not cooling$/)
    expect(await page.locator('.night-marked').innerText()).toMatch(/silent · not cooling$/)
    await page.getByText('Fridge back wall, substrate: the animals’ side').waitFor()

    await open.button('Show Larder fridge as a table').click()
    const row = async (name: RegExp) => (await page.getByRole('row', { name }).innerText()).split('\t')
    expect((await row(/^00:15/)).at(-1)).toBe('Fridge back wall silent, not cooling, dangerously warm')
    expect((await row(/^20:00/)).at(-1)?.trim()).toBe('')
    const asked = open.answers
      .map((answer) => new URL(answer.url()))
      .find(({ pathname }) => pathname === '/api/journal')
    expect(asked?.searchParams.getAll('place').sort()).toEqual(['larder-fridge', 'low-box', 'top-box'])
    expect(asked?.searchParams.getAll('kind')).toEqual(
      expect.arrayContaining(['doorOpened', 'raised', 'returned']),
    )
    expect(open.complaints).toEqual([])
  })

  test('a box shows its fridge’s faults by the fridge’s name, and none of the box beside it', async () => {
    open = await visit('alarm', '/places/low-box', 360, markNight)
    const stood = open.page.getByRole('list', { name: 'Alarms in this curve' })
    await stood.getByText('not cooling (Larder fridge), 23:57 to 01:32').waitFor()
    expect(await stood.getByText('dangerously cold').count()).toBe(0)
    expect(await isTooWide(open.page)).toBe(false)
  })

  test('L11: where no probe lies with the animals their side is drawn from the air, estimated, in key and table', async () => {
    open = await visit('safe', '/places/cellar', 390, markNight)
    const { page } = open
    await page.getByText('Animals (estimated)').waitFor()
    const chart = page.getByRole('slider')
    await chart.press('Home')
    await until(
      async () => /^20:00 .*°C · .*°C$/.test((await chart.getAttribute('aria-valuetext')) ?? ''),
      'both signals to be read out at dusk',
    )
    await open.button('Show Cellar as a table').click()
    const table = page.getByRole('region', { name: 'Cellar, table' })
    expect(await table.getByRole('columnheader').allInnerTexts()).toEqual([
      'from',
      'Cellar probe',
      'Animals (estimated)',
    ])
    const row = async (name: RegExp) => (await table.getByRole('row', { name }).innerText()).split('\t')
    expect((await row(/^20:00/))[2]).toMatch(/^4\.\d/)
    // Half an hour without the air: the line breaks, and comes back once it rests on measured air again
    expect((await row(/^22:45/))[2]).toBe('not known')
    expect((await row(/^02:45/))[2]).toMatch(/^4\.\d/)
    expect(open.complaints).toEqual([])
  })

  test('L9: a limit that rings earlier for its sensor’s doubt says so beside the number, and in the key', async () => {
    open = await visit('safe', '/places/cellar', 390, markNight)
    await open
      .part('Its limits')
      .getByText(/^1\.0 °C or below for 1 min, rung at 1\.5.°C for 10 min: the sensor may be 0\.50.K off$/)
      .waitFor()
    await open.page.getByText('within what the sensor may be off').waitFor()
    await open.close()
    open = await visit('safe', '/places/cellar')
    await open.part('Its limits').waitFor()
    await open.page.getByRole('slider').waitFor()
    expect(await open.page.getByText('the sensor may be').count()).toBe(0)
  })

  test('a marked night on a narrow phone: axe finds nothing wrong, light and dark (WCAG 2.2 AA)', async () => {
    open = await visit('safe', '/places/larder-fridge', 360, markNight)
    await open.page.getByRole('list', { name: 'Alarms in this curve' }).waitFor()
    for (const colorScheme of ['light', 'dark'] as const) {
      await open.page.emulateMedia({ colorScheme })
      expect.soft(await violationsOn(open.page), colorScheme).toEqual([])
    }
    expect(await isTooWide(open.page)).toBe(false)
  })

  test('where nothing is known of the curve nothing is said of it', async () => {
    open = await visit('safe', '/places/warm-room')
    await open.heading('Warm enclosure').waitFor()
    await open.part('Its limits').waitFor()
    expect(await open.part('What the curve says').count()).toBe(0)
    expect(await open.part('The door in the last 14 days').count()).toBe(0)
  })

  test('A1: an alarm of the place is answered on its page, and no other’s is shown there', async () => {
    open = await visit('alarm', '/places/top-box')
    await open.heading('Top box').waitFor()
    const alarms = open.part('Standing alarms')
    expect(await alarms.getByRole('listitem').count()).toBe(1)
    await alarms.getByRole('button', { name: /^Acknowledge/ }).click()
    await alarms.getByText(/^Acknowledged by Robin/).waitFor()
    await open
      .part('What the curve says')
      .getByText(/^If it goes on like this it reaches/)
      .waitFor()
  })

  test('a place that is not there says so and leads back', async () => {
    open = await visit('safe', '/places/attic')
    await open.heading('There is no such place').waitFor()
    await open.page.getByRole('link', { name: 'See all places' }).press('Enter')
    await open.heading(/^Yes: all five animals/).waitFor()
    expect(pathOf(open.page)).toBe('/')
    expect(open.complaints).toEqual([])
  })

  test.each([390, 1280])('axe finds nothing wrong at %i px, light and dark (WCAG 2.2 AA)', async (width) => {
    for (const [scene, id] of [
      ['safe', 'larder-fridge'],
      ['alarm', 'top-box'],
    ] as const) {
      if (scene !== 'safe') await open.close()
      open = await visit(scene, `/places/${id}`, width)
      await open.part('The door in the last 14 days').getByRole('table').waitFor()
      for (const colorScheme of ['light', 'dark'] as const) {
        await open.page.emulateMedia({ colorScheme })
        expect.soft(await violationsOn(open.page), `${id}, ${colorScheme}`).toEqual([])
      }
    }
  })

  test('no place’s page is wider than a narrow phone', async () => {
    open = await visit('safe', '/', 360)
    for (const id of ['larder-fridge', 'top-box', 'low-box', 'cellar', 'warm-room', 'attic']) {
      await open.page.goto(`${open.fixture.url}/places/${id}`)
      await open.heading(/./).waitFor()
      if (id !== 'attic') await open.page.getByRole('slider').waitFor()
      expect.soft(await isTooWide(open.page), id).toBe(false)
    }
  })

  test('L11: how slowly animals follow and how far a sensor may be off are set in Set-up', async () => {
    open = await visit('safe', '/set-up', 1280)
    const { page } = open
    const sent = async (act: () => Promise<void>): Promise<unknown> => {
      const asked = page.waitForRequest((request) => request.method() === 'PUT')
      await act()
      return (await asked).postDataJSON()
    }
    await open.button('Change Top box').click()
    const place = page.getByRole('form', { name: 'Change Top box' })
    await place.getByLabel('How slowly the animals here follow the air, hours').fill('2.5')
    expect(await sent(() => place.getByRole('button', { name: 'Save' }).click())).toMatchObject({
      id: 'top-box',
      animalLag: 9_000_000,
    })
    await place.waitFor({ state: 'detached' })
    await open.button('Change Top box').click()
    await place.getByLabel('How slowly the animals here follow the air, hours').fill('')
    expect(await sent(() => place.getByRole('button', { name: 'Save' }).click())).not.toHaveProperty(
      'animalLag',
    )

    await open.button('Change Top probe').click()
    const sensor = page.getByRole('form', { name: 'Change Top probe' })
    await sensor.getByText('More about its accuracy').click()
    await sensor.getByText(/±0\.3 K \(SHT31 data sheet/).waitFor()
    await sensor.getByLabel('A temperature may be off by, ± K').fill('0.2')
    await sensor.getByLabel('The animal’s own spot may differ by, ± K').fill('0')
    expect(await sent(() => sensor.getByRole('button', { name: 'Save' }).click())).toMatchObject({
      accuracy: 0.2,
      placement: 0,
    })
  })
})

import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('the animals', () => {
  const visit = visits()
  let open: Visit

  const list = () => open.page.getByRole('list', { name: 'Animals', exact: true })
  const row = (name: string) => list().getByRole('listitem').filter({ hasText: name })
  const pathNow = (): string => new URL(open.page.url()).pathname
  const focused = (): Promise<string> => open.page.evaluate(() => document.activeElement?.textContent ?? '')

  test('S2: who must be woken stands on top with the reason and its source; a filter leaves those that are down', async () => {
    open = await visit('safe', '/animals')
    const { page } = open
    const first = open.part('To be woken first')
    await first.getByText(/^Sorrel It has lost 5\.6.% of its mass; 5.% ends the hold\.$/).waitFor()
    await first.getByText('Where this comes from').click()
    await first.getByText(/^BVA\/BSAVA\/BVZS, .* \(read second-hand\)$/).waitFor()
    await row('Bramble')
      .getByText(/^Hermann.s tortoise, in hold · Top box$/)
      .waitFor()
    expect(await row('Bramble').innerText()).toMatch(/804.g 2 days ago, 2.g less since Thu 31 Dec/)
    await row('Puddle').getByText('Weigh Puddle').waitFor()
    expect(await list().getByRole('listitem').count()).toBe(5)

    await open.button('awake').click()
    expect(await list().getByRole('heading').allInnerTexts()).toEqual(['Amber'])
    await open.button('down').click()
    expect(await list().getByRole('listitem').count()).toBe(4)
    await open.button('down').click()
    expect(await list().getByRole('listitem').count()).toBe(5)

    await first.getByRole('link', { name: 'Sorrel' }).press('Enter')
    await open.heading('Sorrel').waitFor()
    await until(async () => (await focused()) === 'Sorrel', 'the heading to have the focus')
    await open.part('Wake Sorrel now').getByText('Begin warming in the plan').waitFor()
    expect(await page.getByText('ask a reptile vet').count()).toBe(1) // S6
    expect(open.complaints).toEqual([])
  })

  test('one animal: its phase, its mass against what it may lose, each rule with its source', async () => {
    open = await visit('safe', '/animals/bramble')
    await open.part('Its winter').getByText('In hold since Fri 4 Dec, day 41.').waitFor()
    const mass = open.part('Mass')
    await mass.getByText(/^Well\. Lost 1\.0.% since it went down/).waitFor()
    const chart = mass.getByRole('img')
    expect(await chart.getAttribute('aria-label')).toMatch(
      /^Mass: 6 weigh-ins from 812.g on 3 Dec to 804.g on 11 Jan\.$/,
    )
    await mass.getByText(/5\.0.% lost in all: 771.g$/).waitFor()
    await mass.getByText(/if it goes on so: met about \d+ \w+, at the soonest .*, at the latest/).waitFor()
    await mass.getByText('Weigh-ins as a table').click()
    const rows = mass.getByRole('row')
    expect(await rows.count()).toBe(7)
    expect(await rows.nth(1).innerText()).toMatch(/^Mon 11 Jan, 03:07\s+804.g\s+−1\.0.%$/)
    const condition = open.part('Condition')
    await condition.getByText(/^Look closer\. One rule says well/).waitFor()
    await condition.getByText('Jackson ratio 0.231 g/cm³: well').waitFor()
    await condition.getByText(/^Tortoise Protection Group, .*\(read second-hand\)$/).waitFor()
    expect(await condition.getByText('No body score was noted.').isVisible()).toBe(false)
    await condition.getByText('One rule that does not hold here').click()
    await condition.getByText('No body score was noted.').waitFor()
    expect(await open.page.getByRole('link', { name: 'Its winter on paper' }).getAttribute('href')).toBe(
      '/animals/bramble/winter',
    )
    expect(open.complaints).toEqual([])
  })

  test('S1: what is missing before it goes down, each with the way to mend it', async () => {
    open = await visit('practice', '/animals/bramble')
    const gate = open.part('Before it goes down')
    await gate.getByText('3 things are missing or against it.').waitFor()
    const ways = await gate
      .getByRole('link')
      .evaluateAll((links) => links.map((one) => one.getAttribute('href')))
    expect(ways).toEqual(['/animals/bramble/note/weighed', '/animals/bramble/note/checked', '/contacts'])
    await gate.getByRole('link', { name: 'Health check' }).click()
    await open.heading('Health check').waitFor()
  })

  test('S4: the steps after waking with their hours, a late one to a vet', async () => {
    open = await visit('practice', '/animals/puddle')
    const waking = open.part('Waking')
    await waking.getByText(/^by 07:\d\d, in (?:4 h|3 h 59 min)$/).waitFor()
    await waking.getByText(/^3 h(?: \d+ min)? late: ring a reptile vet$/).waitFor()
    expect(await waking.getByRole('link').allInnerTexts()).toEqual(['Drank', 'Fed'])
  })

  test('what another phone notes is seen while one looks', async () => {
    open = await visit('safe', '/animals/bramble')
    const { page, fixture } = open
    const diary = page.getByRole('list', { name: 'Diary of Bramble' })
    await diary.waitFor()
    await page.evaluate(async () => {
      const note = { kind: 'said' }
      const entry = {
        id: 'other-phone',
        at: Date.parse('2027-01-13T03:00:00+01:00'),
        animal: 'bramble',
        note,
      }
      const body = JSON.stringify({ ...entry, text: 'Heard it dig.' })
      await fetch('/api/diary/other-phone', { method: 'PUT', body })
    })
    // Two events in one frame: the diary's must not be lost behind the other
    fixture.send({ kind: 'diary', animal: 'bramble' as never })
    fixture.send({ kind: 'source', topic: 'brumal/in/porch' })
    await diary.getByText('Heard it dig.').waitFor()
  })

  test('an animal’s name leads from Tonight to its page; what is no animal says so', async () => {
    open = await visit('safe', '/')
    const { page } = open
    await page.getByRole('article', { name: 'Cellar' }).getByRole('link', { name: 'Puddle' }).click()
    await open.heading('Puddle').waitFor()
    await open.part('Mass').getByText('It was never weighed in this hold.').waitFor()
    await page.goto(`${open.fixture.url}/animals/nobody`)
    await open.heading('There is nothing here').waitFor()
    await page.getByRole('link', { name: 'See all animals' }).click()
    await row('Amber').waitFor()
  })

  test('without animals the keeper is led to Set-up, a sitter is not', async () => {
    open = await visit('empty', '/animals')
    await open.page.getByText('No animal is here yet. Add the first one under Set-up.').waitFor()
    await open.page.getByRole('link', { name: 'Add an animal' }).waitFor()
    await open.close()
    open = await visit('sitterEmpty', '/weigh')
    await open.page.getByText('No animal is here yet. A keeper adds them under Set-up.').waitFor()
    expect(await open.page.getByRole('link', { name: 'Add an animal' }).count()).toBe(0)
  })

  test('a sitter sees all of it and changes no animal', async () => {
    open = await visit('sitter', '/animals/sorrel')
    await open.part('Wake Sorrel now').waitFor()
    expect(await open.page.getByText('Begin warming in the plan').count()).toBe(0)
    expect(await open.page.getByText('Change under Set-up').count()).toBe(0)
  })

  test('the ways on a phone: five at the thumb, the others behind More, by keyboard and without a jump', async () => {
    open = await visit('safe', '/animals', 360)
    const { page } = open
    await row('Bramble').waitFor()
    const ways = page.getByRole('navigation', { name: 'Screens' })
    const more = ways.getByRole('button', { name: 'More' })
    const plan = ways.getByRole('link', { name: 'Plan' })
    expect(await ways.getByRole('link').allInnerTexts()).toEqual(['Tonight', 'Day', 'Animals', 'Alarms'])
    const before = await open.heading('Animals').boundingBox()
    await more.press('Enter')
    expect(await more.getAttribute('aria-expanded')).toBe('true')
    await plan.waitFor()
    expect(await open.heading('Animals').boundingBox()).toEqual(before)
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme })
      expect(await violationsOn(page)).toEqual([])
    }
    for (const way of await ways.getByRole('link').all())
      expect((await way.boundingBox())?.height).toBeGreaterThanOrEqual(44)

    await page.keyboard.press('Tab')
    expect(await focused()).toBe('Plan')
    await page.keyboard.press('Escape')
    await plan.waitFor({ state: 'hidden' })
    expect(await focused()).toBe('More')
    await more.press('Enter')
    for (let i = 0; i < 5; i += 1) await page.keyboard.press('Tab') // past the last: it closes behind
    await plan.waitFor({ state: 'hidden' })
    await more.click()
    await ways.getByRole('link', { name: 'Winter' }).click()
    await until(async () => pathNow() === '/winter', 'the way to be gone')
    await plan.waitFor({ state: 'hidden' })
    await ways.getByRole('button', { name: 'More (now at Winter)' }).waitFor()

    await page.setViewportSize({ width: 1280, height: 740 })
    expect(await ways.getByRole('link').allInnerTexts()).toHaveLength(8)
    expect(await more.isVisible()).toBe(false)
  }, 60_000)

  test.each(['/animals', '/animals/bramble'])(
    'axe finds nothing wrong with %s (WCAG 2.2 AA)',
    async (path) => {
      open = await visit('safe', path, 360)
      const { page } = open
      await (path === '/animals'
        ? row('Bramble')
        : page.getByRole('list', { name: 'Diary of Bramble' })
      ).waitFor()
      await page.locator('summary').first().waitFor()
      for (const width of [360, 1280]) {
        await page.setViewportSize({ width, height: 740 })
        for (const colorScheme of ['light', 'dark'] as const) {
          await page.emulateMedia({ colorScheme })
          expect(await violationsOn(page)).toEqual([])
          expect(await isTooWide(page)).toBe(false)
        }
      }
    },
    60_000,
  )
})

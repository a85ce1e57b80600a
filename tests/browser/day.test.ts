import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('the day', () => {
  const visit = visits()
  let open: Visit

  const due = () => open.part('To do today')
  const titles = () => due().locator('strong').allInnerTexts()

  test('S4: one tap notes it, the line goes, it stands under what was noted, and one tap takes it back', async () => {
    open = await visit('safe', '/day')
    await due().getByText('Air Cellar and Larder fridge', { exact: true }).waitFor()
    expect(await titles()).toContain('Look at Puddle and Thistle')
    await open.button(/^Aired ?: Air Cellar and Larder fridge$/).click()
    await until(async () => !(await titles()).includes('Air Cellar and Larder fridge'), 'the airing to go')
    await open
      .part('Noted today')
      .getByText(/Larder fridge: aired/i)
      .waitFor()
    expect(open.answers.filter((one) => one.request().method() === 'PUT')).toHaveLength(2)

    await open.button('Undo').click()
    await due().getByText('Air Cellar and Larder fridge', { exact: true }).waitFor()
    expect(open.complaints).toEqual([])
  })

  test('what needs more than a tap leads to where it is noted', async () => {
    open = await visit('safe', '/day')
    await due()
      .getByRole('link', { name: /^Weigh ?: Weigh Thistle$/ })
      .click()
    await open.heading('Weigh').waitFor()
  })

  test('S5: a culture’s weeks, and what is counted changes them and makes the count go', async () => {
    open = await visit('safe', '/day')
    const food = open.part('Live food')
    await food.getByText('0.9 weeks left').waitFor()
    await food.getByText('order now', { exact: true }).waitFor()
    await food.getByRole('button', { name: 'Counted of Cricket tub' }).click()
    await food.getByText('Type how many pieces first.').waitFor()
    await food.getByLabel('How many pieces').fill('350')
    await food.getByRole('button', { name: 'Counted of Cricket tub' }).click()
    await food.getByText('5.0 weeks left').waitFor()
    await until(async () => !(await titles()).includes('Count Cricket tub'), 'the count to go')
  })

  test('S5: under Set-up a culture is told what it holds, and another kind of place has no food', async () => {
    open = await visit('safe', '/set-up')
    const { page } = open
    await open.button('Add a place').click()
    const form = page.getByRole('form', { name: 'New place' })
    await form.getByLabel('Name').fill('Mealworm box')
    expect(await form.getByLabel('What lives here').count()).toBe(0)
    await form.getByLabel('Kind').selectOption('culture')
    await form.getByLabel('What lives here').selectOption('mealworm')
    await form.getByLabel('Counted in').selectOption('grams')
    await form.getByLabel('Used in a week, grams').fill('25')
    await form.getByLabel('Weeks until an order is here').fill('2')
    const sent = page.waitForRequest((request) => request.method() === 'PUT')
    await form.getByRole('button', { name: 'Save' }).click()
    expect((await sent).postDataJSON()).toMatchObject({
      kind: 'culture',
      culture: { food: 'mealworm', unit: 'grams', weeklyUse: 25, orderWeeks: 2 },
    })
  })

  test('X1: a calendar feed is made, shown once, made anew after a question, and ended', async () => {
    open = await visit('safe', '/day')
    const part = open.part('In your calendar')
    await part.getByText('You have no feed yet.').waitFor()
    await part.getByText(/^Whoever has the address reads/).waitFor()
    await part.getByRole('button', { name: 'Make a feed' }).click()
    const first = await part.getByRole('region', { name: 'Address' }).innerText()
    expect(first).toMatch(/^https:\/\/brumal\.home\.example\/calendar\/[\w-]{43}\.ics$/)
    await part.getByRole('button', { name: 'I have it, hide it' }).click()
    expect(await open.page.getByText(first).count()).toBe(0)

    await part.getByRole('button', { name: 'Make a new address' }).click()
    await part.getByText('The address that you have now is dead from then on.').waitFor()
    await part.getByRole('group').getByRole('button', { name: 'Make a new address' }).click()
    expect(await part.getByRole('region', { name: 'Address' }).innerText()).not.toBe(first)

    await part.getByRole('button', { name: 'End the feed' }).click()
    await part.getByRole('group').getByRole('button', { name: 'End it' }).click()
    await part.getByText('You have no feed yet.').waitFor()
    expect(open.complaints).toEqual([])
  })

  test('a house without animals says where reminders come from', async () => {
    open = await visit('empty', '/day')
    await open.page.getByText('Nothing is due.').waitFor()
    await open.page.getByRole('link', { name: 'Add them under Set-up' }).waitFor()
    expect(await open.page.getByRole('heading', { name: 'Live food' }).count()).toBe(0)
  })

  test.each([360, 1280])('at %d px nothing sticks out, and axe finds nothing', async (width) => {
    open = await visit('safe', '/day', width)
    await due().getByText('Air Cellar and Larder fridge', { exact: true }).waitFor()
    for (const scheme of ['light', 'dark'] as const) {
      await open.page.emulateMedia({ colorScheme: scheme })
      expect(await violationsOn(open.page)).toEqual([])
    }
    expect(await isTooWide(open.page)).toBe(false)
    expect(await open.page.getByText('ask a reptile vet').count()).toBe(1) // S6
  })
})

import { describe, expect, test } from 'vitest'
import { violationsOnPhoneAndDesk } from '../support/look-at.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('trying other limits on a past winter', () => {
  const visit = visits()
  let open: Visit

  test('by keyboard from the place: as they are today all is the very same; a narrower limit tells earlier', async () => {
    open = await visit('safe', '/places/larder-fridge')
    const { page } = open
    await page.getByRole('link', { name: 'Try other limits' }).press('Enter')
    await open.heading('Try other limits').waitFor()
    const form = page.getByRole('form', { name: 'Limits to try' })
    const low = form.getByRole('group', { name: 'Low', exact: true })
    const critical = form.getByRole('group', { name: 'Too low, critical' })
    await low.getByLabel('Value').waitFor()
    expect([
      await critical.getByLabel('Value').inputValue(),
      await low.getByLabel('Value').inputValue(),
    ]).toEqual(['1', '3'])
    await open.button('Try these limits').press('Enter')
    const result = page.getByRole('region', { name: 'What would have been' })
    await result.getByText(/^The very same: \d+ alarms\.$/).waitFor()

    await critical.getByLabel('Value').fill('2.5')
    await page.keyboard.press('Enter')
    await result
      .getByText(/The phone would have rung in \d+ nights?(?:, as it did| instead of \d+)\./)
      .waitFor()
    await result
      .getByText(/would have been told .* earlier\./)
      .first()
      .waitFor()
    expect(await result.getByRole('img').count()).toBe(2)
    const figures = result.getByRole('table', { name: /in figures$/ }).getByRole('row')
    expect(await figures.first().innerText()).toMatch(/Happened\s+Would have/)
    await result.getByText('Night by night').press('Enter')
    const nights = result.getByRole('table', { name: /^Nights with an alarm/ }).getByRole('row')
    expect(await nights.count()).toBeGreaterThan(1)
    expect(open.complaints).toEqual([])
  })

  test('S6: wider limits are warned of before they are tried, and what the log cannot say is said after', async () => {
    open = await visit('safe', '/what-if/larder-fridge')
    const { page } = open
    const critical = page.getByRole('group', { name: 'Too low, critical' })
    await critical.getByLabel('Value').fill('2')
    expect(await page.getByText(/that is a risk to the animals/).count()).toBe(0)
    await critical.getByLabel('Value').fill('-1')
    await page.getByText(/that is a risk to the animals\. Ask a reptile vet/).waitFor()
    await open.button('Try these limits').click()
    await page.getByText(/Answers are not played/).waitFor()
    await page
      .getByText(/It rang, and would not have\./)
      .first()
      .waitFor()
    await page.getByText(/^Not veterinary advice: ask a reptile vet\./).waitFor()
    await open.button('As they are today').click()
    expect(await critical.getByLabel('Value').inputValue()).toBe('1')
  })

  test('a place of which nothing is stored says so, and a sitter reads that only a keeper can try (X1)', async () => {
    open = await visit('safe', '/what-if/cellar')
    await open.page.getByText(/^No readings of Cellar are stored for the season 2026\/27\.$/).waitFor()
    open = await visit('sitter', '/what-if/larder-fridge')
    await open.page.getByText('Only a keeper can try limits.').waitFor()
    expect(await open.page.getByRole('form').count()).toBe(0)
  })

  test('axe finds nothing on a phone by day nor on a desk by night, and nothing is too wide (WCAG 2.2 AA)', async () => {
    open = await visit('safe', '/what-if/larder-fridge')
    const { page } = open
    await page.getByText('Deadband, return, silence').click()
    await page.getByRole('group', { name: 'Too low, critical' }).getByLabel('Value').fill('0.5')
    await open.button('Try these limits').click()
    await page.getByText('Night by night').click()
    expect(await violationsOnPhoneAndDesk(page, open.part('What would have been'))).toEqual([])
  })
})

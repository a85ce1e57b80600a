import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn, violationsOnPhoneAndDesk } from '../support/look-at.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('the trial run of a place', () => {
  const visit = visits()
  let open: Visit

  test('by keyboard from the place: it begins with its water, the plug goes out and in, it ends, it is thrown away', async () => {
    open = await visit('safe', '/places/cellar')
    const { page } = open
    await open.part('Trial run').getByRole('link').press('Enter')
    await open.heading('Trial run: Cellar').waitFor()
    await page.getByLabel('Water in closed bottles inside, L').fill('6.5')
    await page.keyboard.press('Enter')
    await page.getByText(/^It has run for \d+ s so far\.$/).waitFor()
    await page.getByText(/6\.5.L of water in bottles were inside\./).waitFor()
    expect(await open.button('Begin the trial run').count()).toBe(0)

    await open.button('I pull the plug now').press('Enter')
    await page.getByText(/The plug is out since 03:07\.$/).waitFor()
    await page.getByText(/nobody is told that it does not cool; dangerous warmth is still told/).waitFor()
    await open.button('The plug is in again').press('Enter')
    await open.button('I pull the plug now').waitFor()
    await open.button('End the trial run').press('Enter')
    await page.getByText(/^It ran for \d+ s and ended today at 03:07\.$/).waitFor()
    await open.part('Fit for whom').getByText('Not known yet').first().waitFor()

    await open.button('Throw it away').press('Enter')
    const question = page.getByRole('group', { name: /^Throw this trial run/ })
    await question.getByRole('button', { name: 'Throw it away' }).click()
    await page.getByText(/^Before any animal goes in, let it run empty/).waitFor()
    expect(open.complaints).toEqual([])
  })

  test('S6: the report says for whom it is fit, what to change and why, under the cautions', async () => {
    open = await visit('safe', '/places/larder-fridge/trial')
    const { page } = open
    await page.getByText(/^It ran for 8 d and ended on Sun 22 Nov at 03:07\.$/).waitFor()
    const tortoise = page.getByRole('article', { name: /Testudo hermanni/ })
    await tortoise.getByText('Fit', { exact: true }).waitFor()
    await tortoise.getByText(/^The coldest value was 3\.\d.°C \(Fridge air in Larder fridge\)/).waitFor()
    await tortoise.getByText(/^Without power it was at 10\.0.°C after \d.h(?: \d+.min)?\.$/).waitFor()
    await open
      .part('What to change')
      .getByText(/^A thermometer in the room around it is missing/)
      .waitFor()
    const rows = open.part('The spots').getByRole('row')
    expect(await rows.count()).toBe(4)
    expect(await rows.nth(1).innerText()).toMatch(/^Fridge air\s+Larder fridge, air\s+4\.9\s+3\.4/)
    await open
      .part('What else it showed')
      .getByText(/^It runs about every 38.min, cooling for 4\d.% of the time/)
      .waitFor()
    await page.getByText(/^Not veterinary advice: ask a reptile vet\. Mains and water do not mix\./).waitFor()
  })

  test('a sitter reads and prints it, and changes nothing (X1)', async () => {
    open = await visit('sitter', '/places/larder-fridge/trial')
    await open.part('Fit for whom').waitFor()
    const buttons = open.page.getByRole('main').getByRole('button')
    expect(await buttons.allInnerTexts()).toEqual(['Print'])
  })

  test('L9: the allowance of a place is taken off in Set-up, and given back; the rest of it is kept', async () => {
    open = await visit('safe', '/places/cellar/trial', 1280)
    const { page } = open
    await open.button('Begin the trial run').click()
    await open.button('End the trial run').waitFor()
    await page.getByRole('link', { name: 'Set-up' }).click()
    const form = page.getByRole('form', { name: 'Change Cellar' })
    const box = form.getByRole('checkbox', { name: /^Take limits near freezing as they stand/ })
    const saved = async (): Promise<unknown> => {
      const puts = () => open.answers.filter((answer) => answer.request().method() === 'PUT')
      const before = puts().length
      await form.getByRole('button', { name: 'Save' }).click()
      await until(() => puts().length > before, 'the place to be saved')
      return puts().at(-1)?.request().postDataJSON()
    }
    await open.button(/^Change Cellar$/).click()
    await box.check()
    const off = await saved()
    expect(off).toMatchObject({ id: 'cellar', kind: 'coldRoom', guardBand: 'off', trial: { by: 'Robin' } })
    await open.button(/^Change Cellar$/).click()
    expect(await box.isChecked()).toBe(true)
    await box.uncheck()
    expect(await saved()).not.toHaveProperty('guardBand')
  })

  test('on paper it is black on white, on two sides of A4 at most, without ways and buttons', async () => {
    open = await visit('safe', '/places/larder-fridge/trial', 1280)
    const { page } = open
    await page.emulateMedia({ colorScheme: 'dark' })
    await open.part('Fit for whom').waitFor()
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
    const sides = pdf.match(/\/Type \/Page\b(?!s)/g) ?? []
    expect(sides.length).toBeGreaterThanOrEqual(1)
    expect(sides.length).toBeLessThanOrEqual(2)
    // A4 is 210 × 297 mm (ISO 216), in points of 1/72 inch.
    const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf) ?? []
    expect(Number(width)).toBeCloseTo((210 / 25.4) * 72, 0)
    expect(Number(height)).toBeCloseTo((297 / 25.4) * 72, 0)

    await page.emulateMedia({ media: 'print', colorScheme: 'dark' })
    expect(await page.getByRole('navigation').isVisible()).toBe(false)
    expect(await page.getByRole('button').count()).toBe(0)
    expect(await page.getByRole('link').count()).toBe(0)
    expect(await page.getByRole('textbox').count()).toBe(0)
    expect(await page.getByText(/^Printed 13 Jan 2027, 03:0\d\.$/).isVisible()).toBe(true)
    const inks = await open.part('Fit for whom').evaluate((element) => getComputedStyle(element).color)
    expect(inks).toBe('rgb(0, 0, 0)')
    await page.setViewportSize({ width: 688, height: 1017 }) // 182 mm between the margins, at 96 to the inch
    expect(await isTooWide(page)).toBe(false)
  })

  test('axe finds nothing on a phone by day nor on a desk by night, and nothing is too wide (WCAG 2.2 AA)', async () => {
    open = await visit('safe', '/places/larder-fridge/trial')
    const { page } = open
    expect(await violationsOnPhoneAndDesk(page, open.part('The spots'))).toEqual([])
    await open.button('Throw it away').click()
    expect(await violationsOn(page)).toEqual([])
  })
})

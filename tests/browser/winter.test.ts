import type { Locator } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { until } from '../support/until.ts'
import { visits } from '../support/visits.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'

describe.skipIf(!isChromiumHere)('the strip of a winter', () => {
  const visit = visits()
  let open: Visit

  const strip = (season: string): Locator =>
    open.page.getByRole('listbox', { name: new RegExp(`nights of ${season}`) })
  /** The night that is pointed at, as it is read out. */
  const pointed = async (list: Locator): Promise<string> => {
    const id = (await list.getAttribute('aria-activedescendant')) ?? ''
    return (await open.page.locator(`[id="${id}"]`).getAttribute('aria-label')) ?? ''
  }
  const path = (): string => new URL(open.page.url()).pathname

  test('each night is read out, arrows move, Enter opens one from near, and Back has the focus where it was', async () => {
    open = await visit('safe', '/winter/top-box', 1280)
    const { page } = open
    await open.heading('Winter').waitFor()
    await page
      .getByText(/^71 nights were watched\. The coldest was 4\.0.°C, on Tue 8 Dec\. 7 nights had alarms\./)
      .waitFor()
    const list = strip('2026/27')
    expect(await list.getByRole('option').count()).toBe(75)

    await list.focus()
    expect(await pointed(list)).toMatch(/^Tue 12 Jan: 4\.6 to 5\.2.°C$/)
    await page.keyboard.press('ArrowLeft')
    expect(await pointed(list)).toBe('Mon 11 Jan: nothing was heard')
    await page.keyboard.press('PageUp')
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('ArrowRight')
    expect(await pointed(list)).toMatch(/^Thu 7 Jan: 7\.7 to 8\.0.°C, 12 h above the band, one alarm/)

    await page.keyboard.press('Enter')
    const near = page.getByRole('region', { name: 'Night of Thu 7 Jan' })
    await near.getByRole('slider', { name: /^Temperature in Top box, night of Thu 7 Jan/ }).waitFor()
    await near.getByText(/12 h above the band, one alarm.*; mean 7\.\d.°C, never in the band\.$/).waitFor()
    expect(path()).toBe('/winter/top-box/2027-01-07')

    // From night to night without leaving the near view; one step back leads out of it, not through them
    await page.keyboard.press('ArrowLeft')
    await page.getByRole('region', { name: 'Night of Wed 6 Jan' }).waitFor()
    await page.getByRole('button', { name: 'Earlier' }).click()
    await page.getByRole('region', { name: 'Night of Tue 5 Jan' }).waitFor()
    await page.goBack()
    await until(async () => path() === '/winter/top-box', 'the way back to the winter')
    await until(
      async () => list.evaluate((here) => here === document.activeElement),
      'the focus on the strip',
    )
    expect(await pointed(list)).toMatch(/^Tue 5 Jan: /)

    await page.keyboard.press('Enter')
    await page.getByRole('region', { name: 'Night of Tue 5 Jan' }).waitFor()
    await page.keyboard.press('Escape')
    await until(
      async () => list.evaluate((here) => here === document.activeElement),
      'the focus on the strip again',
    )
    expect(open.complaints).toEqual([])
  })

  test('what the marks mean stands beside them in words, each priority with its own shape', async () => {
    open = await visit('safe', '/winter/top-box', 1280)
    const key = open.page.getByRole('list', { name: 'What the marks mean' })
    await key.waitFor()
    expect(await key.getByRole('listitem').allInnerTexts()).toEqual([
      'lowest to highest of a night, in the band',
      'an hour: the lower, the stronger',
      'above the band for some of the hour',
      'nothing was heard',
      'the door was opened',
      'an alarm of priority high',
      'an alarm of priority medium',
    ])
    // What is over wants no hand: it is ink, not colour
    const ink = await open.page
      .locator('.strip-across .moon-high')
      .first()
      .evaluate((moon) => getComputedStyle(moon).color)
    expect(ink).toBe(await open.page.locator('body').evaluate((body) => getComputedStyle(body).color))
    expect(await violationsOn(open.page)).toEqual([])
  })

  test('two seasons lie over each other by the date, their numbers side by side, the same as tables', async () => {
    open = await visit('safe', '/winter/top-box', 1280)
    const { page } = open
    await page.getByLabel('Compare with').selectOption('2025/26')
    await strip('2025/26').waitFor()
    await page.getByRole('heading', { name: '2025/26' }).waitFor()

    const rows = page.getByRole('table', { name: 'In numbers' }).getByRole('row')
    expect(await rows.first().getByRole('columnheader').allInnerTexts()).toEqual(['2026/27', '2025/26'])
    const texts = (await rows.allInnerTexts()).map((text) => text.split('\t').map((cell) => cell.trim()))
    expect(texts).toContainEqual(['Nights watched', '71', '58'])
    expect(texts).toContainEqual(['Nights with alarms', '7', '3'])
    expect(texts).toContainEqual(['Coldest', '4.0\u202f°C, Tue 8 Dec', '3.4\u202f°C, Wed 28 Jan'])

    // The same day of both winters stands at the same place
    const left = (season: string, label: RegExp) =>
      strip(season)
        .getByRole('option', { name: label })
        .evaluate((night) => Math.round(night.getBoundingClientRect().x))
    expect(await left('2026/27', /^Fri 1 Jan:/)).toBe(await left('2025/26', /^Thu 1 Jan:/))
    await strip('2026/27').focus()
    for (let i = 0; i < 2; i += 1) await page.keyboard.press('ArrowLeft')
    await page.getByText(/^2025\/26: Sat 10 Jan: /).waitFor()

    await page.getByRole('button', { name: 'as a table' }).click()
    const table = page.getByRole('table', { name: 'Temperature, nights of 2025/26' })
    expect(await table.getByRole('row').count()).toBe(62)
    await table.getByRole('link', { name: 'Wed 28 Jan' }).click()
    await page.getByRole('region', { name: 'Night of Wed 28 Jan' }).waitFor()
  })

  test('on a phone each night is a row; a tap opens it in place of the list, and back has the row in sight', async () => {
    open = await visit('safe', '/winter/top-box', 360)
    const { page } = open
    await page.getByLabel('Compare with').selectOption('2025/26')
    await page.getByText('In each row above 2026/27, below 2025/26.').waitFor()
    expect(await isTooWide(page)).toBe(false)
    const row = strip('2026/27').getByRole('option', { name: /^Sun 13 Dec: .*; in 2025\/26 / })
    expect((await row.boundingBox())?.height).toBeGreaterThanOrEqual(24)
    expect(await violationsOn(page)).toEqual([])
    await row.click()
    await page.getByRole('region', { name: 'Night of Sun 13 Dec' }).waitFor()
    expect(await strip('2026/27').count()).toBe(0)
    await page.getByRole('button', { name: 'Back to the winter' }).click()
    await strip('2026/27').waitFor()
    await until(
      async () =>
        row.evaluate((night) => {
          const { top, bottom } = night.getBoundingClientRect()
          return night.classList.contains('is-active') && top >= 0 && bottom <= innerHeight
        }),
      'the row of that night to be in sight',
    )
    expect(await pointed(strip('2026/27'))).toMatch(/^Sun 13 Dec: /)
  })

  test('a place that was never heard, and a house without places, say what to do', async () => {
    open = await visit('empty', '/winter', 390)
    await open.page
      .getByText('There is no place yet. Make one, and each of its nights is kept here.')
      .waitFor()
    await open.page.getByRole('link', { name: 'To Set-up' }).waitFor()
    await open.close()
    open = await visit('safe', '/winter/attic', 390)
    await open.page.getByText('There is no such place here. It may have been removed.').waitFor()
  })
})

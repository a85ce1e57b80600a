import { AxeBuilder } from '@axe-core/playwright'
import { describe, expect, test } from 'vitest'
import type { ImportLine } from '../../schemas/import.ts'
import { complaintsOf } from '../support/complaints.ts'
import { emptyFridge } from '../support/daemon.ts'
import { inFahrenheit, knownWinter } from '../support/logger-tables.ts'
import { pagesOnDaemon } from '../support/pages-on-daemon.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'

/** Nine days of November: every date of them may be read both ways. */
const table = inFahrenheit(
  knownWinter(5, 60).filter(({ at }) => at >= Date.UTC(2024, 10, 2) && at < Date.UTC(2024, 10, 11)),
)

describe.skipIf(!isChromiumHere)('a past winter in Set-up', () => {
  const { daemon, openPage } = pagesOnDaemon(emptyFridge)

  test('is seen, asked about, taken in, shown under Winter, and taken back', async () => {
    const page = await openPage({ width: 360, height: 740 })
    const complaints = complaintsOf(page)
    const imports = () => daemon().call<ImportLine[]>('GET', '/api/imports')

    await page.goto(`${daemon().url}/set-up`)
    const part = page.locator('.past-winter')
    await part.getByLabel('A table from any logger (CSV)').setInputFiles({
      name: 'cellar.csv',
      mimeType: 'text/csv',
      buffer: table,
    })
    const preview = part.getByRole('region', { name: 'First rows of cellar.csv' })
    expect(await preview.getByLabel('Temp, °F').inputValue()).toBe('temperature')
    expect(await preview.getByLabel('#').inputValue()).toBe('out')
    const takeIn = part.getByRole('button', { name: 'Take it in' })
    await part.getByText('Say whether the day or the month comes first.').waitFor()
    expect(await takeIn.isDisabled()).toBe(true)
    await part.getByLabel('Its dates begin with').selectOption('monthFirst')
    await part
      .getByText(/2 Nov 2024 to 10 Nov 2024|2 November 2024|Nov/)
      .first()
      .waitFor()
    await part.getByLabel('Name of the logger').first().fill('Cellar logger')
    expect(await part.getByLabel('Name of the logger').nth(1).inputValue()).toBe('Cellar logger')
    const { violations } = await new AxeBuilder({ page }).include('.past-winter').setLegacyMode().analyze()
    expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360)

    await until(async () => !(await takeIn.isDisabled()), 'the table to be looked through')
    await takeIn.click()
    await until(async () => (await imports())[0]?.state === 'done', 'the table to be in')
    await part.getByRole('button', { name: 'Undo cellar.csv' }).waitFor()
    expect((await imports())[0]).toMatchObject({ loggers: ['cellar-logger'], sensors: ['cellar-logger'] })

    await page.goto(`${daemon().url}/winter`)
    await page.getByLabel('Season').selectOption('2024/25')
    await page
      .getByText(/\d+ nights were watched/)
      .first()
      .waitFor()
    await page.goto(`${daemon().url}/set-up`)

    await part.getByRole('button', { name: 'Undo cellar.csv' }).click()
    await part.getByRole('button', { name: 'Take it back' }).click()
    await part.getByText(/^Took back cellar\.csv: \d+ readings\.$/).waitFor()
    expect(await imports()).toEqual([])
    expect(complaints).toEqual([])
  }, 60_000)
})

import { describe, expect, test } from 'vitest'
import type { DiaryLine } from '../../schemas/diary.ts'
import { complaintsOf } from '../support/complaints.ts'
import { tortoiseHouse } from '../support/daemon.ts'
import { pagesOnDaemon } from '../support/pages-on-daemon.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'

describe.skipIf(!isChromiumHere)('an animal on the running daemon', () => {
  const { daemon, openPage } = pagesOnDaemon(tortoiseHouse)

  test('is weighed, taken back, weighed again, and gets its photo as portrait', async () => {
    const page = await openPage({ width: 390, height: 740 })
    const complaints = complaintsOf(page, { answers: true })
    const press = (button: string) => page.getByRole('button', { name: button, exact: true }).click()
    const diary = () => daemon().call<DiaryLine[]>('GET', '/api/diary?animal=juno&kind=weighed')

    await page.goto(`${daemon().url}/weigh`)
    await page.getByLabel(/^Juno/).fill('812,5')
    await press('Save')
    await page.getByText(/^Juno: 812\.5.g noted\./).waitFor()
    expect(await diary()).toMatchObject([{ note: { kind: 'weighed', grams: 812.5 }, by: 'Ada' }])
    await press('Undo')
    await until(async () => (await diary()).length === 0, 'the weigh-in to be gone')
    await page.getByLabel(/^Juno/).fill('811')
    await press('Save')
    await page.getByText(/^Juno: 811.g noted\./).waitFor()

    await page.goto(`${daemon().url}/animals/juno/note/photographed`)
    const icon = new URL('../../web/public/icon-512.png', import.meta.url).pathname
    await page.locator('input[type=file]').setInputFiles(icon)
    await page.getByRole('img', { name: 'The photo as it will be kept' }).waitFor()
    await press('Save')
    const lines = page.getByRole('list', { name: 'Diary of Juno' }).getByRole('listitem')
    await lines.getByText(/^Weighed 811.g\.$/).waitFor()
    const photo = lines.getByRole('img')
    await photo.scrollIntoViewIfNeeded() // drawn only once it comes near the screen, as a phone's bytes are dear
    await until(
      () => photo.evaluate((one: HTMLImageElement) => one.naturalWidth === 512),
      'the photo to be seen',
    )
    await press('Use as portrait')
    await page.locator('.animal-head img.portrait').waitFor()
    await page.getByRole('region', { name: 'Condition' }).waitFor()
    expect(complaints).toEqual([])
  }, 60_000)
})

import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import type { Scene } from '../support/web-fixture-scene.ts'
import { isChromiumHere } from '../support/chromium.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('how everything is kept', () => {
  const visit = visits()

  async function open(scene: Scene, width?: number) {
    const seen = await visit(scene, '/set-up', width)
    const part = seen.part('Keeping')
    await part.getByRole('button', { name: 'Back up now' }).waitFor()
    return { ...seen, part, copies: part.getByRole('list').first().getByRole('listitem') }
  }

  test('a keeper sees what is kept and the newest five backups, and presses for one more by keyboard', async () => {
    const { asked, complaints, copies, page, part } = await open('safe')
    await part.getByText('214 MB: every reading since 13 Jan 2025, hourly values since 9 Jan 2024.').waitFor()
    await part.getByText('The next comes tonight at 03:30.').waitFor()
    expect(await copies.count()).toBe(5)
    expect(await copies.first().innerText()).toMatch(/^03:30 23 h \d+ min ago, 202 MB\n/)
    await part.getByText('9 older ones').click()
    expect(await part.getByRole('listitem').count()).toBe(14)

    const answers: (() => void)[] = []
    await page.route('**/api/backups', (route) => {
      answers.push(() => void route.continue())
    })
    const button = part.getByRole('button', { name: /^Back/ })
    await button.focus()
    await page.keyboard.press('Enter')
    await part.getByRole('button', { name: 'Backing up …' }).waitFor()
    expect(await button.getAttribute('aria-disabled')).toBe('true')
    await page.keyboard.press('Enter')
    answers[0]?.()
    await part.getByRole('status').getByText('Backed up: 202 MB, looked through: whole.').waitFor()
    await part.getByText('10 older ones').waitFor()
    expect(await copies.first().innerText()).toMatch(/just now|\d s ago/)
    await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toBe('Back up now')
    const line = await part
      .getByRole('region', { name: 'A line that restores the newest backup' })
      .innerText()
    const name = await copies.first().getByText(/\.db$/).innerText()
    expect(line).toBe(`npm start -- restore /mnt/second-disk/brumal-backups/${name} --replace`)
    expect(asked().filter((path) => path === '/api/backups')).toHaveLength(1) // one at a time
    expect(complaints).toEqual([])
  })

  test('N1: a failure is loud, with its reason; pressing again in vain says so once', async () => {
    const { part } = await open('unreached')
    await part
      .getByRole('alert')
      .getByText(/^Backups fail since Mon 11 Jan, 03:00\. The disk cannot/)
      .waitFor()
    await part.getByRole('button', { name: 'Back up now' }).click()
    await part.getByRole('status').getByText('The backup failed.').waitFor()
    expect(await part.getByRole('alert').count()).toBe(1)
  })

  test('N2: while the disk takes nothing that is loud, too', async () => {
    const { part } = await open('lost')
    await part.getByRole('alert').getByText('The disk takes nothing; 1312 readings wait').waitFor()
  })

  test('no backup yet, and backups that are off, are said in one sentence', async () => {
    const { part } = await open('empty')
    await part.getByText('No backup yet; the first comes tonight at 03:30.').waitFor()
    expect(await part.getByText('npm start').count()).toBe(0)
    const off = await open('unsure')
    await off.part.getByText('Nightly backups are off (backup.isOn in the settings).').waitFor()
    await off.part.getByText('This computer does not say how much room its disk has.').waitFor()
  })

  test('the list of parts leads here; a sitter sees none of it', async () => {
    const { page } = await open('safe')
    await page
      .getByRole('navigation', { name: 'Parts of Set-up' })
      .getByRole('link', { name: 'Keeping' })
      .click()
    expect(new URL(page.url()).hash).toBe('#part-keeping')
    const seen = await visit('sitter', '/set-up')
    await seen.part('Signed in').waitFor()
    expect(await seen.part('Keeping').count()).toBe(0)
    expect(seen.asked()).not.toContain('/api/keeping')
  })

  test.each([360, 1280])(
    'at %d px nothing is wider than its window, and axe finds nothing',
    async (width) => {
      const { page, part } = await open('unreached', width)
      await part.getByText('9 older ones').click()
      expect(await violationsOn(page)).toEqual([])
      expect(await isTooWide(page)).toBe(false)
    },
    60_000, // axe looks at the whole of Set-up
  )
})

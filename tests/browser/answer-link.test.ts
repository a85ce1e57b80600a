import { gzipSync } from 'node:zlib'
import { describe, expect, test } from 'vitest'
import type { Scene } from '../support/web-fixture-scene.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

const seenIt = 'I have seen it and will see to it'

describe.skipIf(!isChromiumHere)('a link in a message', () => {
  const visit = visits()

  async function open(...where: [scene: Scene, path: string, width?: number]): Promise<Visit> {
    const seen = await visit(...where)
    return seen
  }

  test('says in one glance what, where, since when, who lives there and what to do first (A6)', async () => {
    const { asked, button, heading, page } = await open('out', '/answer#cold', 360)
    await heading('Top box is dangerously cold at 0.9 °C (limit 1.0 °C)').waitFor()
    const press = button(seenIt)
    for (const text of [/^For 26\smin now\. There: Bramble/, /^Move the box to a cool room/, /since 02:41/])
      expect(await page.getByText(text).count()).toBe(1)
    const box = await press.boundingBox()
    expect((box?.y ?? 9999) + (box?.height ?? 0)).toBeLessThan(740)
    expect(box?.height).toBeGreaterThanOrEqual(64)
    expect(asked()).toEqual(['/api/answer'])
  })

  test('is acknowledged by one press, without a sign-in and without the dashboard’s code', async () => {
    const { answers, asked, button, complaints, page } = await open('out', '/answer#cold')
    await button(seenIt).click()
    await page.getByText(/^Noted\. Robin acknowledged it at 03:0\d\. It still stands\.$/).waitFor()
    expect(await button(seenIt).count()).toBe(0)
    expect(asked()).toEqual(['/api/answer', '/api/answer/acknowledge'])
    const scripts = answers.filter((answer) => answer.url().endsWith('.js'))
    const bytes = await Promise.all(scripts.map(async (answer) => gzipSync(await answer.body()).length))
    // 25 kB as sent; the dashboard would be 65 kB more
    expect(bytes.reduce((sum, length) => sum + length, 0)).toBeLessThan(27_000)
    expect(complaints).toEqual([])
  })

  test('is answered by the keyboard alone, and the focus stays with what was said', async () => {
    const { button, page } = await open('out', '/answer#cold')
    await button(seenIt).waitFor()
    await page.keyboard.press('Tab')
    await page.keyboard.press('Enter')
    const said = page.getByText(/^Noted\./)
    await said.waitFor()
    expect(await page.evaluate(() => document.activeElement?.textContent)).toMatch(/^Noted\./)
    await page.keyboard.press('Tab')
    await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toBe('5 min')
  })

  test('with `now` acknowledges at once; loaded again it only looks, by the key that stays in the address', async () => {
    const { asked, page } = await open('out', '/answer?now#cold')
    await page.getByText(/^Noted\. Robin acknowledged it/).waitFor()
    const { pathname, search, hash } = new URL(page.url())
    expect([pathname, search, hash]).toEqual(['/answer', '', '#cold'])
    await page.reload()
    await page.getByText(/^Robin acknowledged it at 03:0\d/).waitFor()
    expect(asked()).toEqual(['/api/answer', '/api/answer/acknowledge', '/api/answer'])
  })

  test('says who was quicker', async () => {
    const { asked, button, page } = await open('out', '/answer?now#taken')
    await page.getByText(/^Bela acknowledged it at 03:0\d\. It still stands\.$/).waitFor()
    expect(await button(seenIt).count()).toBe(0)
    expect(asked()).toEqual(['/api/answer'])
  })

  test('a press that does not get through is told loudly, and gets through when tried again', async () => {
    const { button, context, page } = await open('out', '/answer#cold')
    await button(seenIt).waitFor()
    await context.setOffline(true)
    await button(seenIt).click()
    await page.getByRole('alert').getByText('Your answer has not got through.').waitFor()
    await context.setOffline(false)
    await button('Try again').click()
    await page.getByText(/^Noted\./).waitFor()
    expect(await page.getByRole('alert').count()).toBe(0)
  })

  test('says that a place is opened, and that it is shut again (A3)', async () => {
    const { button, complaints, page } = await open('out', '/answer#cold')
    await button('15 min').click()
    await page.getByText('Quiet about warmth for 15 min more.').waitFor()
    await button('It is shut again').click()
    await button(/^5 min$/).waitFor()
    expect(complaints).toEqual([])
  })

  test('a keeper’s offers to shelve for as long as is allowed, with a reason; a sitter’s does not (A2)', async () => {
    const { button, fixture, page } = await open('out', '/answer#cold')
    await page.getByText('Shelve it for a while').click()
    const form = page.getByRole('form', { name: 'Shelve it for a while' })
    expect(await form.getByRole('option').allInnerTexts()).toEqual(['15 min', '30 min', '1 h'])
    await form.getByLabel('Reason').fill('carrying it to the cellar')
    await form.getByRole('button', { name: 'Shelve it' }).click()
    await page.getByText(/^Robin shelved it until 03:3\d: carrying it to the cellar$/).waitFor()
    await page.goto('about:blank')
    await page.goto(`${fixture.url}/answer#sitter`)
    await button(/^5 min$/).waitFor()
    expect(await page.getByText('Shelve it for a while').count()).toBe(0)
  })

  test('of a test asks whether it rang, and thanks', async () => {
    const { asked, button, heading, page } = await open('out', '/answer#ring')
    await heading('Did it ring?').waitFor()
    await button('Yes, it rang').click()
    await page.getByText('Thank you: it is noted that this rings.').waitFor()
    await heading('It rang').waitFor()
    expect(asked()).toEqual(['/api/answer', '/api/answer/rang'])
  })

  test.each([
    ['old', 'This link opens nothing any more', 'Open the dashboard'],
    ['nonsense', 'This link opens nothing', 'Open the dashboard'],
    ['earlier', /^Top box is dangerously cold/, 'See the whole house'],
    ['over', 'It is over', 'See the whole house'],
  ])('%s: says so in plain words, offers no answer, and leads to the dashboard', async (key, title, way) => {
    const { button, heading, page } = await open('out', `/answer?now#${key}`)
    await heading(title).waitFor()
    expect(await button(seenIt).count()).toBe(0)
    await page.getByRole('link', { name: way }).click()
    await heading('Sign in').waitFor()
  })
})

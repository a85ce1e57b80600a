import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import type { Scene } from '../support/web-fixture-scene.ts'
import { isChromiumHere } from '../support/chromium.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('the species', () => {
  const visit = visits()

  async function open(scene: Scene = 'safe', width?: number) {
    const seen = await visit(scene, '/species', width)
    const { page } = seen
    await page.getByText('34 of 34 species').waitFor()
    const line = (name: string) => page.getByRole('group').filter({ hasText: name }).first()
    return { ...seen, line, openLine: (name: string) => line(name).locator('summary').click() }
  }

  test('are listed by kind, found by either name, and said to be none where none is called so', async () => {
    const { page, complaints } = await open()
    const kinds = await page.getByRole('heading', { level: 2 }).allInnerTexts()
    expect(kinds).toEqual([
      'Tortoises',
      'Turtles',
      'Snakes',
      'Lizards',
      'Frogs and toads',
      'Salamanders and newts',
    ])
    const search = page.getByLabel('Find a species')
    await search.fill('terrapene')
    await page.getByText('2 of 34 species').waitFor()
    await search.fill('turtle box')
    await page.getByText('2 of 34 species').waitFor()
    await search.fill('dragon nobody keeps')
    await page.getByText('No species is called so.').waitFor()
    expect(complaints).toEqual([])
  })

  test('each number stands with its source; the figure by the chosen guidance first, the other beside it', async () => {
    const { page, openLine } = await open()
    await openLine("Hermann's tortoise")
    const row = page.getByRole('listitem').filter({ hasText: 'Longest hold' }).first()
    expect(await row.innerText()).toMatch(/13 weeks\s*\(lenient: 17 weeks\)/)
    expect(await row.innerText()).toContain('McArthur, S. 2003')
    const high = page.getByRole('listitem').filter({ hasText: /^High/ }).first()
    expect(await high.innerText()).toMatch(
      /7\.0\s°C or above\s*\(lenient: 8\.0\s°C or above\)\s*for 30 min, medium/,
    )
    await page.getByText('Jackson ratio').first().waitFor()
  })

  test('a row that rests on keeper habit is marked so, and one that must never go down says so', async () => {
    const { line, openLine, page } = await open()
    expect(await line('Corn snake').locator('summary').innerText()).toContain('common practice')
    expect(await line('Royal python').locator('summary').innerText()).toContain('must never go down')
    expect(await line('Royal python').locator('summary').innerText()).not.toContain('common practice')
    await openLine('Corn snake')
    await page.getByText('These figures rest on the habit of keepers').waitFor()
    expect(await page.getByText('Not veterinary advice: ask a reptile vet.').count()).toBeGreaterThan(0)
  })

  test('a keeper makes a profile from another: a changed number says where it comes from', async () => {
    const { page, openLine, line } = await open()
    await openLine("Hermann's tortoise")
    await page.getByRole('button', { name: 'Make an own profile from this one' }).click()
    const form = page.getByRole('form', { name: "Own profile from Hermann's tortoise" })
    await form.getByLabel('Name').fill('Mountain stock')
    await form.getByLabel('Why it differs').fill('The vet of the stock said so.')
    const hold = form.getByRole('group', { name: 'Limits in hold' })
    await hold.getByLabel('Too warm, °C').fill('6')
    const source = hold.getByLabel('Where it comes from: too warm')
    expect(await source.getAttribute('placeholder')).toBe('set by the keeper: The vet of the stock said so.')
    await form.getByRole('button', { name: 'Save' }).click()

    await page.getByRole('heading', { name: 'Your own' }).waitFor()
    await page.getByText('35 of 35 species').waitFor()
    await openLine('Mountain stock')
    const mine = line('Mountain stock')
    await mine.getByText("Made from Hermann's tortoise: The vet of the stock said so.").waitFor()
    const high = mine.getByRole('listitem').filter({ hasText: /^High/ })
    expect(await high.innerText()).toMatch(/6\.0\s°C or above\s*for 30 min/)
    expect(await high.innerText()).toMatch(/set by the keeper: The vet of the stock said so\./i)

    await mine.getByRole('button', { name: 'Change Mountain stock' }).click()
    await mine.getByRole('group', { name: 'Limits in hold' }).getByLabel('Too warm, critical, °C').fill('')
    await mine.getByRole('button', { name: 'Save' }).click()
    await mine
      .getByText('In hold it needs a critical low and a critical high limit of temperature.')
      .waitFor()
    await mine.getByRole('group', { name: 'Limits in hold' }).getByLabel('Too warm, critical, °C').fill('9')
    await mine.getByRole('button', { name: 'Save' }).click()
    await mine.getByText('9.0 °C or above').waitFor()

    await mine.getByRole('button', { name: 'Remove Mountain stock' }).click()
    await page.getByText('34 of 34 species').waitFor()
    await page.getByText('Removed Mountain stock.').waitFor()
    await page.getByRole('button', { name: 'Undo' }).click()
    await page.getByText('35 of 35 species').waitFor()
  })

  test('a sitter reads everything and is offered no change', async () => {
    const { page, openLine } = await open('sitter')
    await openLine("Hermann's tortoise")
    await page.getByText('Hold aims at').waitFor()
    expect(await page.getByRole('button', { name: 'Make an own profile' }).count()).toBe(0)
  })

  test.each([
    [360, 'dark'],
    [1280, 'light'],
  ] as const)(
    'opened and with its form, at %i px in the %s it fits and axe finds nothing',
    async (width, colorScheme) => {
      const { page, openLine } = await open('safe', width)
      expect(await isTooWide(page)).toBe(false)
      // One line is enough for axe, which reads every element
      await page.getByLabel('Find a species').fill('leopard gecko')
      await page.getByText('1 of 34 species').waitFor()
      await openLine('Leopard gecko')
      await page.getByRole('button', { name: 'Make an own profile from this one' }).click()
      await page.getByRole('form').getByLabel('Too warm, °C').first().fill('20')
      await page.emulateMedia({ colorScheme })
      expect(await violationsOn(page)).toEqual([])
      expect(await isTooWide(page)).toBe(false)
    },
    40_000,
  )
})

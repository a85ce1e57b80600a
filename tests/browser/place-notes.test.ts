import { describe, expect, test } from 'vitest'
import { days } from '../../schemas/amounts.ts'
import type { Tonight } from '../../schemas/api.ts'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('moist air, airing and what the winter cost, on the page of a place', () => {
  const visit = visits()
  let open: Visit

  test('S4, S6: the air now and of the last day, the last airing, and the winter since its plan began', async () => {
    open = await visit('safe', '/places/larder-fridge')
    const air = open.part('The air')
    await air
      .getByText(/^In the last 24.h the deficit was 0\.19.kPa on average, 3\.99.kPa·h in all/)
      .waitFor()
    await air.getByText(/^The air is \d\.\d.°C from its dew point, -?\d\.\d.°C\.$/).waitFor()
    await air.getByText(/^No spot measured gets wet: the coldest, Fridge back wall at/).waitFor()
    await air.getByText('Last aired yesterday at 22:20.').waitFor()
    await air.getByText(/Missing: the litres of free air in Larder fridge\.$/).waitFor()

    const cost = open.part('What the winter cost')
    await cost.getByText('Since the beginning of cooling down, on Fri 27 Nov at 03:07.').waitFor()
    await cost
      .getByText(
        /^47 days here cost an animal about as much as 45 days at 5\.0.°C \(38 to 47\)\. Strict guidance counts 47\.$/,
      )
      .waitFor()
    await cost.getByText(/^For 7.h no temperature is known/).waitFor()
    const rows = await cost.getByRole('table').first().getByRole('row').allInnerTexts()
    expect(rows.slice(1)).toEqual([
      expect.stringMatching(/^Too low, critical\s+26.min\s+0\.2.K·h$/),
      expect.stringMatching(/^Low\s+9.h\s+6\.4 to 7\.7.K·h$/),
      expect.stringMatching(/^High\s+1.d 7.h\s+41 to 49.K·h$/),
    ])
    // once for the whole page, at its foot
    await open.page.locator('.caution', { hasText: /^Not veterinary advice/ }).waitFor()

    // The nights are folded away until they are asked for, by keyboard too
    const nights = cost.getByRole('table').nth(1)
    expect(await nights.isVisible()).toBe(false)
    await cost.getByText(/^47 nights; the coldest was/).focus()
    await open.page.keyboard.press('Enter')
    await nights.waitFor()
    expect(await nights.getByRole('row').count()).toBe(48)

    const asked = open.answers
      .map((answer) => new URL(answer.url()))
      .filter((url) => /\/(?:air|cost)$/.test(url.pathname))
    expect(asked.map(({ pathname }) => pathname).toSorted()).toEqual([
      '/api/places/larder-fridge/air',
      '/api/places/larder-fridge/cost',
    ])
    for (const url of asked) {
      const lasted = Number(url.searchParams.get('to')) - Number(url.searchParams.get('from'))
      if (url.pathname.endsWith('air')) expect(lasted).toBe(days(1))
      else expect(Math.round(lasted / days(1))).toBe(47)
    }
    expect(open.complaints).toEqual([])
  })

  test('what cannot be fetched is said, and so is a door that was never seen to open', async () => {
    open = await visit('safe', '/places/cellar')
    const air = open.part('The air')
    await air.getByText('The last 24 h of it could not be fetched: Too much is asked at once.').waitFor()
    await air.getByText(/^Not aired since Wed 30 Dec, 03:0\d at least: no opening was seen\.$/).waitFor()
    await open
      .part('What the winter cost')
      .getByText('It could not be reckoned: Too much is asked at once.')
      .waitFor()
  })

  test('while the answers are awaited the page says so', async () => {
    open = await visit('safe', '/places/top-box', 390, async (page) => {
      await page.route(/\/(?:air|cost)\?/, () => undefined) // taken and never answered
    })
    await open.part('The air').getByText('Looking through the last 24 h of it …').waitFor()
    await open.part('What the winter cost').getByText('Reckoning it up …').waitFor()
  })

  test('a warm place of nobody who goes down: its last 30 days, and no door to air by', async () => {
    open = await visit('safe', '/places/warm-room')
    const cost = open.part('The last 30 days')
    await cost.getByText('No thermometer was ever heard here.').waitFor()
    expect(await cost.getByText(/cost an animal/).count()).toBe(0)
    await open
      .part('The air')
      .getByText(/from its dew point/)
      .waitFor()
    expect(await open.part('The air').getByText(/aired/).count()).toBe(0)
  })

  test('without a humidity sensor one soft line says so where animals live, and the day is not asked for', async () => {
    open = await visit('safe', '/places/low-box', 390, async (page) => {
      await page.route('**/api/tonight', async (route) => {
        const answer = await route.fetch()
        const tonight = (await answer.json()) as Tonight
        const places = tonight.places.map((place) => ({
          ...place,
          values: place.values.filter(({ quantity }) => quantity !== 'humidity'),
        }))
        await route.fulfill({ response: answer, json: { ...tonight, places } })
      })
    })
    await open.part('The air').getByText('No humidity sensor here.').waitFor()
    expect(open.asked().filter((path) => path.endsWith('/air'))).toEqual([])
  })

  test.each([
    [360, 'light'],
    [1280, 'dark'],
  ] as const)(
    'axe finds nothing wrong at %i px, %s, and nothing is too wide (WCAG 2.2 AA)',
    async (width, colorScheme) => {
      open = await visit('safe', '/places/top-box', width)
      await open.page.emulateMedia({ colorScheme })
      const nights = open.page.getByText(/^47 nights; the coldest was/)
      await nights.click()
      await open
        .part('The air')
        .getByText(/^In the last 24.h the deficit/)
        .waitFor()
      expect.soft(await violationsOn(open.page)).toEqual([])
      expect.soft(await isTooWide(open.page)).toBe(false)
    },
  )
})

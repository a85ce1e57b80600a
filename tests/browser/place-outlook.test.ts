import { describe, expect, test } from 'vitest'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('how long there is without power, on the page of a place', () => {
  const visit = visits()
  let open: Visit

  test.each([360, 1280])(
    'at %i px a fridge says when each limit is met, with the cautions (A6, S6)',
    async (width) => {
      open = await visit('safe', '/places/larder-fridge', width)
      const says = open.part('If the power failed now')
      await says.getByText('Without power it would be too warm').waitFor()
      const text = (await says.innerText()).replace(/[\u00a0\u202f]/g, ' ')
      expect(text).toContain('taking the room to stay at 14.0 °C (measured).')
      expect(text).toContain('If it cooled without a stop it would be too cold (2.0 °C) in about 4 h')
      expect(text).toContain('Not veterinary advice')
      expect(await isTooWide(open.page)).toBe(false)
      expect(await violationsOn(open.page)).toEqual([])
      expect(open.complaints).toEqual([])
    },
  )

  test('a box of which nothing was learnt says what would tell it; a warm enclosure says nothing', async () => {
    open = await visit('safe', '/places/low-box')
    await open.part('If the power failed now').getByText('Not known yet: it has never been seen').waitFor()
    expect(await open.part('If the power failed now').innerText()).not.toContain('An estimate')
    await open.page.goto(new URL('/places/warm-room', open.page.url()).href)
    await open.heading('Warm enclosure').waitFor()
    expect(await open.part('If the power failed now').count()).toBe(0)
  })
})

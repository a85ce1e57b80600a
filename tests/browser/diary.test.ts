import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import type { DiaryEntry, DiaryNote } from '../../schemas/diary.ts'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'
import type { Visit } from '../support/web-fixture-visit.ts'
import { visits } from '../support/visits.ts'

describe.skipIf(!isChromiumHere)('the diary of an animal', () => {
  const visit = visits()
  let open: Visit

  const diary = () => open.page.getByRole('list', { name: 'Diary of Bramble' })
  const lines = () => diary().getByRole('listitem')
  const press = (page: Page, name: string, group?: string) =>
    (group === undefined ? page : page.getByRole('group', { name: group }))
      .getByRole('button', { name, exact: true })
      .click()
  const sent = (page: Page): DiaryEntry[] => {
    const entries: DiaryEntry[] = []
    page.on('request', (request) => {
      if (request.method() === 'PUT' && new URL(request.url()).pathname.startsWith('/api/diary/'))
        entries.push(request.postDataJSON() as DiaryEntry)
    })
    return entries
  }

  const forms: readonly (readonly [DiaryNote, (page: Page) => Promise<void>, string])[] = [
    [{ kind: 'weighed', grams: 803.5, box: 'dry' }, fill({ Mass: '803,5' }, 'dry'), 'weighed 803.5'],
    [
      { kind: 'measured', length: 15.3, width: 11.9 },
      fill({ 'Straight carapace length': '15.3', 'Greatest width': '11,9' }),
      'measured: length 15.3',
    ],
    [{ kind: 'scored', scale: 'visualFive', score: 3 }, fill({}, '3'), 'body score 3 of 5'],
    [
      { kind: 'checked', answers: { eyesClear: 'yes', noseClear: 'unsure' } },
      async (page) => {
        await press(page, 'Yes', 'Eyes clear and open?')
        await press(page, 'Unsure', 'Nose clear and dry?')
      },
      'health check: unsure: nose clear; 1 well',
    ],
    [{ kind: 'bathed', drank: true }, fill({}, 'Yes'), 'bathed, drank'],
    [{ kind: 'drank' }, fill({}), 'drank'],
    [
      { kind: 'fed', eaten: 'some', food: 'dandelion', grams: 20 },
      fill({ 'Of what': 'dandelion', 'How much was given': '20' }, 'Some'),
      'fed dandelion, 20 g: ate some of it',
    ],
    [
      { kind: 'passed', faeces: false, urates: true, urine: true },
      fill({}, 'Urates', 'Urine'),
      'passed urates and urine',
    ],
    [{ kind: 'active' }, fill({}), 'moved or dug in hold'],
    [
      { kind: 'sign', signs: ['swelling', 'mould'] },
      fill({}, 'swelling', 'mould'),
      'danger sign: swelling, mould',
    ],
    [{ kind: 'vet', clears: true }, fill({}, 'Nothing against it'), 'the vet has nothing against the winter'],
    [{ kind: 'said' }, fill({ 'What is to be noted': 'Sleeps on its left side.' }), 'noted'],
    [{ kind: 'looked' }, fill({}), 'looked in'],
  ]

  function fill(fields: Readonly<Record<string, string>>, ...buttons: readonly string[]) {
    return async (page: Page): Promise<void> => {
      for (const [label, value] of Object.entries(fields)) await page.getByLabel(label).fill(value)
      for (const button of buttons) await press(page, button)
    }
  }

  test('every kind of thing has one small form, and saving it leads back to the animal', async () => {
    open = await visit('safe', '/animals/bramble')
    const { page } = open
    const entries = sent(page)
    await open.part('Note something').waitFor()
    const names = await open.part('Note something').getByRole('link').allInnerTexts()
    expect(names).toHaveLength(forms.length + 1) // and the photo
    for (const [note, enter, words] of forms) {
      await open.part('Note something').locator(`a[href$="/note/${note.kind}"]`).click()
      await page.getByRole('form', { name: 'Note of Bramble' }).waitFor()
      await enter(page)
      await press(page, 'Save')
      await open.heading('Bramble').waitFor()
      const told = page.getByRole('status').getByText(/^Bramble: /)
      await until(
        async () =>
          (await told.innerText())
            .replace(/\u202f/g, ' ')
            .toLowerCase()
            .includes(words),
        `what was noted to be told: ${words}`,
      )
      expect(entries.at(-1)?.note).toEqual(note)
    }
    expect(new Set(entries.map(({ id }) => id)).size).toBe(forms.length)
    expect(open.complaints).toEqual([])
  }, 60_000)

  test('an empty form is not sent, and says what is missing', async () => {
    open = await visit('safe', '/animals/bramble/note/fed')
    const { page } = open
    const entries = sent(page)
    await press(page, 'Save')
    await page.getByText('Say how much it ate.').waitFor()
    await press(page, 'All')
    await page.getByLabel('How much was given').fill('a lot')
    await press(page, 'Save')
    await page.getByText('Say how much it ate.').waitFor()
    expect(entries).toEqual([])
  })

  test('a mass far from the last is asked about here too', async () => {
    open = await visit('safe', '/animals/bramble/note/weighed')
    const { page } = open
    const entries = sent(page)
    await page.getByLabel('Mass').fill('81')
    await press(page, 'Save')
    const question = page.getByRole('group', { name: /^Really 81.g\? Last time 804.g\.$/ })
    await question.getByRole('button', { name: 'Correct it' }).click()
    await page.getByLabel('Mass').fill('801')
    await press(page, 'Save')
    await open.heading('Bramble').waitFor()
    expect(entries.map(({ note }) => note)).toEqual([{ kind: 'weighed', grams: 801 }])
  })

  test('what was earlier gets its own day and hour by the clock of the house', async () => {
    open = await visit('safe', '/animals/bramble/note/drank')
    const { page } = open
    const entries = sent(page)
    await press(page, 'It was earlier')
    await page.getByLabel('Day').fill('2027-01-11')
    await page.getByLabel('Hour').fill('21:30')
    await press(page, 'Save')
    await open.heading('Bramble').waitFor()
    expect(entries[0]?.at).toBe(Date.parse('2027-01-11T21:30:00+01:00'))
    await lines().filter({ hasText: 'Drank' }).getByText('Mon 11 Jan at 21:30').waitFor()
  })

  test('an entry is noted, taken back, changed in its place, removed and brought back', async () => {
    open = await visit('safe', '/animals/bramble/note/said')
    const { page } = open
    await page.getByLabel('What is to be noted').fill('Sleeps on its left side.')
    await press(page, 'Save')
    await lines().getByText('Sleeps on its left side.').waitFor()
    await open.button('Undo').click()
    await lines().getByText('Sleeps on its left side.').waitFor({ state: 'detached' })

    const first = lines().filter({ hasText: 'Lay in the left corner' })
    await first.getByRole('button', { name: /^Change/ }).press('Enter')
    await first.getByLabel('In words, if need be').fill('Lay in the right corner.')
    await first.getByRole('button', { name: 'Save' }).press('Enter')
    const changed = lines().filter({ hasText: 'Lay in the right corner.' })
    await changed.getByText('yesterday at 22:07').waitFor()
    await until(
      () =>
        changed.getByRole('button', { name: /^Change/ }).evaluate((one) => one === document.activeElement),
      'the focus to be back on Change',
    )
    await open.button('Undo').click()
    await first.waitFor()

    await first.getByRole('button', { name: /^Change/ }).click()
    await first.getByRole('button', { name: 'Remove' }).click()
    await first.waitFor({ state: 'detached' })
    await until(
      () => page.getByRole('heading', { name: 'Diary' }).evaluate((one) => one === document.activeElement),
      'the focus to be at the diary',
    )
    await open.button('Undo').click()
    await first.waitFor()
    expect(open.complaints).toEqual([])
  })

  test('while Brumal is out of reach what was entered stays, and a second try is the same entry', async () => {
    let isCut = true
    open = await visit('safe', '/animals/bramble/note/fed', 390, (page) =>
      page.route('**/api/diary/*', (route) =>
        isCut && route.request().method() === 'PUT' ? route.abort() : route.continue(),
      ),
    )
    const { page } = open
    const entries = sent(page)
    await press(page, 'Some')
    await page.getByLabel('Of what').fill('clover')
    await press(page, 'Save')
    await page.getByText('Brumal cannot be reached from here.').waitFor()
    await page.getByText('What you entered is kept here. Save it again once Brumal answers.').waitFor()
    expect(await page.getByLabel('Of what').inputValue()).toBe('clover')
    expect(await open.button('Some').getAttribute('aria-pressed')).toBe('true')
    isCut = false
    await press(page, 'Save again')
    await open.heading('Bramble').waitFor()
    expect(entries).toHaveLength(2)
    expect(entries[1]).toEqual(entries[0])
  })

  test('a photo is made small, and nothing that a phone wrote into it goes along', async () => {
    open = await visit('safe', '/animals/bramble/note/photographed', 390, async () => {})
    const { page } = open
    await page.getByText('Take a photo').waitFor()
    const bytes: Buffer[] = []
    page.on('request', (request) => {
      if (request.url().includes('/api/pictures/') && request.method() === 'PUT')
        bytes.push(request.postDataBuffer() ?? Buffer.alloc(0))
    })
    await page.locator('input[type=file]').setInputFiles({
      name: 'IMG_0001.jpg',
      mimeType: 'image/jpeg',
      buffer: withPlace(await noisyPicture(page)),
    })
    await page.getByRole('img', { name: 'The photo as it will be kept' }).waitFor()
    await page.evaluate(() => scrollTo(0, document.body.scrollHeight)) // nothing half under what stays at the thumb
    expect(await violationsOn(page)).toEqual([])
    expect(await isTooWide(page)).toBe(false)
    await press(page, 'Save')
    const thumbnail = lines().filter({ hasText: 'Photo' }).getByRole('img')
    await thumbnail.waitFor({ state: 'attached' })
    // Far down it is not fetched before it is come to
    await thumbnail.evaluate((one) => one.scrollIntoView({ block: 'center' }))
    await thumbnail.waitFor()
    await open.button('Use as portrait').click()
    const head = page.locator('.animal-head img.portrait')
    await head.waitFor()
    expect(await head.getAttribute('src')).toBe(await thumbnail.getAttribute('src'))
    await open.button('Undo').click()
    await head.waitFor({ state: 'detached' })
    const [picture = Buffer.alloc(0)] = bytes
    expect(picture.length).toBeLessThanOrEqual(400_000)
    expect(picture.includes('Exif')).toBe(false)
    expect(picture.includes(secretPlace)).toBe(false)
    const size = await thumbnail.evaluate(async (one: HTMLImageElement) => {
      await one.decode()
      return [one.naturalWidth, one.naturalHeight]
    })
    expect(Math.max(...size)).toBeLessThanOrEqual(1600)
    expect((size[0] ?? 0) / (size[1] ?? 1)).toBeCloseTo(1.5, 1)
    expect(open.complaints).toEqual([])
  }, 60_000)

  test('a sitter notes, and changes only what they noted', async () => {
    open = await visit('sitter', '/animals/bramble')
    const { page } = open
    await lines().first().waitFor()
    expect(
      await diary()
        .getByRole('button', { name: /^Change/ })
        .count(),
    ).toBe(0)
    await open.part('Note something').getByRole('link', { name: 'Looked in' }).click()
    await press(page, 'Save')
    await lines().first().getByText('by Bela').waitFor()
    expect(
      await diary()
        .getByRole('button', { name: /^Change/ })
        .count(),
    ).toBe(1)
  })

  test('axe finds nothing wrong with a long form, on a phone and a desk, light and dark (WCAG 2.2 AA)', async () => {
    open = await visit('safe', '/animals/bramble/note/checked', 360)
    const { page } = open
    await press(page, 'Unsure', 'Drinks well?')
    for (const width of [360, 1280]) {
      await page.setViewportSize({ width, height: 740 })
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme })
        expect(await violationsOn(page)).toEqual([])
        expect(await isTooWide(page)).toBe(false)
      }
    }
    await page.setViewportSize({ width: 360, height: 740 })
    const save = await open.button('Save').boundingBox()
    expect(save?.y).toBeGreaterThan(740 / 2) // where the thumb is, however long the form
    for (const button of await page
      .getByRole('group', { name: 'Eyes clear and open?' })
      .getByRole('button')
      .all())
      expect((await button.boundingBox())?.height).toBeGreaterThanOrEqual(44)
  }, 60_000)
})

const secretPlace = '48.2000N 16.3000E'

/** A large photo that compresses badly, as leaves and bark do. */
async function noisyPicture(page: Page): Promise<Buffer> {
  const base64 = await page.evaluate(async () => {
    const canvas = document.createElement('canvas')
    canvas.width = 1800
    canvas.height = 1200
    const pen = canvas.getContext('2d')
    if (pen === null) return ''
    const pixels = pen.createImageData(canvas.width, canvas.height)
    let seed = 7
    for (let i = 0; i < pixels.data.length; i += 1) {
      seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648
      pixels.data[i] = i % 4 === 3 ? 255 : seed / 8_388_608
    }
    pen.putImageData(pixels, 0, 0)
    return canvas.toDataURL('image/jpeg', 0.9).split(',')[1] ?? ''
  })
  return Buffer.from(base64, 'base64')
}

/** The same with an APP1 segment after its start, where cameras put place and time (Exif 2.3, 4.5.4). */
function withPlace(jpeg: Buffer): Buffer {
  const said = Buffer.from(`Exif\0\0MM\0*\0\0\0\x08\0\0\0\0\0\0${secretPlace}`, 'latin1')
  const head = Buffer.from([0xff, 0xe1, 0, said.length + 2])
  return Buffer.concat([jpeg.subarray(0, 2), head, said, jpeg.subarray(2)])
}

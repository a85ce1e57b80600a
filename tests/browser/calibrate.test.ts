import { afterEach, describe, expect, test } from 'vitest'
import { later, minutes } from '../../schemas/amounts.ts'
import { atRest, type CheckBench, checkBench, intoTheIce, longWait } from '../support/check-bench.ts'
import { isTooWide, violationsOn } from '../support/look-at.ts'
import { oneChromium } from '../support/one-chromium.ts'
import { until } from '../support/until.ts'
import { isChromiumHere } from '../support/chromium.ts'

describe.skipIf(!isChromiumHere)('a sensor is checked', () => {
  const browser = oneChromium()
  let bench: CheckBench
  afterEach(async () => bench.close())

  const button = (name: string | RegExp) => bench.page.getByRole('button', { name })
  const text = (words: string | RegExp) => bench.page.getByText(words)
  const begin = async (): Promise<void> => {
    await button('Begin: I take it away').click()
    await button('It is in the bath').click()
    await text('Waiting for the first reading.').first().waitFor()
  }

  test('S6: the whole ice point, from the cautions to the probe back in its place', async () => {
    bench = await checkBench(browser())
    const { page } = bench
    await text(
      'Mains and water do not mix: nothing that hangs on the mains may come near the bath.',
    ).waitFor()
    await text(/^While it is away nobody watches Cellar fridge, and after 30 min that is an alarm/).waitFor()
    await text('Never checked, so its maker’s ± counts').count()
    expect(bench.sensor()?.check).toBeUndefined()
    await begin()
    const { check } = bench.sensor() ?? {}
    expect(check).toMatchObject({
      by: 'Ada',
      until: later(check?.since ?? bench.house.clock.now(), minutes(180)),
    })

    bench.reads(...intoTheIce.slice(0, 5))
    await text(/^Still falling: .* in the last two minutes\.$/).waitFor()
    bench.reads(...intoTheIce.slice(5), ...atRest.slice(0, 2))
    await text(/^Still falling|^Not steady yet|^Nearly steady/)
      .first()
      .waitFor()
    bench.reads(...atRest)
    await page.getByRole('heading', { name: 'What was found' }).waitFor()
    const found = await page.locator('.found').innerText()
    expect(found).toMatch(/^It reads 0\.29.K too warm in ice, ±0\.12.K\. From now on 0\.29.K is taken off\.$/)

    await button('Take it').click()
    await page.getByRole('heading', { name: 'Put it back' }).waitFor()
    const [made] = bench.sensor()?.calibrations ?? []
    expect(made).toMatchObject({ method: 'icePoint', by: 'Ada', gain: 1 })
    expect(made?.offset).toBeCloseTo(-0.29, 2)
    // The probe is in the ice still, so the check goes on until it is said to be back
    const left = (bench.sensor()?.check?.until ?? 0) - bench.house.clock.now()
    expect(left).toBe(minutes(20))
    await button('It is back in its place').click()
    await text('The check is over: what it reads counts again.').waitFor()
    expect(bench.sensor()?.check?.until).toBe(bench.house.clock.now())
    const row = page.getByRole('row', { name: /in ice, by Ada/ })
    expect(await row.innerText()).toMatch(/−0\.29.K/)
    await text(/^The check: ±0\.12.K in 95 of 100 cases\./).waitFor()
    expect(bench.complaints).toEqual([])
  }, 30_000)

  test('L7: loading the page anew in the middle loses nothing', async () => {
    bench = await checkBench(browser())
    await begin()
    bench.reads(...intoTheIce)
    await text(/^Still falling/)
      .first()
      .waitFor()
    await bench.page.reload()
    await bench.page.getByRole('heading', { name: 'Leave it in the bath' }).waitFor()
    bench.reads(...atRest)
    await bench.page.getByRole('heading', { name: 'What was found' }).waitFor()
    // … and a tab that knows nothing of it goes on with the same check
    await bench.page.evaluate(() => sessionStorage.clear())
    await bench.page.reload()
    await text(/^Ada is checking it, since .* What it reads says nothing about its place\.$/).waitFor()
    await button('Go on with the check').waitFor()
    await button('End the check: it is back in its place').click()
    await text('The check is over: what it reads counts again.').waitFor()
  }, 30_000)

  test('what goes wrong is said: nothing comes, the probe leaves the bath, the bath warms', async () => {
    bench = await checkBench(browser())
    await begin()
    bench.waits(longWait)
    await bench.page
      .getByRole('alert')
      .getByText(/^Nothing from it for 10 min/)
      .waitFor()
    bench.reads(...intoTheIce, 6, 9)
    await text('The probe has left the bath. Put it back into the middle of the ice.').waitFor()
    bench.reads(0.3125, 0.3125, ...Array.from({ length: 6 }, (_, i) => 0.625 + i / 16))
    await text('The bath is getting warmer. Add crushed ice, stir, and pour off the water.').waitFor()
    await button('Give up').click()
    await text(/^Nothing was changed\./).waitFor()
    await button('It is back in its place').click()
    await text('The check is over: what it reads counts again.').waitFor()
    expect(bench.sensor()?.calibrations).toEqual([])
  }, 30_000)

  test('what is not in ice at all is not corrected, and may be begun again', async () => {
    bench = await checkBench(browser())
    await begin()
    bench.reads(...Array.from({ length: 13 }, (_, i) => 4 + (i % 2) / 16))
    await text(/^The probe shows 4\.0.°C where ice stands at 0.°C\./).waitFor()
    await button('It is in the bath: begin again').click()
    await bench.page.getByRole('heading', { name: 'Leave it in the bath' }).waitFor()
  }, 30_000)

  test('two points by keyboard: one in ice, one beside a checked thermometer', async () => {
    bench = await checkBench(browser())
    const { page } = bench
    await page.getByRole('radio', { name: /^At two points/ }).focus()
    await page.keyboard.press('Space')
    await page.keyboard.press('Enter')
    await page.getByRole('heading', { name: 'The first point' }).waitFor()
    bench.reads(...Array.from({ length: 6 }, () => 0.5))
    await text('Steady: it can be compared.').waitFor()
    await button('Take this point').press('Enter')
    await page.getByRole('heading', { name: 'The second point' }).waitFor()
    await text('Waiting for the first reading.').waitFor()
    expect(await button('Take this point').isDisabled()).toBe(true)
    bench.reads(...Array.from({ length: 6 }, () => 30))
    await text('Steady: it can be compared.').waitFor()
    await page.getByLabel('The checked one shows').fill('30.2')
    await page.getByLabel('It is right within').fill('0.1')
    await page.keyboard.press('Enter')
    await text(/^From now on a reading is corrected: × 1\.024, then −0\.51.K\./).waitFor()
    await button('Take it').click()
    await page.getByRole('heading', { name: 'Put it back' }).waitFor()
    expect(bench.sensor()?.calibrations[0]).toMatchObject({ method: 'twoPoint' })
  }, 30_000)

  test('a bare board is offered no bath of its own: beside a reference in its place, which stays watched', async () => {
    bench = await checkBench(browser(), { sensor: { type: 'sht3x' } })
    const { page } = bench
    await page.getByRole('radio', { name: /^Beside a checked thermometer/ }).waitFor()
    expect(await page.getByRole('radio', { name: /waterproof/ }).count()).toBe(0)
    await page.getByRole('checkbox', { name: /^It stays in its place/ }).check()
    await button('Begin').click()
    bench.reads(5.2, 5.2, 5.21, 5.2, 5.21)
    await text('Steady: it can be compared.').waitFor()
    await page.getByLabel('The checked one shows').fill('5.4')
    await page.getByLabel('It is right within').fill('0.1')
    await button('Take this point').click()
    await text(
      /^It reads 0\.20.K too cold beside the reference, ±0\.10.K\. From now on 0\.20.K is added\.$/,
    ).waitFor()
    await button('Take it').click()
    await text('The correction is taken: it counts from now on.').waitFor()
    expect(bench.sensor()?.check).toBeUndefined()
  }, 30_000)

  test('a certificate is entered, taken back and put again; what cannot be is refused in words', async () => {
    bench = await checkBench(browser())
    const { page } = bench
    const enter = async (offset: string): Promise<void> => {
      await page.getByLabel(/^Correction,/).fill(offset)
      await page.getByLabel(/^Its uncertainty/).fill('0.1')
      await page
        .getByRole('form', { name: 'Enter a certificate' })
        .getByRole('button', { name: 'Enter it' })
        .click()
    }
    await page.getByRole('radio', { name: /^From a certificate/ }).check()
    await button('Enter it').click()
    await enter('9')
    await page
      .getByRole('alert')
      .getByText(/^A correction may be 5 K at most/)
      .waitFor()
    await enter('-0.3')
    await text('The correction is entered: it counts from now on.').waitFor()
    expect(bench.sensor()?.calibrations).toMatchObject([
      { offset: -0.3, uncertainty: 0.05, method: 'entered' },
    ])
    await button(/^Take back/).click()
    await text('None yet: its readings are shown as it says them.').waitFor()
    await button('Undo').click()
    await page.getByRole('row', { name: /entered, by Ada/ }).waitFor()
    await until(() => bench.sensor()?.calibrations.length === 1, 'the correction to be back')
    expect(bench.complaints).toEqual([])
  }, 30_000)

  test('X1: a sitter sees how sure it is, and can change nothing', async () => {
    bench = await checkBench(browser(), { role: 'sitter' })
    await text('Only a keeper checks a sensor. You can see how sure it is, and what was found.').waitFor()
    await text(/^Temperature: right within ±/).waitFor()
    expect(await bench.page.getByRole('main').getByRole('button').count()).toBe(0)
    await bench.page.goto(`${new URL(bench.page.url()).origin}/sensors/none/check`)
    await bench.page.getByRole('heading', { name: 'There is no such sensor' }).waitFor()
  }, 30_000)

  test('Set-up leads to it, and saving there keeps what was found', async () => {
    bench = await checkBench(browser(), { path: '/set-up', width: 1280 })
    const { page } = bench
    await page.getByRole('button', { name: 'Change Probe one' }).click()
    await bench.house.as(await bench.house.signedIn('keeper'), 'POST', '/api/sensors/probe-1/check', {
      minutes: 5,
    })
    const saving = page.waitForRequest((request) => request.method() === 'PUT')
    await page.getByRole('form', { name: 'Change Probe one' }).getByRole('button', { name: 'Save' }).click()
    const sent = (await saving).postDataJSON() as object
    // Nothing old is sent over what was found meanwhile: the daemon keeps its own
    expect(sent).toMatchObject({ id: 'probe-1', calibrations: [] })
    expect(sent).not.toHaveProperty('check')
    await page.getByRole('link', { name: 'Check Probe one' }).click()
    await page.getByRole('heading', { level: 1, name: 'Check Probe one' }).waitFor()
  }, 30_000)

  test.each([
    [360, 'light'],
    [1280, 'dark'],
  ] as const)(
    'axe finds nothing wrong at %i px, %s, and nothing is too wide (WCAG 2.2 AA)',
    async (width, light) => {
      bench = await checkBench(browser(), { width, light })
      const { page } = bench
      const looks = async (stage: string): Promise<void> => {
        const folder = process.env['BRUMAL_LOOKS']
        if (folder !== undefined)
          await page.screenshot({ path: `${folder}/${stage}-${width}-${light}.png`, fullPage: true })
        expect.soft(await violationsOn(page), stage).toEqual([])
        expect.soft(await isTooWide(page), stage).toBe(false)
      }
      await button('Begin: I take it away').waitFor()
      await looks('choosing')
      await button('Begin: I take it away').click()
      await button('It is in the bath').waitFor()
      await looks('preparing')
      await button('It is in the bath').click()
      bench.reads(...intoTheIce)
      await text(/^Still falling/)
        .first()
        .waitFor()
      await page.getByText('The readings', { exact: true }).click()
      await looks('settling')
      bench.reads(...atRest)
      await button('Take it').waitFor()
      await looks('found')
      await button('Take it').click()
      await button('It is back in its place').waitFor()
      await looks('putting-back')
    },
    40_000,
  )
})

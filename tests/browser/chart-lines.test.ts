import type { Locator, Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import type { NightCurve } from '../../schemas/api.ts'
import { visits } from '../support/visits.ts'
import { isChromiumHere } from '../support/chromium.ts'

/** Dots of the screen for each CSS px, as on a usual phone. */
const dots = 3

/** Celsius at a part of the night, 0 to 1; null where nothing came. */
type Shape = (part: number) => number | null

describe.skipIf(!isChromiumHere)('the lines of a chart, on a screen with three dots for each pixel', () => {
  const open = visits()

  test('a second sensor’s dashes are as long as in the key', async () => {
    const plot = await drawn([() => 4, () => 6], 200)
    const runs = await inkRuns(plot)
    // 6 px of ink, 3 px of none: `dashes` in web/chart/dashes.ts, the same that the key is drawn with
    expect(runs).toEqual({ ink: 6 * dots, none: 3 * dots })
  })

  // A slow wave, a gap, a step, and one reading far below
  const shape: Shape = (part) => {
    if (part > 0.62 && part < 0.66) return null
    if (Math.abs(part - 0.85) < 0.5 / 1200) return 1
    return (part < 0.6 ? 5 + 1.5 * Math.sin(part * 60) : 5) + (part > 0.7 && part < 0.75 ? 2 : 0)
  }

  test.each([
    ['whole', 1],
    ['dashed', 2],
  ])('a hundred thousand readings make the same picture as a few, %s', async (_what, lines) => {
    const shapes = Array.from({ length: lines }, (_, i): Shape => (i === lines - 1 ? shape : () => null))
    // fewer than 4 a pixel are drawn one by one
    const few = await inkOf(await drawn(shapes, 1200))
    const many = await inkOf(await drawn(shapes, 100_000))
    expect(few.length).toBeGreaterThan(3000)
    // dashes lie elsewhere on the line, no longer from each other than a gap
    const near = lines === 1 ? 1.5 * dots : (1.5 + 3) * dots
    expect(furthest(few, many)).toBeLessThanOrEqual(near)
    expect(furthest(many, few)).toBeLessThanOrEqual(near)
    // as thick
    if (lines === 1) {
      expect(many.length / few.length).toBeGreaterThan(0.9)
      expect(many.length / few.length).toBeLessThan(1.15)
    }
  })

  async function drawn(shapes: readonly Shape[], readings: number): Promise<Locator> {
    const { page } = await open('safe', '/', 390, async (tab) => {
      const session = await tab.context().newCDPSession(tab)
      await session.send('Emulation.setDeviceMetricsOverride', {
        width: 390,
        height: 740,
        deviceScaleFactor: dots,
        mobile: true,
      })
      await asShaped(tab, shapes, readings)
    })
    const canvas = page.locator(`article:has(a[href='/places/cellar']) .night-plot canvas`)
    await canvas.waitFor()
    return canvas
  }
})

const asShaped = (page: Page, shapes: readonly Shape[], readings: number): Promise<unknown> =>
  page.route('**/api/places/cellar/night?*', async (route) => {
    const answer = await route.fetch()
    const curve = (await answer.json()) as NightCurve
    const { from, to } = curve.night
    const at = Array.from({ length: readings }, (_, i) => Math.round(from + ((to - from) * i) / readings))
    const none = at.length === 0 ? [] : [null]
    const series = shapes.map((shape, i) => {
      const mean = at.map((_, row) => shape(row / readings))
      return {
        ...curve.series[0],
        sensor: `probe-${i}`,
        sensorName: `Probe ${i}`,
        resolution: 'readings',
        columns: { at, low: mean, mean, high: mean },
        bad: [],
      }
    })
    const band = { at: [from], lowCritical: none, low: none, high: none, highCritical: none }
    await route.fulfill({ response: answer, json: { ...curve, band, series, before: [] } })
  })

/** Dots with more than half of the darkest ink, [x, y] in dots, of the plot without its axes. */
const inkOf = (canvas: Locator): Promise<[number, number][]> =>
  canvas.evaluate((element) => {
    const one = element as HTMLCanvasElement
    const { data, width, height } = (one.getContext('2d') as CanvasRenderingContext2D).getImageData(
      0,
      0,
      one.width,
      one.height,
    )
    const dots: [number, number][] = []
    const [left, right, bottom] = [45 * 3, width - 20 * 3, height - 30 * 3]
    for (let y = 0; y < bottom; y += 1)
      for (let x = left; x < right; x += 1) {
        const i = (y * width + x) * 4
        if ((data[i + 3] as number) > 128 && (data[i] as number) < 70) dots.push([x, y])
      }
    return dots
  })

/** The usual length of ink and of none on the row of the dashed line, in dots. */
async function inkRuns(canvas: Locator): Promise<{ ink: number; none: number }> {
  const rows = grouped(await inkOf(canvas), ([, y]) => y)
  // the upper line of two is the second sensor's, which is warmer
  const top = Math.min(...[...rows].filter(([, dotsOf]) => dotsOf.length > 100).map(([y]) => y))
  const xs = (rows.get(top + 2) ?? []).map(([x]) => x)
  const ink: number[] = []
  const none: number[] = []
  let length = 1
  for (let i = 1; i < xs.length; i += 1) {
    const step = (xs[i] as number) - (xs[i - 1] as number)
    if (step === 1) length += 1
    else {
      ink.push(length)
      none.push(step - 1)
      length = 1
    }
  }
  const usual = (lengths: number[]): number => lengths.sort((a, b) => a - b)[lengths.length >> 1] ?? 0
  return { ink: usual(ink), none: usual(none) }
}

function grouped(
  dotsOf: readonly [number, number][],
  key: (dot: readonly [number, number]) => number,
): Map<number, [number, number][]> {
  const groups = new Map<number, [number, number][]>()
  for (const dot of dotsOf) {
    const group = groups.get(key(dot))
    if (group === undefined) groups.set(key(dot), [dot])
    else group.push(dot)
  }
  return groups
}

/** How far the dot of one picture that is furthest from the other lies from it, in dots. */
function furthest(from: readonly [number, number][], to: readonly [number, number][]): number {
  const near = grouped(to, ([x]) => x)
  let most = 0
  for (const [x, y] of from) {
    let least = Infinity
    for (let aside = 0; aside < least && aside < 60; aside += 1)
      for (const column of aside === 0 ? [x] : [x - aside, x + aside])
        for (const [, other] of near.get(column) ?? []) least = Math.min(least, Math.hypot(aside, other - y))
    most = Math.max(most, least)
  }
  return most
}

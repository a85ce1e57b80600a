import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { hours, later, minutes } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import { PlaceOutlook } from '../../schemas/outlook.ts'
import { type HttpHouse, httpHouse } from '../support/http-house.ts'
import {
  box,
  cellar,
  fails,
  fridge,
  fridgeAir,
  type OutlookStory,
  outlookHouse,
  plugOut,
  truth,
} from '../support/outlook-house.ts'
import { temporaryFolder } from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let home: ReturnType<typeof outlookHouse>
const opens = (story: OutlookStory = {}): void => {
  home = outlookHouse(folder.path, story)
}
beforeEach(() => {
  folder = temporaryFolder()
})
afterEach(() => {
  home.close()
  folder.remove()
})

/** When the air really met it, ms after the power failed. */
const reallyAt = (celsius: number): number =>
  (truth.find((one) => one.at >= fails && (one.celsius[1] ?? 0) >= celsius)?.at ?? Infinity) - fails

function knownIn(outlook: PlaceOutlook) {
  if (!outlook.powerFails.isKnown) throw new Error(outlook.powerFails.sentence)
  return outlook.powerFails
}

describe('A6: if the power failed now, over a real store', () => {
  test('after a trial run the true time to each limit lies within the interval told before; the box shares it', async () => {
    opens()
    await home.liveUntil(fails)
    const outlook = await home.outlookOf(fridge)
    expect(outlook.room?.isMeasured).toBe(true)
    expect(outlook.room?.celsius).toBeCloseTo(18, 0)
    expect(outlook.from).toMatchObject({ stretches: 1, newest: plugOut.from, nodes: 1 })
    const { limits } = knownIn(outlook)
    const highs = limits.filter(({ limit }) => limit === 'high' || limit === 'highCritical')
    expect(highs.length).toBeGreaterThan(0)
    for (const { threshold, time } of highs) {
      expect(time.least).toBeLessThanOrEqual(reallyAt(threshold))
      expect(time.most).toBeGreaterThanOrEqual(reallyAt(threshold))
    }
    const lows = limits.filter(({ limit }) => limit === 'low' || limit === 'lowCritical')
    for (const { time } of lows) expect(time).toEqual({ likely: null, least: null, most: null })
    expect(outlook.stuckOn.isKnown).toBe(true)
    expect(outlook.holdOver).toMatchObject({ areInside: false, isReckoned: true })
    expect(home.pauses()).toBeGreaterThan(0)
    expect(knownIn(await home.outlookOf(box)).limits.length).toBeGreaterThan(0)
  }, 60_000)

  test('without a trial run it says that it is not known yet, and what would tell it', async () => {
    opens({ hasTrial: false })
    await home.liveUntil(plugOut.from)
    const { powerFails, stuckOn, from, holdOver } = await home.outlookOf(fridge)
    expect(powerFails).toMatchObject({ isKnown: false, why: 'noStretch' })
    expect(powerFails.isKnown ? '' : powerFails.sentence).toMatch(/^Not known yet: .*Start a trial run/)
    expect([stuckOn.isKnown, from, holdOver]).toEqual([false, null, null])
  }, 30_000)

  test('while the plug is still out it learns from what there is, and an open stretch ends now', async () => {
    opens()
    await home.liveUntil(later(plugOut.from, minutes(40)))
    expect((await home.outlookOf(fridge)).powerFails).toMatchObject({ isKnown: false, why: 'tooShort' })
    await home.liveUntil(later(plugOut.from, hours(7)))
    const outlook = await home.outlookOf(fridge)
    expect(outlook.from?.lasted).toBeLessThanOrEqual(hours(7))
    expect(knownIn(outlook).limits.every(({ time }) => time.likely === null || time.likely >= 0)).toBe(true)
  }, 30_000)

  test('with no thermometer in the room it says assumed, or that it cannot be said', async () => {
    opens({ hasRoomSensor: false })
    await home.liveUntil(later(plugOut.until, hours(1)))
    const outlook = await home.outlookOf(fridge)
    expect(outlook.room?.isMeasured).toBe(false)
    // Eight hours of a fridge that takes twenty to warm do not tell where it was going.
    expect(outlook.powerFails).toMatchObject({ isKnown: false, why: 'tooUnsure' })
  }, 30_000)

  test('a thermometer that fell silent gives no number, whatever was learnt before', async () => {
    opens()
    await home.liveUntil(later(plugOut.until, hours(1)))
    expect((await home.outlookOf(fridge)).powerFails.isKnown).toBe(true)
    await home.liveUntil(later(plugOut.until, hours(3)), [fridgeAir])
    expect((await home.outlookOf(fridge)).powerFails).toMatchObject({ isKnown: false, why: 'silent' })
  }, 30_000)

  test('a place without limits, the room itself, and no place at all', async () => {
    opens({ isEmpty: true })
    await home.liveUntil(later(plugOut.until, hours(1)))
    expect((await home.outlookOf(fridge)).powerFails).toMatchObject({ isKnown: false, why: 'noLimits' })
    expect((await home.outlookOf(cellar)).powerFails).toMatchObject({ isKnown: false, why: 'notCooled' })
    expect(await home.outlooks.outlook('attic' as PlaceId)).toMatchObject({ ok: false, error: 'noSuchPlace' })
  }, 30_000)
})

describe('A6: the alarm that it does not cool says for how long', () => {
  test('one line with interval and room and no pace beside it; the message waits for no reckoning', async () => {
    // What its trial run taught, in the same fridge on a night on which the power fails.
    opens()
    await home.liveUntil(later(plugOut.until, hours(1)))
    await home.outlooks.refresh()
    const learnt = home.memory.get(fridge)
    if (learnt === undefined) throw new Error('Nothing was learnt.')
    home.close()
    folder.remove()
    folder = temporaryFolder()
    opens({ hasTrial: false })
    home.memory.set(fridge, learnt)
    await home.liveUntil(later(plugOut.from, hours(3)))
    const told = home.parcels.find(({ message }) => message.title.includes('does not cool'))
    const lines = told?.message.text.split('\n') ?? []
    const ifSo = lines.filter((line) => line.startsWith('If it stays so: '))
    expect(ifSo).toHaveLength(1)
    expect(ifSo[0]).toMatch(
      /^If it stays so: (?:dangerously|too) warm \(\d+\.\d °C\) in about .+, .+ to .+, taking the room to stay at 1[78]\.\d °C \(measured\)\.$/,
    )
    expect(lines.join('\n')).not.toMatch(/At this pace/)
    // All that is told later of the same fridge says it so, and never by its pace.
    const later_ = home.parcels.filter(({ message }) => message.title.includes('too warm'))
    for (const { message } of later_) expect(message.text).not.toMatch(/At this pace/)
  }, 60_000)

  test('where nothing was learnt the message has no such line', async () => {
    opens({ hasTrial: false })
    home.outlooks.start()
    await home.liveUntil(later(plugOut.from, hours(3)))
    const told = home.parcels.find(({ message }) => /does not cool/.test(message.title))
    expect(told).toBeDefined()
    expect(told?.message.text).not.toMatch(/If it stays so/)
    await home.outlooks.stop()
  }, 60_000)

  test('N2: a store that cannot be read stops neither the refresh nor the house', async () => {
    opens()
    await home.liveUntil(later(plugOut.until, hours(2)))
    const { journal } = home.store
    Object.assign(home.store, {
      journal: () => {
        throw new Error('The disk gives nothing.')
      },
    })
    await expect(home.outlooks.refresh()).resolves.toBeUndefined()
    expect(home.memory.size).toBe(0)
    Object.assign(home.store, { journal })
    await home.outlooks.refresh()
    expect(home.memory.get(fridge)?.found.ok).toBe(true)
  }, 60_000)
})

describe('the outlook over HTTP', () => {
  let http: HttpHouse
  beforeEach(async () => {
    http = await httpHouse()
    opens()
  })
  afterEach(() => http.close())

  test('X1: a keeper and a sitter may read it, nobody may without a sign-in; the place must be one', async () => {
    await home.liveUntil(later(plugOut.until, hours(1)))
    Object.assign(http.desk, { outlook: home.outlooks.outlook })
    for (const role of ['keeper', 'sitter'] as const) {
      const answer = await http.as(await http.signedIn(role), 'GET', '/api/places/fridge/outlook')
      expect(answer.statusCode).toBe(200)
      expect(PlaceOutlook.parse(answer.json()).powerFails.isKnown).toBe(true)
    }
    expect((await http.app.inject('/api/places/fridge/outlook')).statusCode).toBe(401)
    const keeper = await http.signedIn('keeper')
    expect((await http.as(keeper, 'GET', '/api/places/attic/outlook')).statusCode).toBe(404)
    expect((await http.as(keeper, 'GET', '/api/places/fridge/outlook?x=1')).statusCode).toBe(400)
  }, 30_000)
})

import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { drawCurves } from '../../daemon/app/curves.ts'
import { openCsv } from '../../daemon/app/report-csv.ts'
import { openReports } from '../../daemon/app/reports.ts'
import { readingsFromCsv } from '../../daemon/cli/readings-csv.ts'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import type { AnimalId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { cautions } from '../../shared/telling/first-thing.ts'
import { seasonProfileOf } from '../support/season-profiles.ts'
import { temporaryFolder } from '../support/store-world.ts'
import { aWinterHouse, keeper, pebbleId, type WinterHouse } from '../support/winter-house.ts'

/** Noon of a November day in Vienna: the hold has begun by then. */
const start = Date.parse('2026-11-20T11:00:00Z') as Instant
const holdFrom = later(start, days(1))
const plan = [
  { phase: 'fast' as const, from: later(start, -days(28)) },
  { phase: 'coolDown' as const, from: start },
  { phase: 'hold' as const, from: holdFrom },
  { phase: 'warmUp' as const, from: later(start, days(40)) },
  { phase: 'awake' as const, from: later(start, days(43)) },
]

let house: WinterHouse
let reports: ReturnType<typeof openReports>
let csv: ReturnType<typeof openCsv>
let folder: ReturnType<typeof temporaryFolder>
beforeAll(() => {
  folder = temporaryFolder()
  house = aWinterHouse(folder.path, { now: start })
  const curves = drawCurves({ ...house, clock: clockOf(house), pause: async () => {} })
  reports = openReports({
    ...house,
    clock: clockOf(house),
    catalogue: seasonProfileOf,
    pause: async () => {},
  })
  csv = openCsv({ house: house.house, store: house.store, winter: curves.winter })
  aShortWinter()
})
afterAll(() => {
  house.close()
  folder.remove()
})

/** In the cold for three days, the second of which had four hours at 0.5 °C; weighed before and after. */
function aShortWinter(): void {
  house.makeFit()
  // One thing is missing: then the reason counts
  house.time.hasRung = false
  house.hold(minutes(10), 21)
  const saved = house.desk.saveDraft(pebbleId, { steps: plan, wish: null }, keeper, 'a test')
  if (!saved.ok) throw new Error(saved.sentence)
  const begun = house.desk.beginCooling(pebbleId, keeper, 'a test')
  if (!begun.ok) throw new Error(begun.sentence)
  house.hold(days(1), 5)
  house.note(0, { kind: 'weighed', grams: 1000 })
  house.hold(hours(12), 5)
  house.hold(hours(4), 0.5)
  house.hold(hours(32), 5)
  house.note(0, { kind: 'weighed', grams: 990 })
}

describe('the winter of an animal on one page', () => {
  test('minima, time out of the band, alarms, weigh-ins and the reason given, as they happened', async () => {
    const found = await reports.animalReport(pebbleId, null)
    if (!found.ok) throw new Error(found.sentence)
    const { winter, alarms, weighIns, place, season } = found.value
    expect([season, place?.name]).toEqual(['2026/27', 'Low box'])
    expect(winter?.anyway).toBe('a test')
    expect(winter?.figures.coldest?.value).toBeCloseTo(0.5, 1)
    expect(winter?.figures.coldDays).toBe(3)
    expect(winter?.figures.isOver).toBe(false)
    // Four hours at 0.5 °C, and the fall from 21 °C through the band's warm side at the beginning
    expect(winter?.figures.outOfBand).toBeGreaterThanOrEqual(hours(4) - minutes(10))
    expect(winter?.figures.lostPercent).toBeCloseTo(1, 5)
    expect(
      alarms.some(({ sentence, until }) => sentence.includes('dangerously cold') && until !== null),
    ).toBe(true)
    expect(winter?.figures.alarms).toBe(alarms.length)
    expect(weighIns.map(({ grams }) => grams)).toEqual([900, 1000, 990])
    expect(found.value.cautions).toBe(cautions)
  })

  test('a season of which nothing is known says so; a name that is none is refused, and so is a stranger', async () => {
    const other = await reports.animalReport(pebbleId, '2019/20')
    expect(other.ok && other.value.winter).toBeNull()
    expect(other.ok && other.value.earlier.map(({ season }) => season)).toEqual(['2026/27'])
    expect(await reports.animalReport(pebbleId, '2019/21')).toMatchObject({ error: 'badSeason' })
    expect(await reports.animalReport('nobody' as AnimalId, null)).toMatchObject({ error: 'noSuchAnimal' })
  })

  test('the season has every animal beside the others, and its page reads', async () => {
    const season = await reports.seasonReport('2026/27')
    if (!season.ok) throw new Error(season.sentence)
    expect(season.value.rows.map(({ name, winter }) => [name, winter?.lostPercent])).toEqual([
      ['Pebble', expect.closeTo(1, 5)],
    ])
    const page = await reports.seasonPage('2026/27')
    expect(page.ok && page.value).toContain('still down')
  })
})

describe('RFC 4180: what is kept, as files', () => {
  const [box, probe] = ['box' as PlaceId, 'probe' as SensorId]

  test('readings come out as they are shown and go into replay again unchanged', () => {
    const [from, to] = [start, house.time.now]
    const out = csv.readingsCsv(probe, 'temperature', from, later(to, 1))
    if (!out.ok) throw new Error(out.sentence)
    const { readings, mistakes } = readingsFromCsv(out.value)
    const kept = house.store.readings(probe, 'temperature', from, later(to, 1))
    expect(mistakes).toEqual([])
    expect(readings.map(({ at, value }) => [at, value])).toEqual(kept.map(({ at, value }) => [at, value]))
    expect(csv.readingsCsv(probe, 'temperature', from, later(from, days(31) + 1))).toMatchObject({
      error: 'badStretch',
    })
    expect(csv.readingsCsv(probe, 'temperature', from, later(from, days(31)))).toMatchObject({ ok: true })
  })

  test('nights and journal have a line for each, as an independent reader sees them', () => {
    const nights = csv.nightsCsv(box, 'temperature', '2026/27')
    const journal = csv.journalCsv(later(start, -days(1)), later(house.time.now, 1))
    if (!nights.ok || !journal.ok) throw new Error('no CSV')
    const read = (text: string): Record<string, string>[] => parse(text, { columns: true })
    const coldest = read(nights.value).flatMap(({ min = '' }) => (min === '' ? [] : [Number(min)]))
    expect(Math.min(...coldest)).toBeCloseTo(0.5, 1)
    const lines = read(journal.value)
    expect(lines.length).toBe(house.journal().length)
    expect(lines.map(({ kind }) => kind)).toContain('coolingBegan')
    expect(lines.every(({ sentence }) => (sentence ?? '') !== '')).toBe(true)
  })
})

describe('once it is awake', () => {
  test('after the waking it is over, with the reason; the page says so in one sentence and runs no script', async () => {
    const woken = house.desk.beginWarming(pebbleId, keeper, 'it stirred <twice>')
    expect(woken.ok).toBe(true)
    house.hold(hours(1), 8)
    const page = await reports.animalPage(pebbleId, '2026/27')
    if (!page.ok) throw new Error(page.sentence)
    expect(page.value).toContain('was in the cold from 20 Nov 2026 to 23 Nov 2026, 3 days')
    expect(page.value).toContain('it lost 1.0 % of its mass')
    expect(page.value).toContain('Woken because: it stirred &lt;twice&gt;')
    expect(page.value).toContain(cautions)
    expect(page.value).not.toMatch(/<script|src=|href=|url\(/)
  })
})

const clockOf = (of: WinterHouse) => ({ now: () => of.time.now, uptime: () => of.time.now as never })

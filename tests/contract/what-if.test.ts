import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { AnimalId, EntryId, type PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { TriedLimit, WhatIfResult } from '../../schemas/what-if.ts'
import { WhatIfResult as ResultSchema } from '../../schemas/what-if.ts'
import { temporaryFolder } from '../support/store-world.ts'
import {
  aWhatIfHouse,
  type Curve,
  sixteenth,
  type WhatIfHouse,
  whatIfHousehold,
} from '../support/what-if-house.ts'

/** 2025-11-10 12:00 UTC, 13:00 in Vienna. */
const start = instant(Date.UTC(2025, 10, 10, 12))
const fridge = 'fridge' as PlaceId
const room: Curve = (minute) => sixteenth(12 + 2 * Math.sin(minute / 230) + 0.1 * Math.sin(minute * 5.3))
/** A fridge that is well: 5 °C, a swing of 40 min. */
const well = (minute: number): number => sixteenth(5 + Math.sin(minute / 6.4) + 0.07 * Math.sin(minute * 7.3))
/** Well, but for a dip to `bottom` from minute `from` for so long, sloping for half an hour. */
const dips =
  (bottom: number, from: number, lasts: number, usual: Curve = well): Curve =>
  (minute) => {
    const depth = Math.max(0, Math.min(1, (minute - from) / 30, (from + lasts - minute) / 30))
    const value = usual(minute)
    return value === null ? null : sixteenth(value + depth * (bottom - value))
  }

let folder: ReturnType<typeof temporaryFolder>
let house: WhatIfHouse
const opens = (options: Partial<Parameters<typeof aWhatIfHouse>[1]> = {}): void => {
  house = aWhatIfHouse(folder.path, { start, ...options })
}
beforeEach(() => {
  folder = temporaryFolder()
})
afterEach(() => {
  house.close()
  folder.remove()
})

const ask = (
  limits: readonly TriedLimit[] = [],
  {
    from = start,
    to = house.clock.now(),
    ...more
  }: { from?: Instant; to?: Instant; guard?: 'on' | 'off'; silentAfter?: TriedLimit['for'] } = {},
): Promise<WhatIfResult> =>
  house.ask({
    place: fridge,
    over: { from, to },
    tried:
      limits.length === 0 && Object.keys(more).length === 0
        ? []
        : [{ place: fridge, limits: [...limits], ...more }],
  })
const temperature = (limit: TriedLimit['limit'], more: Partial<TriedLimit> = {}): TriedLimit => ({
  quantity: 'temperature',
  limit,
  ...more,
})
/** The same alarms, raised and returned at the same instants. */
const isTheSame = ({ pairs, counts, happened, would }: WhatIfResult) => {
  expect(pairs.map((pair) => pair.would)).toEqual(pairs.map((pair) => pair.happened))
  expect(counts).toEqual({ both: happened.alarms, earlier: 0, later: 0, onlyHappened: 0, onlyWould: 0 })
  expect(would).toEqual(happened)
}

describe('today’s limits on a log that they judged when it was live', () => {
  test('tell the very alarms of the journal: cold, warm, silence and what the curve says', async () => {
    opens()
    const cold = dips(0.5, 700, 90, dips(9.5, 1500, 240))
    const silent: Curve = (minute) => (minute >= 2300 && minute < 2420 ? null : cold(minute))
    house.live({ probe: silent, 'room-probe': room }, 3000)
    const result = await ask()
    ResultSchema.parse(result)
    const kinds = result.pairs.map(({ happened }) => happened?.kind)
    expect(kinds).toEqual(expect.arrayContaining(['limit', 'silent']))
    expect(result.happened.alarms).toBeGreaterThan(4)
    isTheSame(result)
  })

  test('so do they where somebody opened the fridge and said so (A3), and across a stop of Brumal (L7)', async () => {
    opens()
    const warm = (minute: number) => (minute >= 200 && minute < 220 ? 14 : well(minute))
    house.live({ probe: warm, 'room-probe': room }, 195)
    house.house.take(
      {
        kind: 'tend',
        place: fridge,
        at: house.clock.now(),
        until: later(house.clock.now(), minutes(30)),
        by: 'Ada',
      },
      'soon',
    )
    house.live({ probe: (minute) => warm(minute + 195), 'room-probe': room }, 300)
    house.note({ at: house.clock.now(), kind: 'stopped', by: 'brumal' })
    house.skip(hours(5))
    house.live({ probe: dips(1, 60, 100), 'room-probe': room }, 400)
    const result = await ask()
    expect(result.caveats).toMatchObject({ tendings: 1, starts: 1, hidden: 0 })
    expect(result.pairs.map(({ happened }) => happened?.limit)).toContain('lowCritical')
    expect(result.pairs.some(({ happened }) => happened?.kind === 'silent')).toBe(false)
    isTheSame(result)
  })
})

describe('a look back', () => {
  test('wider limits ring less, narrower ones earlier, and the counts say so', async () => {
    opens()
    // On the second evening below the low limit for two hours, in the night near freezing for one.
    house.live({ probe: dips(0.5, 2000, 60, dips(2.25, 1720, 120)), 'room-probe': room }, 2400)
    const today = await ask()
    const wide = await ask([temperature('low', { value: 2 }), temperature('lowCritical', { value: -1 })])
    expect(wide.would.alarms).toBeLessThan(wide.happened.alarms)
    expect(wide.outside).toBeLessThan(today.outside)
    const narrow = await ask([temperature('lowCritical', { value: 2.5, for: minutes(1) })])
    expect(narrow.pairs.some(({ would }) => would?.limit === 'lowCritical')).toBe(true)
    expect(narrow.counts.earlier).toBeGreaterThan(0)
    expect(narrow.nights.map(({ date }) => date)).toEqual(['2025-11-10', '2025-11-11'])
    expect(narrow.nights.some(({ would }) => would.rings)).toBe(true)
    expect(narrow.caveats).toEqual({
      thinnedHours: 0,
      hidden: 0,
      tendings: 0,
      starts: 0,
      changes: 0,
      withoutPlan: [],
      isCut: false,
    })
  })

  test('sends nothing and keeps nothing: the journal and the state of the house stay as they are', async () => {
    opens()
    house.live({ probe: dips(0.5, 300, 60), 'room-probe': room }, 600)
    const before = [house.store.journal({ limit: 1000 }), house.house.state()]
    expect((await ask([temperature('lowCritical', { value: 4 })])).would.alarms).toBeGreaterThan(0)
    expect([house.store.journal({ limit: 1000 }), house.house.state()]).toEqual(before)
  })

  test('goes by the plan that the diary knows of then, and says which animals have none', async () => {
    const now = whatIfHousehold().animals[0]
    opens({ household: whatIfHousehold({ animals: [{ ...now, plan: [] }] }) })
    house.keep('probe', (minute) => 8 + (minute % 2) / 16, start, 2000)
    // Awake, 8 °C is nothing; in hold it is too warm.
    const first = await ask()
    expect(first.would.alarms).toBe(0)
    expect(first.caveats.withoutPlan).toEqual(['Pebble'])
    house.diary.saveEntries([
      {
        id: EntryId.parse('began'),
        at: start,
        notedAt: start,
        by: 'Ada',
        animal: AnimalId.parse('pebble'),
        note: { kind: 'coolingBegan', steps: [{ phase: 'hold', from: start }] },
      },
    ])
    const second = await ask()
    expect(second.caveats.withoutPlan).toEqual([])
    expect(second.pairs.map(({ would }) => would?.limit)).toContain('high')
  })

  test('before anything was heard there was nothing to watch, and a sensor that came later was not silent (L10)', async () => {
    opens()
    house.keep('probe', well, later(start, days(40)), 600)
    house.keep('room-probe', room, later(start, days(40) + hours(5)), 300)
    const result = await ask([], { from: start })
    expect(result.readings).toBe(900)
    expect(result.pairs).toEqual([])
    expect(result.nights).toHaveLength(41)
  })

  test('says of how many hours only the summary is kept', async () => {
    opens()
    house.keep('probe', well, start, 24 * 60)
    house.store.fold(house.clock.now(), house.house.zonesOf, '')
    expect((await ask()).caveats.thinnedHours).toBe(0)
    expect(house.store.thin(later(start, hours(5)), 1000).hours).toBe(5)
    expect((await ask()).caveats.thinnedHours).toBe(5)
  })

  test('of nothing stored, of no time and of the future is refused; one runs at a time', () => {
    opens()
    const refusalOf = (
      over: { season: string } | { from: Instant; to: Instant },
      place: PlaceId | null = fridge,
    ) => {
      const begun = house.desk.startWhatIf({ place, over, tried: [] })
      return begun.ok ? null : begun.error
    }
    expect(refusalOf({ from: later(start, -days(1)), to: start })).toBe('nothingStored')
    house.keep('probe', well, start, 600)
    const now = house.clock.now()
    expect(refusalOf({ from: now, to: now })).toBe('badStretch')
    expect(refusalOf({ from: later(now, days(2)), to: later(now, days(3)) })).toBe('badStretch')
    expect(refusalOf({ from: later(now, -days(400) - 1), to: now })).toBe('badStretch')
    expect(refusalOf({ season: '2025/27' })).toBe('badSeason')
    expect(refusalOf({ season: '2025/26' }, 'attic' as PlaceId)).toBe('noSuchPlace')
    expect(refusalOf({ from: later(now, -days(400)), to: now }, null)).toBeNull()
    expect(refusalOf({ season: '2025/26' })).toBe('alreadyRuns')
  })

  test('can be cancelled, and only the last five are kept (X3)', async () => {
    opens()
    house.keep('probe', well, start, 600)
    const over = { from: start, to: house.clock.now() }
    const begun = house.desk.startWhatIf({ place: fridge, over, tried: [] })
    if (!begun.ok) throw new Error(begun.sentence)
    const { id } = begun.value
    expect(house.desk.cancelWhatIf(id).ok).toBe(true)
    expect(house.desk.whatIf(id)).toMatchObject({ value: { state: 'cancelled' } })
    for (let i = 0; i < 5; i++) await ask()
    expect(house.desk.whatIf(id).ok).toBe(false)
    expect(house.desk.cancelWhatIf(id).ok).toBe(false)
  })

  test('what a form begins with: the limits in each phase, the seasons with readings, and when it was cold', () => {
    opens()
    const basisOf = (season: string | null = null) => {
      const basis = house.desk.whatIfBasis(fridge, season)
      return basis.ok ? basis.value : null
    }
    expect(basisOf()).toMatchObject({
      season: '2025/26',
      seasons: ['2025/26'],
      stretch: null,
      quantities: [],
    })
    house.keep('probe', well, start, 600)
    expect(basisOf()).toMatchObject({
      stretch: { from: start, to: later(start, minutes(599) + 1), isCold: true },
      quantities: ['temperature'],
      isGuarded: true,
      silentAfter: minutes(10),
    })
    expect(basisOf()?.bands.map(({ of, bands }) => [of, bands.temperature?.low?.value ?? null])).toEqual([
      ['hold', 3],
      ['awake', null],
      ['now', 3],
    ])
    expect(basisOf('2024/25')?.stretch).toBeNull()
    expect(house.desk.whatIfBasis(fridge, 'winter').ok).toBe(false)
    expect(house.desk.whatIfBasis('attic' as PlaceId, null).ok).toBe(false)
  })

  test('judging goes on while it runs: whatever comes waits for milliseconds', async () => {
    opens()
    house.keep('probe', well, start, 8 * 1440)
    house.keep('room-probe', room, start, 8 * 1440)
    house.store.fold(house.clock.now(), house.house.zonesOf, '')
    const over = { from: start, to: house.clock.now() }
    const begun = house.desk.startWhatIf({ place: fridge, over, tried: [] })
    if (!begun.ok) throw new Error(begun.sentence)
    const now = () => {
      const run = house.desk.whatIf(begun.value.id)
      return run.ok ? run.value : null
    }
    const waits: number[] = []
    const seen = new Set<number>()
    let isRung = false
    for (let run = now(); run?.state === 'running'; run = now()) {
      seen.add(run.done)
      const from = performance.now()
      await new Promise((resolve) => setImmediate(resolve))
      waits.push(performance.now() - from)
      if (isRung) continue
      house.live({ probe: () => 20 - (waits.length % 2) / 16 }, 1)
      isRung = [...house.house.state().alarms.values()].some(({ state }) => state.name === 'unacknowledged')
    }
    expect(now()?.state).toBe('done')
    expect(isRung).toBe(true)
    expect(seen.size).toBeGreaterThan(3)
    expect([...seen]).toEqual([...seen].toSorted((one, other) => one - other))
    const inOrder = waits.toSorted((one, other) => one - other)
    // The median: another process's turn on the machine is none of its doing.
    expect(inOrder[Math.floor(inOrder.length / 2)]).toBeLessThan(50)
  })
})

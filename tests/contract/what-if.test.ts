import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { TriedLimit, WhatIfResult } from '../../schemas/what-if.ts'
import { WhatIfResult as ResultSchema } from '../../schemas/what-if.ts'
import { temporaryFolder } from '../support/store-world.ts'
import { until } from '../support/until.ts'
import { aWhatIfHouse, type Curve, sixteenth, type WhatIfHouse, whatIfHousehold } from '../support/what-if-house.ts'

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
  { from = start, to = house.clock.now(), ...more }: { from?: Instant; to?: Instant; guard?: 'on' | 'off'; silentAfter?: TriedLimit['for'] } = {},
): Promise<WhatIfResult> =>
  house.ask({
    place: fridge,
    over: { from, to },
    tried: limits.length === 0 && Object.keys(more).length === 0 ? [] : [{ place: fridge, limits: [...limits], ...more }],
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
  test('tell the very alarms of the journal: cold, warm, silence, and what nobody watched', async () => {
    opens()
    const cold = dips(0.5, 700, 90, dips(9.5, 1500, 240))
    const silent: Curve = (minute) => (minute >= 2300 && minute < 2420 ? null : cold(minute))
    house.live({ probe: silent, 'room-probe': room }, 3000)
    const result = await ask()
    ResultSchema.parse(result)
    const kinds = result.pairs.map(({ happened }) => happened?.kind)
    expect(new Set(kinds)).toEqual(new Set(['limit', 'silent']))
    expect(result.happened.alarms).toBeGreaterThan(4)
    isTheSame(result)
  })

  test('so do they where somebody opened the fridge and said so (A3), and across a stop of Brumal (L7)', async () => {
    opens()
    const warm = (minute: number) => (minute >= 200 && minute < 220 ? 14 : well(minute))
    house.live({ probe: warm, 'room-probe': room }, 195)
    house.house.take(
      { kind: 'tend', place: fridge, at: house.clock.now(), until: later(house.clock.now(), minutes(30)), by: 'Ada' },
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

  test('so they do for any course of temperature with gaps (property)', async () => {
    const stretch = fc.record({
      lasts: fc.integer({ min: 20, max: 300 }),
      middle: fc.double({ min: -1, max: 12, noNaN: true }),
      isSilent: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
    })
    await fc.assert(
      fc.asyncProperty(fc.array(stretch, { minLength: 4, maxLength: 10 }), async (stretches) => {
        const own = temporaryFolder()
        house = aWhatIfHouse(own.path, { start })
        for (const { lasts, middle, isSilent } of stretches)
          house.live(
            { probe: (minute) => (isSilent ? null : sixteenth(middle + well(minute) - 5)), 'room-probe': room },
            lasts,
          )
        isLimitsTheSame(await ask())
        house.close()
        own.remove()
      }),
      { numRuns: 12 },
    )
    opens()
  })
})

const isLimitsTheSame = (result: WhatIfResult) => {
  const limits = result.pairs.filter(({ happened, would }) => (happened ?? would)?.kind === 'limit')
  expect(limits.map(({ would }) => would)).toEqual(limits.map(({ happened }) => happened))
}

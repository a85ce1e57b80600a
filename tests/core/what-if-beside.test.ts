import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Spell, TriedLimit } from '../../schemas/what-if.ts'
import { nightNamed } from '../../shared/time/night.ts'
import { objectionToTried } from '../../shared/what-if/objection.ts'
import { countPairs, fewer, pairsOf, soonerBy } from '../../shared/what-if/pairs.ts'
import { noteLine, spellsOf, startLog } from '../../shared/what-if/spells.ts'
import { nightSides, sideOf } from '../../shared/what-if/tally.ts'

const start = instant(Date.UTC(2025, 10, 10, 12))
const fridge = 'fridge' as PlaceId
const places = new Set([fridge])
const temperature = (limit: TriedLimit['limit'], more: Partial<TriedLimit> = {}): TriedLimit => ({
  quantity: 'temperature',
  limit,
  ...more,
})

const spell = (from: number, until: number | null, more: Partial<Spell> = {}): Spell => ({
  alarm: 'limit:fridge:temperature:low' as Spell['alarm'],
  kind: 'limit',
  place: fridge,
  sensor: null,
  quantity: 'temperature',
  limit: 'low',
  priority: 'medium',
  from: later(start, from),
  until: until === null ? null : later(start, until),
  value: 2,
  threshold: 3,
  isDoubt: false,
  ...more,
})

describe('beside each other', () => {
  test('what stands at the same time or within an hour is the same danger, beyond it is another', () => {
    const happened = [spell(0, hours(1))]
    expect(pairsOf(happened, [spell(hours(2), hours(3))])).toHaveLength(1)
    expect(pairsOf(happened, [spell(hours(2) + 1, hours(3))])).toHaveLength(2)
    expect(pairsOf([spell(hours(5), null)], [spell(hours(4), hours(4) + 1)]).map(soonerBy)).toEqual([
      hours(1),
    ])
  })

  test('a limit meets its own kind first, then the critical one of its side; never the other side', () => {
    const critical = {
      alarm: 'limit:fridge:temperature:lowCritical' as Spell['alarm'],
      limit: 'lowCritical' as const,
    }
    const high = { alarm: 'limit:fridge:temperature:high' as Spell['alarm'], limit: 'high' as const }
    const low = spell(0, hours(1))
    expect(
      pairsOf([low], [spell(60_000, hours(1), critical), spell(120_000, hours(1))]).map(soonerBy),
    ).toEqual([-120_000, null])
    expect(pairsOf([low], [spell(60_000, hours(1), critical)]).map(soonerBy)).toEqual([-60_000])
    expect(pairsOf([low], [spell(60_000, hours(1), high)]).map(soonerBy)).toEqual([null, null])
  })

  test('each alarm stands in exactly one pair, and a log beside itself differs nowhere (property)', () => {
    const spells = fc
      .array(fc.tuple(fc.integer({ min: 0, max: 500 }), fc.integer({ min: 0, max: 100 }), fc.boolean()), {
        maxLength: 30,
      })
      .map((some) =>
        some
          .toSorted(([one], [other]) => one - other)
          .map(([from, length, isHigh]) =>
            spell(from * 60_000, (from + length) * 60_000, {
              alarm: `limit:fridge:temperature:${isHigh ? 'high' : 'low'}` as Spell['alarm'],
              limit: isHigh ? 'high' : 'low',
            }),
          ),
      )
    fc.assert(
      fc.property(spells, spells, (happened, would) => {
        const pairs = pairsOf(happened, would)
        expect(new Set(pairs.flatMap((pair) => pair.happened ?? []))).toEqual(new Set(happened))
        expect(new Set(pairs.flatMap((pair) => pair.would ?? []))).toEqual(new Set(would))
        const { both, onlyHappened, onlyWould } = countPairs(pairs)
        expect([both + onlyHappened, both + onlyWould]).toEqual([happened.length, would.length])
        expect(pairsOf(happened, happened).every((pair) => soonerBy(pair) === 0)).toBe(true)
      }),
    )
  })

  test('X3: where there are too many, those that do not differ are left out first', () => {
    const pairs = pairsOf(
      [spell(0, 1), spell(hours(3), hours(4))],
      [spell(0, 1), spell(hours(3) + 60_000, hours(4)), spell(hours(9), null)],
    )
    expect(fewer(pairs, 3)).toEqual(pairs)
    expect(fewer(pairs, 2).map(soonerBy)).toEqual([-60_000, null])
  })
})

describe('nights', () => {
  // Clocks go forward in the night of 28 March 2026 in Vienna, back in that of 24 October.
  const hoursOfNight = { from: '20:00', to: '08:00' }
  const spring = nightNamed('2026-03-28', 'Europe/Vienna', hoursOfNight)
  const autumn = nightNamed('2026-10-24', 'Europe/Vienna', hoursOfNight)
  const standsIn = (from: Instant, until: Instant | null, priority: Spell['priority'] = 'medium'): Spell => ({
    ...spell(0, 0),
    from,
    until,
    priority,
  })

  test('an alarm that stands all night stands 11 or 13 h when clocks change', () => {
    for (const [night, length] of [
      [spring, hours(11)],
      [autumn, hours(13)],
    ] as const)
      expect(nightSides([standsIn(later(night.from, -hours(1)), null)], [night])).toEqual([
        { alarms: 0, gravest: null, rings: false, standing: length },
      ])
  })

  test('A4: the first instant of a night is in it, its last is not; low priority waits for the morning', () => {
    const night = spring
    const rings = (at: Instant, priority?: Spell['priority']) =>
      nightSides([standsIn(at, later(at, 1), priority)], [night])[0]
    expect(rings(night.from)).toMatchObject({ alarms: 1, rings: true })
    expect(rings(later(night.to, -1))).toMatchObject({ rings: true })
    expect(rings(later(night.from, -1))).toMatchObject({ alarms: 0, rings: false })
    expect(rings(night.to)).toMatchObject({ alarms: 0, rings: false })
    expect(rings(night.from, 'low')).toEqual({ alarms: 1, gravest: 'low', rings: false, standing: 1 })
  })

  test('two that stand at once are one time, and only what was raised in the stretch is counted', () => {
    const stretch = { from: start, to: later(start, hours(10)) }
    const side = sideOf(
      [spell(-hours(1), hours(2)), spell(hours(1), hours(3)), spell(hours(9), null)],
      stretch,
      [],
    )
    expect(side).toEqual({
      alarms: 2,
      byPriority: { low: 0, medium: 2, high: 0 },
      standing: hours(4),
      nightsRung: 0,
    })
  })
})

describe('the log of alarms', () => {
  test('what is hidden stands for nobody; out of hiding it is raised afresh (A2)', () => {
    const log = startLog(places)
    const line = (kind: 'raised' | 'shelved' | 'returned' | 'acknowledged', at: number, place = fridge) =>
      noteLine(log, {
        at: later(start, at),
        kind,
        by: 'brumal',
        alarm: spell(0, 0).alarm,
        alarmKind: 'limit',
        place,
        priority: 'high',
      })
    line('raised', 0)
    line('acknowledged', 1)
    line('raised', 5, 'attic' as PlaceId)
    line('shelved', 10)
    line('raised', 20)
    line('returned', 30)
    expect(spellsOf(log).map(({ from, until }) => [from - start, (until ?? 0) - start])).toEqual([
      [0, 10],
      [20, 30],
    ])
  })
})

describe('limits that cannot be tried', () => {
  const inFridge = (...limits: TriedLimit[]) => objectionToTried([{ place: fridge, limits }])
  test('they rise from cold to warm; equal low ones may be, equal low and high may not', () => {
    expect(inFridge(temperature('lowCritical', { value: 3 }), temperature('low', { value: 3 }))).toBeNull()
    expect(inFridge(temperature('lowCritical', { value: 3.1 }), temperature('low', { value: 3 }))).toMatch(
      /rise/,
    )
    expect(inFridge(temperature('low', { value: 5 }), temperature('high', { value: 5 }))).toMatch(/below/)
    expect(inFridge(temperature('low', { value: 5 }), temperature('high', { value: 5.1 }))).toBeNull()
    expect(inFridge(temperature('low', { value: null }), temperature('high'))).toBeNull()
  })
  test('a limit or a place named twice is refused', () => {
    expect(inFridge(temperature('low'), temperature('low'))).toMatch(/twice/)
    expect(
      objectionToTried([
        { place: fridge, limits: [] },
        { place: fridge, limits: [] },
      ]),
    ).toMatch(/twice/)
  })
})

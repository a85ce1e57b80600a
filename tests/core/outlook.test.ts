import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, later, millis, minutes } from '../../schemas/amounts.ts'
import type { OutlookTime } from '../../schemas/outlook.ts'
import { fitStretch, type StretchFit } from '../../shared/thermal/outlook-fit.ts'
import {
  outlookLimits,
  type OutlookModel,
  outlookModel,
  type OutlookPresent,
} from '../../shared/thermal/outlook.ts'
import { outlookHoldOver } from '../../shared/thermal/outlook-hold-over.ts'
import { stuckOnAt } from '../../shared/thermal/forecast.ts'
import {
  type Fridge,
  fridge,
  meanBefore,
  probeIn,
  pulledAt,
  reallyAt,
  seenIn,
  story,
} from '../support/outlook-story.ts'

const limits = [
  { limit: 'high', threshold: 8 },
  { limit: 'highCritical', threshold: 12 },
] as const
const room = { celsius: 18, uncertainty: 0.6 }

function fitOf(data: Parameters<typeof fitStretch>[0]): StretchFit {
  const fitted = fitStretch(data)
  if (!fitted.ok) throw new Error(fitted.why)
  return fitted.fit
}

function modelOf(fits: readonly StretchFit[], litres: number | null = 0): OutlookModel {
  const found = outlookModel(fits, [], litres)
  if (!found.ok) throw new Error(found.why)
  return found.model
}

const isBetween = ({ least, most }: OutlookTime, real: number | null): boolean =>
  real === null ? most === null : (least ?? Infinity) <= real && real <= (most ?? Infinity)

describe.each<{ name: string; of: Fridge; judge: number; pair?: number; hoursOut: number }>([
  { name: 'an empty fridge', of: { litres: 0, isFilled: false }, judge: 1, hoursOut: 6 },
  {
    name: 'an empty fridge with six litres of bottles',
    of: { litres: 6, isFilled: false },
    judge: 1,
    hoursOut: 12,
  },
  { name: 'a fridge with a box', of: { litres: 0, isFilled: true }, judge: 1, hoursOut: 12 },
  { name: 'a fridge with a box and bottles', of: { litres: 6, isFilled: true }, judge: 1, hoursOut: 12 },
  { name: 'the soil of its box', of: { litres: 0, isFilled: true }, judge: 2, hoursOut: 6 },
  { name: 'air and soil together', of: { litres: 0, isFilled: true }, judge: 1, pair: 2, hoursOut: 6 },
  { name: 'soil and air together', of: { litres: 6, isFilled: true }, judge: 2, pair: 1, hoursOut: 6 },
])('A6: if the power failed now, for $name', ({ of, judge, pair, hoursOut }) => {
  test('the real time to each limit lies within the stated interval, in at least nine of ten', () => {
    let [inside, all] = [0, 0]
    for (let seed = 1; seed <= 6; seed++) {
      const fit = fitOf(
        seenIn(story(seed, of, hoursOut), { seed, litres: of.litres, judge, ...(pair && { pair }) }),
      )
      const model = modelOf([fit], of.litres)
      expect(model.two !== null).toBe(pair !== undefined)
      // Another night: nothing of it was learnt from.
      const truth = story(seed + 100, of, 40)
      const here = { ...meanBefore(probeIn(truth, judge, seed)), uncertainty: 0.2 }
      const other = pair === undefined ? null : meanBefore(probeIn(truth, pair, seed))
      const present: OutlookPresent = {
        here,
        both:
          other === null
            ? null
            : judge === fridge
              ? { air: here, load: other, isOfLoad: false }
              : { air: other, load: here, isOfLoad: true },
        isLeftAlone: false,
      }
      for (const { threshold, time } of outlookLimits(model, present, room, limits)) {
        all++
        if (isBetween(time, reallyAt(truth, judge, threshold))) inside++
      }
    }
    expect(inside / all).toBeGreaterThanOrEqual(0.9)
  }, 30_000)
})

describe('A6: what is not known yet is no number', () => {
  const filled: Fridge = { litres: 0, isFilled: true }

  test.each([
    { lasts: 0.9, why: 'tooShort' },
    { lasts: 0.4, why: 'tooShort' },
  ])('$lasts h without power are too short', ({ lasts, why }) => {
    expect(fitStretch(seenIn(story(1, filled, lasts), { seed: 1, litres: 0 }))).toEqual({ ok: false, why })
  })

  test('three hours with nothing measuring the room: the air’s own bend is not taken for the room', () => {
    const of: Fridge = { litres: 6, isFilled: true }
    for (let seed = 1; seed <= 6; seed++)
      expect(
        fitStretch(seenIn(story(seed, of, 3), { seed, litres: 6, isRoomMeasured: false })).ok,
        String(seed),
      ).toBe(false)
  })

  test('a fridge that stood in a room as cold as itself tells nothing', () => {
    const data = seenIn(story(1, filled, 6), { seed: 1, litres: 0 })
    const still = data.readings.map(({ at }, i) => ({ at, celsius: 5 + 0.3 * Math.sin(i) }))
    expect(fitStretch({ ...data, readings: still })).toEqual({ ok: false, why: 'tooShort' })
  })

  test('a cooling alarm in which something still cooled a little does not count', () => {
    const data = seenIn(story(1, { litres: 0, isFilled: false }, 8), {
      seed: 1,
      litres: null,
      by: 'notCooling',
    })
    expect(fitStretch(data).ok).toBe(true)
    // It settles half way to the room.
    const weak = data.readings.map(({ at, celsius }) => ({ at, celsius: 5 + (celsius - 5) / 2 }))
    expect(fitStretch({ ...data, readings: weak })).toEqual({ ok: false, why: 'tooUnsure' })
  })

  test('readings lost, none at all, or one: too short, and nothing is thrown', () => {
    const data = seenIn(story(1, filled, 6), { seed: 1, litres: 0 })
    for (const readings of [[], data.readings.slice(0, 1), data.readings.slice(0, 5)])
      expect(fitStretch({ ...data, readings })).toEqual({ ok: false, why: 'tooShort' })
  })

  test('without any stretch, with too short ones, with ones that disagree', () => {
    expect(outlookModel([], [], null)).toEqual({ ok: false, why: 'noStretch' })
    expect(outlookModel([], ['tooShort'], null)).toEqual({ ok: false, why: 'tooShort' })
    expect(outlookModel([], ['tooShort', 'tooUnsure'], null)).toEqual({ ok: false, why: 'tooUnsure' })
    const fit = plainFit(hours(10), 0)
    expect(outlookModel([fit], [], 0).ok).toBe(true)
    expect(outlookModel([fit, plainFit(hours(30), 0)], [], 0)).toEqual({ ok: false, why: 'tooUnsure' })
  })

  test('stretches with other bottles than are inside now do not count; those of which nobody said do', () => {
    expect(outlookModel([plainFit(hours(10), 0)], [], 6)).toEqual({ ok: false, why: 'noStretch' })
    expect(outlookModel([plainFit(hours(10), null)], [], 6).ok).toBe(true)
    expect(modelOf([plainFit(hours(10), 0), plainFit(hours(16), 6)], 6).tau).toBe(hours(16))
  })
})

describe('hold-over with and without bottles', () => {
  const present: OutlookPresent = { here: { celsius: 5, uncertainty: 0.2 }, both: null, isLeftAlone: false }
  const holdOf = (model: OutlookModel) => outlookHoldOver(model, present, room, limits)

  test.each([0, 6])(
    'from a trial run without and one with six litres both are told, with %i L inside',
    (now) => {
      const critical = [{ limit: 'highCritical', threshold: 12 }] as const
      const fits = [0, 6].map((litres) =>
        fitOf(seenIn(story(litres, { litres, isFilled: false }, 8), { seed: 1, litres })),
      )
      const told = outlookHoldOver(modelOf(fits, now), present, room, critical)
      expect(told).toMatchObject({ litres: 6, areInside: now > 0, isReckoned: false })
      for (const litres of [0, 6]) {
        const real = reallyAt(story(31, { litres, isFilled: false }, 40), fridge, 12)
        expect(isBetween((litres === 0 ? told?.without : told?.withBottles) ?? never, real)).toBe(true)
      }
      // The bottles stand in the air of 1 W/K of walls, with 3 W/K of their own before them.
      expect(told?.conductance.isMeasured).toBe(true)
      expect(told?.conductance.watts).toBeGreaterThan(0.6)
      expect(told?.conductance.watts).toBeLessThan(1)
    },
  )

  test('measured without bottles: with them is longer, and both go up with the constant', () => {
    const short = holdOf(modelOf([plainFit(hours(8), 0)]))
    expect(short).toMatchObject({
      limit: 'high',
      areInside: false,
      litres: 6,
      isReckoned: true,
      conductance: { isMeasured: false },
    })
    expect(short?.withBottles.likely).toBeGreaterThan(short?.without.likely ?? Infinity)
    const long = holdOf(modelOf([plainFit(hours(16), 0)]))
    expect(long?.without.likely).toBeGreaterThan(short?.without.likely ?? Infinity)
    // A litre more of water does the same to each: its share is smaller where more is inside.
    const share = (one: typeof short) => (one?.withBottles.likely ?? 0) / (one?.without.likely ?? 1)
    expect(share(long)).toBeLessThan(share(short))
  })

  test('measured with bottles inside: without them is shorter; what would be nothing at all is not told', () => {
    const told = holdOf(modelOf([plainFit(hours(16), 6)], 6))
    expect(told).toMatchObject({ areInside: true, litres: 6 })
    expect(told?.without.likely).toBeLessThan(told?.withBottles.likely ?? 0)
    expect(holdOf(modelOf([plainFit(hours(4), 6)], 6))).toBeNull()
  })

  test('where nobody said how much water is inside, nothing is told of bottles', () => {
    expect(holdOf(modelOf([plainFit(hours(10), null)], null))).toBeNull()
  })

  test('where no limit would ever be met there is no hold-over to tell', () => {
    const model = modelOf([plainFit(hours(10), 0)])
    expect(outlookHoldOver(model, present, { celsius: 6, uncertainty: 0.1 }, limits)).toBeNull()
  })
})

describe('if it cooled without a stop', () => {
  test('a low limit is met, a high one never', () => {
    const usual = (middle: number) => ({ middle, spread: 0 })
    const towards = stuckOnAt(room, {
      period: usual(minutes(40)),
      duty: usual(0.4),
      amplitude: usual(2),
      mean: usual(5),
      crest: usual(6),
      trough: usual(4),
    })
    const here: OutlookPresent = { here: { celsius: 5, uncertainty: 0.2 }, both: null, isLeftAlone: false }
    const [low, high] = outlookLimits(modelOf([plainFit(hours(10), 0)]), here, towards, [
      { limit: 'lowCritical', threshold: 1 },
      { limit: 'high', threshold: 8 },
    ])
    expect(low?.time.likely).toBeGreaterThan(0)
    expect(high?.time).toEqual({ likely: null, least: null, most: null })
  })
})

describe('properties of every outlook', () => {
  const anyModel = fc
    .record({
      tau: fc.integer({ min: 30, max: 60 * 60 }),
      share: fc.double({ min: 0.005, max: 0.2, noNaN: true }),
    })
    .map(({ tau, share }) => modelOf([{ ...plainFit(minutes(tau), 0), share }]))
  const anyPresent = fc
    .record({ celsius: fc.double({ min: 0, max: 12, noNaN: true }), isLeftAlone: fc.boolean() })
    .map(({ celsius, isLeftAlone }) => ({ here: { celsius, uncertainty: 0.15 }, both: null, isLeftAlone }))
  const anyRoom = fc.record({
    celsius: fc.double({ min: -10, max: 30, noNaN: true }),
    uncertainty: fc.double({ min: 0.1, max: 3, noNaN: true }),
  })
  const order = (ms: number | null): number => ms ?? Infinity

  test('likely lies between least and most, and each limit farther off is met no sooner', () => {
    fc.assert(
      fc.property(anyModel, anyPresent, anyRoom, (model, present, towards) => {
        const up = [6, 8, 10, 14].map((threshold) => ({ limit: 'high' as const, threshold }))
        const down = [4, 2, 1, -3].map((threshold) => ({ limit: 'low' as const, threshold }))
        for (const limitsHere of [up, down]) {
          const all = outlookLimits(model, present, towards, limitsHere)
          all.forEach(({ time: { least, likely, most } }, i) => {
            expect(order(least)).toBeLessThanOrEqual(order(likely))
            expect(order(likely)).toBeLessThanOrEqual(order(most))
            const before = all[i - 1]?.time
            if (before !== undefined) expect(order(before.likely)).toBeLessThanOrEqual(order(likely) + 1)
          })
        }
      }),
    )
  })

  test('what holds longer meets each limit no sooner', () => {
    fc.assert(
      fc.property(anyPresent, anyRoom, fc.integer({ min: 1, max: 40 }), (present, towards, more) => {
        const [quick, slow] = [2, 2 + more].map((h) =>
          outlookLimits(modelOf([plainFit(hours(h), 0)]), present, towards, limits),
        )
        quick?.forEach(({ time }, i) =>
          expect(order(time.likely)).toBeLessThanOrEqual(order(slow?.[i]?.time.likely ?? null) + 1),
        )
      }),
    )
  })

  test('the less is known of a room, the wider the interval', () => {
    const model = modelOf([plainFit(hours(10), 0)])
    const here: OutlookPresent = { here: { celsius: 5, uncertainty: 0.2 }, both: null, isLeftAlone: false }
    const widths = [0.5, 1, 2, 3].map((uncertainty) => {
      const [first] = outlookLimits(model, here, { celsius: 18, uncertainty }, limits)
      return order(first?.time.most ?? null) - order(first?.time.least ?? null)
    })
    for (let i = 1; i < widths.length; i++) expect(widths[i]).toBeGreaterThan(widths[i - 1] ?? 0)
  })

  test('what is past a limit already has no time left', () => {
    const model = modelOf([plainFit(hours(10), 0)])
    const here: OutlookPresent = { here: { celsius: 8, uncertainty: 0.2 }, both: null, isLeftAlone: true }
    expect(outlookLimits(model, here, room, limits)[0]?.time).toEqual({ likely: 0, least: 0, most: 0 })
    expect(outlookLimits(model, here, room, limits)[1]?.time.likely).toBeGreaterThan(0)
  })
})

const never: OutlookTime = { likely: null, least: null, most: null }

function plainFit(tau: number, litres: number | null): StretchFit {
  return {
    at: later(pulledAt, litres ?? 0),
    lasted: hours(10),
    litres,
    tau: millis(tau),
    share: 0.05,
    start: { share: 1, uncertainty: 0.02 },
    room: { celsius: 18, uncertainty: 0.5, isMeasured: true },
    quick: null,
    two: null,
  }
}

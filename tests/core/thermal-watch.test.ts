import { describe, expect, test } from 'vitest'
import { PlaceNow } from '../../schemas/api.ts'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import { alarmHeadline } from '../../shared/telling/alarm-words.ts'
import { journalSentence } from '../../shared/telling/journal-words.ts'
import { openingsOnce } from '../../shared/thermal/door-contact.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import {
  aFridgeWatch,
  fridgeHouse,
  inOrder,
  peoplesDoors,
  saidBy,
  type Said,
} from '../support/fridge-story.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy, type Truth } from '../support/practice-curve.ts'

const dsProbe = { place: 1, every: minutes(1), noise: 0.05, step: 1 / 16, lost: 0.02 }
const airOf = (truth: readonly Truth[], seed = 5, probe: object = {}) =>
  saidBy('air', shownBy(truth, { ...dsProbe, ...probe }, seed))
const soilOf = (truth: readonly Truth[], seed = 5) =>
  saidBy('soil', shownBy(truth, { place: 2, every: minutes(1), noise: 0.03, step: 1 / 16 }, seed))
const happens = days(2)
const calm = peoplesDoors(4, happens)
const since = (at: Instant | undefined) => (at ?? Number.NaN) - curveStart
const names = { place: (id: string) => id, sensor: (id: string) => id, contact: (id: string) => id }
const meets = (truth: readonly Truth[], place: number, isMet: (celsius: number) => boolean) =>
  (truth.find(({ at, celsius }) => at > curveStart + happens && isMet(celsius[place] ?? Number.NaN))?.at ??
    Number.NaN) - curveStart

const powerCut = practiceCurve(cellarFridge(), days(2.6), 3, (elapsed) => ({
  open: calm(elapsed),
  powered: elapsed < happens || elapsed > happens + hours(10),
}))
const stuckOn = practiceCurve(cellarFridge(), days(2.3), 3, (elapsed) => ({
  open: calm(elapsed),
  ...(elapsed < happens ? {} : { stuck: true }),
}))
const leftAjar = practiceCurve(cellarFridge(), days(2.3), 3, (elapsed) => ({
  open: calm(elapsed) || (elapsed >= happens && elapsed < happens + hours(2)),
}))

describe('L12: five days of a fridge that is well', () => {
  test.each([
    { seed: 1, probe: {} },
    { seed: 2, probe: {} },
    { seed: 3, probe: { noise: 0.2, step: 0.1 } },
    { seed: 4, probe: { noise: 0.02, step: 0.01, every: minutes(2) } },
  ])('raise nothing, with doors as people open them (seed $seed, $probe)', ({ seed, probe }) => {
    const doors = peoplesDoors(seed)
    const room = { mean: 17 - 2 * (seed % 3), swing: 3 }
    const truth = practiceCurve(cellarFridge({}, room), days(5), seed, (elapsed) => ({
      open: doors(elapsed),
    }))
    for (const fridge of [{}, { animalLag: hours(5) }]) {
      const watch = aFridgeWatch(fridgeHouse({ fridge, soil: seed % 2 === 0 }))
      watch.hears(
        inOrder(
          airOf(truth, seed, probe),
          soilOf(truth, seed).filter(() => seed % 2 === 0),
        ),
      )
      expect(watch.told.filter((told) => !/limit (low|high)$/.test(told))).toEqual([])
      expect(watch.thermal()?.cycle?.learning.usual).not.toBeNull()
    }
  })

  test('each opening that let warm air in is one line of the journal, none of them invented', () => {
    const isOpen = peoplesDoors(2)
    const truth = practiceCurve(cellarFridge(), days(5), 2, (elapsed) => ({ open: isOpen(elapsed) }))
    const watch = aFridgeWatch().hears(airOf(truth))
    const lines = watch.doors
    expect(lines.length).toBeGreaterThan(4)
    for (const { at, until, rise, recovery, text } of lines) {
      let wasOpen = false
      for (let t: number = at; t <= (until ?? 0); t += 10_000) wasOpen ||= isOpen(t - curveStart)
      expect(wasOpen).toBe(true)
      expect(rise).toBeGreaterThan(1)
      expect(recovery).toBeGreaterThan(0)
      expect(text).toMatch(
        /^Open for .* at most; the air warmed by \d+\.\d K and was nearly back .* later\.$/,
      )
    }
    lines.reduce((one, other) => {
      expect(other.at).toBeGreaterThan(one.until ?? 0)
      return other
    })
    expect(journalSentence(lines[0] as never, names)).toMatch(/^The door of fridge was opened\. Open for/)
  })
})

describe('L12: the plug is pulled', () => {
  const watch = aFridgeWatch().hears(airOf(powerCut))
  const raised = watch.first('notCooling')

  test('it is told as medium within 90 minutes, hours before the box has left its band', () => {
    expect(raised).toMatchObject({ priority: 'medium', place: 'fridge' })
    expect(raised?.text).toMatch(
      /^It has warmed for 1 h .*; usually it cools again after .*, below \d\.\d °C\.$/,
    )
    expect(since(raised?.at)).toBeGreaterThan(happens + minutes(20))
    expect(since(raised?.at)).toBeLessThan(happens + minutes(90))
    expect(meets(powerCut, 2, (box) => box >= 7) - since(raised?.at)).toBeGreaterThan(hours(2))
  })

  test('it returns once the air is back, not at the first turn, and neither came twice', () => {
    const back = watch.first('notCooling', 'returned')
    expect(since(back?.at)).toBeGreaterThan(happens + hours(10))
    expect(watch.told.filter((told) => told.endsWith('notCooling'))).toEqual([
      'raised notCooling',
      'returned notCooling',
    ])
    const before = watch.alarms.findLast(({ limit, kind }) => limit === 'highCritical' && kind === 'returned')
    expect(back?.at).toBeGreaterThanOrEqual(before?.at ?? Number.POSITIVE_INFINITY)
  })

  test('A3: while the place or the room around it is tended it is hidden, and told when that ends', () => {
    const readings = airOf(powerCut)
    const tendAt = later(curveStart, happens + minutes(55))
    const tended = aFridgeWatch().hears(readings.filter(({ at }) => at <= tendAt))
    const until = later(tendAt, minutes(30))
    tended.is({ kind: 'tend', place: 'cellar' as PlaceId, at: tendAt, until, by: 'Ada' })
    tended.hears(readings.filter(({ at }) => at > tendAt))
    expect(since(raised?.at)).toBeGreaterThan(tendAt - curveStart)
    expect(raised?.at).toBeLessThan(until)
    expect(tended.first('notCooling')?.at).toBe(until)
  })

  test('while dangerous warmth itself stands nothing is said, nor when that has just come back', () => {
    const ownLimits = [{ quantity: 'temperature', limit: 'highCritical', value: 7.2 }]
    const warm = aFridgeWatch(fridgeHouse({ fridge: { ownLimits } })).hears(airOf(powerCut))
    expect(warm.told).toEqual(
      expect.arrayContaining(['raised limit highCritical', 'returned limit highCritical']),
    )
    expect(warm.first('notCooling')).toBeUndefined()
  })

  test('a fridge without an animal is told of as low', () => {
    const empty = aFridgeWatch(fridgeHouse({ animals: false })).hears(airOf(powerCut))
    expect(empty.first('notCooling')).toMatchObject({ priority: 'low', at: raised?.at })
    const place = placesNow(empty.state, raised?.at ?? curveStart).find(({ id }) => id === 'fridge')
    expect(place).toMatchObject({ standing: 'idle', priority: null })
  })

  test('eight hours with the plug out for a trial run teach it no patience: the next cut is told as soon as ever', () => {
    const [out, cut] = [happens, happens + hours(22)]
    const truth = practiceCurve(cellarFridge(), days(3.1), 3, (elapsed) => ({
      powered: !(elapsed >= out && elapsed < out + hours(8)) && elapsed < cut,
    }))
    const plugOut = [{ from: later(curveStart, out), until: later(curveStart, out + hours(8)) }]
    const trial = { from: curveStart, until: later(curveStart, out + hours(9)), by: 'Ada', plugOut }
    const tried = aFridgeWatch(fridgeHouse({ fridge: { trial } })).hears(airOf(truth))
    const told = tried.alarms.filter(({ alarmKind, kind }) => alarmKind === 'notCooling' && kind === 'raised')
    expect(since(told.at(-1)?.at)).toBeGreaterThan(cut)
    expect(since(told.at(-1)?.at)).toBeLessThan(cut + minutes(90))
  })

  test('while an animal there warms up by plan it is meant', () => {
    const warming = aFridgeWatch(fridgeHouse({ phase: 'warmUp' })).hears(airOf(powerCut))
    expect(warming.first('notCooling')).toBeUndefined()
  })
})

describe('L12: the thermostat sticks on', () => {
  const watch = aFridgeWatch(fridgeHouse({ soil: true })).hears(inOrder(airOf(stuckOn), soilOf(stuckOn)))
  const frost = watch.alarms.find(({ limit, place }) => limit === 'lowCritical' && place === 'fridge')

  test('ten minutes and more before the air is dangerously cold it cools without a stop, and says how long is left', () => {
    const raised = watch.first('alwaysCooling')
    expect(raised).toMatchObject({ priority: 'medium', place: 'fridge' })
    expect(since(raised?.at)).toBeGreaterThan(happens)
    expect((frost?.at ?? 0) - (raised?.at ?? Number.POSITIVE_INFINITY)).toBeGreaterThanOrEqual(minutes(10))
    expect(raised?.text).toMatch(/At this pace the air meets 1\.0 °C in about \d+ min\.$/)
  })

  test('the soil’s trend says as high that the box will be dangerously cold, an hour before it is', () => {
    const early = watch.first('limitAhead')
    expect(early).toMatchObject({ priority: 'high', place: 'box', limit: 'lowCritical', threshold: 1 })
    expect(meets(stuckOn, 2, (box) => box <= 1) - since(early?.at)).toBeGreaterThan(hours(1))
    expect(early?.text).toMatch(/^Counted from this alarm, it meets 1\.0 °C in about .* to .*\.$/)
    const [, from = '', to = ''] = /about (.*) to (.*)\.$/.exec(early?.text ?? '') ?? []
    expect([from, to].every((words) => /^\d/.test(words))).toBe(true)
    expect(
      alarmHeadline(
        watch.state.alarms.get('limitAhead:box:temperature:lowCritical' as never) as never,
        names,
      ),
    ).toBe('box will soon be dangerously cold (limit 1.0 °C)')
  })

  test('while the limit itself stands nothing new is said of it, and nobody is told that it is over', () => {
    const after = watch.alarms.filter(({ at, place }) => at > (frost?.at ?? 0) && place === 'fridge')
    expect(after).toEqual([])
    const box = watch.alarms
      .filter(({ place }) => place === 'box')
      .map(({ kind, limit }) => `${kind} ${limit}`)
    expect(box).toEqual(['raised lowCritical', 'raised low', 'raised lowCritical'])
  })

  test('each returns: the one when it runs and rests again, the other when the soil no longer goes there', () => {
    const mended = practiceCurve(cellarFridge(), days(3), 3, (elapsed) =>
      elapsed < happens || elapsed > happens + hours(2.3) ? {} : { stuck: true },
    )
    const back = aFridgeWatch(fridgeHouse({ soil: true })).hears(inOrder(airOf(mended), soilOf(mended)))
    expect(since(back.first('alwaysCooling', 'returned')?.at)).toBeGreaterThan(happens + hours(2.3))
    expect(since(back.first('alwaysCooling', 'returned')?.at)).toBeLessThan(happens + hours(6))
    expect(since(back.first('limitAhead', 'returned')?.at)).toBeGreaterThan(happens + hours(2.3))
    const standing = back.told.filter((told) => /alwaysCooling|limitAhead/.test(told))
    expect(standing.filter((told) => told.startsWith('raised'))).toHaveLength(2)
    expect(standing.filter((told) => told.startsWith('returned'))).toHaveLength(2)
  })

  test('where no animal lives it is one step lower: frost ahead is medium, the run low', () => {
    const ownLimits = [{ quantity: 'temperature', limit: 'lowCritical', value: 1 }]
    const house = fridgeHouse({ animals: false, soil: true, fridge: { ownLimits } })
    const sensors = house.sensors.map((one) =>
      one.id === 'soil' ? { ...one, place: 'fridge' as PlaceId } : one,
    )
    const empty = aFridgeWatch({ ...house, sensors }).hears(inOrder(airOf(stuckOn), soilOf(stuckOn)))
    expect(empty.first('alwaysCooling')).toMatchObject({ priority: 'low' })
    // The air's own limit stands before the soil nears it: nothing new.
    expect(empty.first('limitAhead')).toBeUndefined()
    const soilOnly = aFridgeWatch({ ...house, sensors }).hears(soilOf(stuckOn))
    expect(soilOnly.first('limitAhead')).toMatchObject({ priority: 'medium', limit: 'lowCritical' })
  })

  test('A2: tending hides nothing of the cold side', () => {
    const readings = airOf(stuckOn)
    const tended = aFridgeWatch().hears(readings.filter(({ at }) => at <= curveStart + happens))
    const [at, until] = [later(curveStart, happens), later(curveStart, happens + minutes(30))]
    tended.is({ kind: 'tend', place: 'fridge' as PlaceId, at, until, by: 'Ada' })
    tended.hears(readings.filter((one) => one.at > at))
    expect(tended.first('alwaysCooling')?.at).toBe(watch.first('alwaysCooling')?.at)
  })

  test('while an animal there cools down by plan, a long run is meant, but not one into frost', () => {
    const cooling = aFridgeWatch(fridgeHouse({ phase: 'coolDown' })).hears(airOf(stuckOn))
    expect(cooling.first('alwaysCooling')?.text).toMatch(/meets 1\.0 °C/)
  })
})

describe('L12: the door is left ajar', () => {
  test('it is told as medium within the hour and returns when the door is shut; that is no airing', () => {
    const watch = aFridgeWatch().hears(airOf(leftAjar))
    const [raised, back] = [watch.first('doorAjar'), watch.first('doorAjar', 'returned')]
    expect(raised).toMatchObject({ priority: 'medium', place: 'fridge' })
    expect(since(raised?.at)).toBeGreaterThan(happens + minutes(10))
    expect(since(raised?.at)).toBeLessThan(happens + hours(1))
    expect(since(back?.at)).toBeGreaterThan(happens + hours(2))
    expect(since(back?.at)).toBeLessThan(happens + hours(2.5))
    // One trouble, one word for it.
    expect(watch.first('notCooling')).toBeUndefined()
    expect(watch.doors.filter(({ at }) => since(at) >= happens - minutes(2))).toHaveLength(1)
  })

  test('of a fridge that runs every twenty minutes, what the door let in is the door’s, not the compressor’s', () => {
    // Ten minutes from 4 to 6 °C and ten back, for a day; then a jump to 10 °C that creeps on.
    const curve = Array.from({ length: 24 * 60 + 90 }, (_, m): Point => {
      const peace = 4 + (m % 20 < 10 ? (m % 20) / 5 : (20 - (m % 20)) / 5)
      const opened = m - 24 * 60 - 8
      return { at: later(curveStart, minutes(m)), celsius: opened < 0 ? peace : 8.5 + opened / 100 }
    })
    const watch = aFridgeWatch().hears(saidBy('air', curve))
    expect(watch.told.filter((told) => !told.includes('limit'))).toEqual(['raised doorAjar'])
  })

  test('before the cycle is learnt nothing is told', () => {
    const early = leftAjar.filter(({ at }) => since(at) > happens - hours(1))
    const watch = aFridgeWatch().hears(airOf(early))
    expect(watch.told.filter((told) => !told.includes('limit'))).toEqual([])
  })

  test('a contact says it after five minutes; exactly five are an airing', () => {
    const word = (minute: number, value: number): Said => ({
      at: later(curveStart, minutes(minute)),
      sensor: 'door',
      quantity: 'door',
      value,
    })
    const watch = aFridgeWatch(fridgeHouse({ contact: true, animals: false }))
    watch.hears([word(0, 0), word(10, 1)])
    watch.is({ kind: 'timePassed', at: later(curveStart, minutes(15)) }).hears([word(15, 0)])
    expect(watch.told.filter((told) => told.includes('doorAjar'))).toEqual([])
    expect(watch.doors).toMatchObject([{ at: curveStart + minutes(10), until: curveStart + minutes(15) }])
    watch.hears([word(20, 1)]).is({ kind: 'timePassed', at: later(curveStart, minutes(25) + 1000) })
    expect(watch.first('doorAjar')?.at).toBe(curveStart + minutes(25) + 1)
    expect(watch.hears([word(31, 0)]).told.at(-1)).toBe('returned doorAjar')
  })

  test('a contact that says "shut" is believed more than the air; a limit of the keeper’s own stands for five minutes', () => {
    const word = (elapsed: number, value: number): Said => ({
      at: later(curveStart, elapsed),
      sensor: 'door',
      quantity: 'door',
      value,
    })
    const shut = aFridgeWatch(fridgeHouse({ contact: true }))
    shut.hears(inOrder(airOf(leftAjar), [word(1, 0), word(days(1.5), 0)]))
    expect(shut.first('doorAjar')).toBeUndefined()
    const ownLimits = [{ quantity: 'door', limit: 'high', value: 1, for: minutes(10) }]
    const own = aFridgeWatch(fridgeHouse({ contact: true, fridge: { ownLimits } })).hears([
      word(0, 0),
      word(1000, 1),
    ])
    own.is({ kind: 'timePassed', at: later(curveStart, minutes(20)) })
    expect(own.told).toEqual(expect.arrayContaining(['raised limit high']))
    expect(own.first('doorAjar')).toBeUndefined()
  })

  test('a contact and the air that see one opening make one of it: the contact’s times, the air’s rise and recovery', () => {
    const isOpen = peoplesDoors(2, days(4))
    const truth = practiceCurve(cellarFridge(), days(4), 2, (elapsed) => ({ open: isOpen(elapsed) }))
    const words: Said[] = []
    for (let t = 0; t < days(4); t += 10_000)
      if (isOpen(t) !== isOpen(t - 10_000) || t === 0)
        words.push({
          at: later(curveStart, t + 1),
          sensor: 'door',
          quantity: 'door',
          value: isOpen(t) ? 1 : 0,
        })
    const both = aFridgeWatch(fridgeHouse({ contact: true })).hears(inOrder(airOf(truth), words))
    const opened = words.filter(({ value }) => value === 1).map(({ at }) => at)
    const [first, second] = [false, true].map((isOfAir) =>
      both.doors.filter(({ rise }) => (rise !== undefined) === isOfAir),
    )
    expect(first?.map(({ at }) => at)).toEqual(opened)
    expect(first?.every(({ text }) => /^By its contact, for [^;]*\.$/.test(text ?? ''))).toBe(true)
    // The air alone sees fewer: an opening of seconds warms it too little
    const byAirAlone = aFridgeWatch().hears(airOf(truth)).doors.length
    expect(second).toHaveLength(byAirAlone)
    for (const { at, until, rise, recovery, text } of second ?? []) {
      expect(first).toContainEqual(expect.objectContaining({ at, until, place: 'fridge' }))
      expect(rise).toBeGreaterThan(1)
      expect(recovery).toBeGreaterThan(0)
      expect(text).toMatch(
        /^By its contact, for .*; the air warmed by \d\.\d K and was nearly back .* later\.$/,
      )
    }
    const once = openingsOnce(both.doors)
    expect(once.map(({ at }) => at)).toEqual(opened)
    expect(once.filter(({ rise }) => rise !== undefined)).toHaveLength(byAirAlone)
  })
})

describe('L12: a fridge that slowly loses its gas', () => {
  const truth = practiceCurve(cellarFridge({}, { swing: 0.5 }), days(6), 3)
  const losing = (perDay: number): readonly Said[] =>
    airOf(truth).map((said) => ({ ...said, value: said.value + (perDay * (said.at - curveStart)) / days(1) }))

  test('drifts, as low: by how much a day, and when it meets which limit', () => {
    const watch = aFridgeWatch(
      fridgeHouse({ fridge: { ownLimits: [{ quantity: 'temperature', limit: 'high', value: 8 }] } }),
    )
    watch.hears(losing(0.2))
    const raised = watch.first('drifting')
    expect(raised).toMatchObject({ priority: 'low', threshold: 7 })
    expect(raised?.text).toMatch(
      /^It gets warmer, by 0\.\d\d K a day at its warmest; at this pace it meets 7\.0 °C in about .*\.$/,
    )
    expect(watch.told.filter((told) => told.includes('drifting'))).toEqual(['raised drifting'])
  })

  test('not while an animal there cools down by plan', () => {
    expect(
      aFridgeWatch(fridgeHouse({ phase: 'coolDown' }))
        .hears(losing(-0.2))
        .first('drifting'),
    ).toBeUndefined()
  })
})

describe('L11: air and animal are two signals', () => {
  const lagging = { animalLag: hours(2) }
  /** Air at 4 °C until the animal's side is settled, three hours of −3 °C, then 4 °C again. */
  const dip: readonly Point[] = Array.from({ length: 900 }, (_, m) => ({
    at: later(curveStart, minutes(m)),
    celsius: (m >= 480 && m < 660 ? -3 : 4) + (m % 2) / 16,
  }))

  test('the animal’s side speaks when the air’s own alarm has come back and it has not, and returns later', () => {
    const watch = aFridgeWatch(fridgeHouse({ fridge: lagging })).hears(saidBy('air', dip))
    const told = watch.alarms.filter(({ limit }) => limit === 'lowCritical')
    expect(told.map(({ kind, alarmKind }) => `${kind} ${alarmKind}`)).toEqual([
      'raised limit',
      'returned limit',
      'raised animalLimit',
      'returned animalLimit',
    ])
    expect(told[2]?.at).toBeGreaterThanOrEqual(told[1]?.at ?? 0)
    expect(told[2]).toMatchObject({ priority: 'high', threshold: 1, place: 'fridge' })
    // Newton, τ = 2 h: 4 − 7 (1 − e^(−1.5)) = −1.4 °C after three hours (calculated).
    expect(told[2]?.value).toBeCloseTo(-1.4, 0)
    // Back over 1.3 °C after 2 h · ln(5.4 / 2.7) = 1 h 23 min, and a minute (calculated).
    expect(Math.abs(since(told[3]?.at) - minutes(660 + 84))).toBeLessThan(minutes(3))
    const alarm = watch.state.alarms.get('animalLimit:fridge:temperature:lowCritical' as never)
    expect(
      alarmHeadline({ ...(alarm as never as object), state: { name: 'unacknowledged' } } as never, names),
    ).toMatch(/^The animal’s side of fridge is dangerously cold, estimated at −\d\.\d °C \(limit 1\.0 °C\)$/)
  })

  test('no time constant, or a probe of its own in the substrate, and nothing is estimated', () => {
    const bare = aFridgeWatch().hears(saidBy('air', dip))
    expect(bare.first('animalLimit')).toBeUndefined()
    expect(bare.thermal()?.early).toBeNull()
    const house = fridgeHouse({ fridge: lagging, soil: true })
    const soilHere = {
      ...house,
      sensors: house.sensors.map((one) => ({ ...one, place: 'fridge' as PlaceId })),
    }
    const own = aFridgeWatch(soilHere).hears(saidBy('air', dip))
    expect(own.thermal()?.early).toBeNull()
  })

  test('the place shows the estimate, and that it is not settled before three time constants', () => {
    const watch = aFridgeWatch(fridgeHouse({ fridge: lagging }))
    const animal = () =>
      placesNow(watch.state, watch.state.at).find(({ id }) => id === 'fridge')?.thermal?.animal
    watch.hears(saidBy('air', dip.slice(0, 355)))
    expect(animal()?.isSettled).toBe(false)
    watch.hears(saidBy('air', dip.slice(355, 365)))
    expect(animal()?.isSettled).toBe(true)
    expect(animal()?.celsius).toBeCloseTo(4, 0)
  })
})

test('what a place shows of its curve is what the schema says, with cycle, door and outlook', () => {
  const watch = aFridgeWatch(fridgeHouse({ soil: true }))
  const until = curveStart + happens + hours(2.3)
  watch.hears(inOrder(airOf(stuckOn), soilOf(stuckOn)).filter(({ at }) => at <= until))
  const places = placesNow(watch.state, watch.state.at).map((place) => PlaceNow.parse(place))
  const [cellar, fridge, box] = places
  expect(cellar?.thermal).toBeUndefined()
  expect(fridge?.thermal?.cycle).toMatchObject({ isLearnt: true })
  expect(fridge?.thermal?.cycle?.period).toBeGreaterThan(minutes(20))
  expect(fridge?.thermal?.door).toMatchObject({ standing: 'shut' })
  expect(fridge?.thermal?.door?.lastOpenedAt).toBeGreaterThan(curveStart)
  expect(box?.thermal?.outlook).toMatchObject({ limit: 'lowCritical', celsius: 1 })
  const { soonest = 0, likely = 0 } = box?.thermal?.outlook ?? {}
  expect(soonest).toBeGreaterThan(until - minutes(5))
  expect(likely).toBeGreaterThanOrEqual(soonest)
})

import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Alarm } from '../../schemas/alarm.ts'
import { hours, instant, millis, minutes } from '../../schemas/amounts.ts'
import type { AlarmId, ContactId, PlaceId } from '../../schemas/ids.ts'
import type { PlaceOutlook } from '../../schemas/outlook.ts'
import { compose } from '../../shared/telling/message.ts'
import type { MessageWorld } from '../../shared/telling/message-world.ts'
import { aboutWords, type StaysSo, staysSoWords } from '../../shared/telling/stays-so.ts'
import { unknownOutlook } from '../../shared/thermal/outlook-unknown.ts'
import { createTell } from '../../web/words/tell.ts'
import { outlookSentences, timeWords } from '../../web/words/outlook-words.ts'

const now = instant(Date.UTC(2026, 0, 11, 2, 12))
const soon = { likely: hours(9), least: hours(6), most: hours(14) }
const never = { likely: null, least: null, most: null }
const warm: StaysSo = {
  limit: 'highCritical',
  threshold: 10,
  time: soon,
  towards: 14,
  room: { celsius: 14, isMeasured: true },
}

describe('A6: how long, if it stays so', () => {
  const notCooling: Alarm = {
    id: 'notCooling:fridge' as AlarmId,
    kind: 'notCooling',
    place: 'fridge' as PlaceId,
    sensor: null,
    contact: null,
    quantity: 'temperature',
    limit: null,
    priority: 'medium',
    occurrence: 1,
    value: 7,
    threshold: null,
    text: 'It has warmed for 1 h; usually it cools again after 24 min, below 6.0 °C.',
    state: { name: 'unacknowledged', since: now },
  }
  const world = (staysSo: StaysSo | null): MessageWorld => ({
    names: { place: () => 'Fridge', sensor: () => 'Probe', contact: () => 'Ada' },
    kindOf: () => 'fridge',
    animalsIn: () => [],
    valueNow: () => null,
    untilDanger: () => minutes(20),
    staysSo: () => staysSo,
    units: 'celsius',
    timeZone: 'Europe/Vienna',
    household: 'Lindenhaus',
    linkTo: () => null,
    acknowledgeLinkTo: () => null,
    ringLink: () => null,
    isPractice: false,
  })
  const linesOf = (alarm: Alarm, staysSo: StaysSo | null): string[] =>
    compose(
      { what: 'raised', contact: 'ada' as ContactId, alarms: [alarm], at: now },
      world(staysSo),
    ).text.split('\n')
  const line =
    'If it stays so: dangerously warm (10.0 °C) in about 9 h, 6 h to 14 h, taking the room to stay at 14.0 °C (measured).'

  test('a fridge that does not cool says it where it is known, and nothing where it is not', () => {
    expect(linesOf(notCooling, warm)).toContain(line)
    expect(linesOf(notCooling, null).join()).not.toMatch(/If it stays so/)
  })

  test('the pace of the last half hour gives way to it: never two lines that contradict each other', () => {
    const tooWarm: Alarm = {
      ...notCooling,
      kind: 'limit',
      limit: 'high',
      threshold: 8,
      value: 8.1,
      text: undefined,
    }
    expect(linesOf(tooWarm, warm).filter((one) => /in about/.test(one))).toEqual([line])
    expect(linesOf(tooWarm, null).filter((one) => /in about/.test(one))).toEqual([
      'At this pace it is dangerous in about 20 min.',
    ])
  })

  test('so does what an alarm reckoned of itself when it was raised', () => {
    const cold: StaysSo = { ...warm, limit: 'lowCritical', threshold: 1, towards: -12, room: null }
    const always: Alarm = {
      ...notCooling,
      kind: 'alwaysCooling',
      text: 'It has cooled for 3 h; usually it stops after 12 min, above 4.0 °C. At this pace the air meets 1.0 °C in about 40 min.',
    }
    const lines = linesOf(always, cold)
    expect(lines).toContain('It has cooled for 3 h; usually it stops after 12 min, above 4.0 °C.')
    expect(lines).toContain('If it stays so: dangerously cold (1.0 °C) in about 9 h, 6 h to 14 h.')
    const ahead: Alarm = {
      ...notCooling,
      kind: 'limitAhead',
      limit: 'highCritical',
      text: 'Counted from this alarm, it meets 10.0 °C in about 2 h to 3 h.',
    }
    expect(linesOf(ahead, warm).filter((one) => /in about/.test(one))).toEqual([line])
    // One that sees no limit ahead does not stand beside one that does.
    expect(linesOf(ahead, { ...warm, time: never })).toContain(ahead.text)
  })

  test('what is dangerous already is said to be so, and nothing else', () => {
    const critical: Alarm = { ...notCooling, kind: 'limit', limit: 'highCritical', threshold: 10, value: 11 }
    expect(linesOf(critical, warm).join()).not.toMatch(/If it stays so/)
  })

  test('an assumed room, perhaps never, and a room too cold for danger', () => {
    const room = { celsius: 17, isMeasured: false }
    expect(staysSoWords({ ...warm, room, time: { ...soon, most: null } }, 'celsius')).toBe(
      'If it stays so: dangerously warm (10.0 °C) in about 9 h, 6 h or never, taking the room to stay at 17.0 °C (assumed).',
    )
    expect(
      staysSoWords({ ...warm, time: { likely: null, least: hours(20), most: null } }, 'celsius'),
    ).toMatch(/^If it stays so: perhaps never dangerously warm \(10\.0 °C\), at the soonest in 20 h,/)
    expect(staysSoWords({ ...warm, time: never, towards: 8 }, 'fahrenheit')).toMatch(
      /^If it stays so: it settles near 46\.4 °F and is not dangerously warm \(50\.0 °F\)/,
    )
  })

  test('no finer than it can be known: steps of 5 and 15 minutes, then of hours', () => {
    const said = [0, 2, 44, 119, 121, 358, 362, 47 * 60, 50 * 60].map((min) => aboutWords(min * 60_000))
    expect(said).toEqual(['minutes', 'minutes', '45 min', '2 h', '2 h', '6 h', '6 h', '1 d 23 h', '2 d'])
    fc.assert(
      fc.property(fc.integer({ min: 0, max: hours(400) }), (ms) => {
        expect(aboutWords(ms)).toMatch(/^(?:minutes|\d+ (?:min|h|d)(?: \d+ (?:min|h))?)$/)
      }),
    )
  })
})

describe('the page of a place', () => {
  const told = { tell: createTell('en-GB'), now, zone: 'UTC' }
  const known: PlaceOutlook = {
    place: 'fridge' as PlaceId,
    at: now,
    now: { sensor: 'probe' as never, at: now, celsius: 5 },
    room: { celsius: 14, uncertainty: 0.5, isMeasured: true },
    powerFails: {
      isKnown: true,
      towards: { celsius: 14, uncertainty: 0.5 },
      limits: [
        { limit: 'low', threshold: 3, time: never },
        { limit: 'high', threshold: 8, time: { likely: hours(2), least: hours(1), most: hours(3) } },
        { limit: 'highCritical', threshold: 10, time: soon },
      ],
    },
    stuckOn: unknownOutlook('noCycle'),
    from: { stretches: 1, lasted: hours(8), newest: now, nodes: 1, tau: hours(12), share: 0.1 },
    holdOver: null,
  }
  const plain = (some: readonly string[]): string[] => some.map((one) => one.replace(/[\u00a0\u202f]/g, ' '))

  test('says when each limit is met, nearest first, with the room and whence it is known', () => {
    expect(plain(outlookSentences(known, told))).toEqual([
      'Without power it would be too warm (8.0 °C) in about 2 h (1 h to 3 h), and dangerously warm (10.0 °C) in about 9 h (6 h to 14 h), taking the room to stay at 14.0 °C (measured).',
      expect.stringMatching(/^If it cooled without a stop: not known yet: how its compressor/),
      expect.stringMatching(/^Learnt from one time without cooling, 8 h long, /),
    ])
  })

  test('not known yet is said once, with what would tell it', () => {
    const unknown = unknownOutlook('noStretch')
    const nothing = { ...known, powerFails: unknown, stuckOn: unknown, from: null }
    expect(outlookSentences(nothing, told)).toEqual([unknown.sentence])
    expect(unknown.sentence).toMatch(/^Not known yet: .*trial run/)
  })

  test('an assumed room says so; a room colder than every limit meets none', () => {
    const assumed = { ...known, room: { celsius: 17, uncertainty: 3, isMeasured: false } }
    expect(plain(outlookSentences(assumed, told))[0]).toMatch(
      /at 17\.0 °C \(assumed: no thermometer is in it\)\.$/,
    )
    const limits = [{ limit: 'high' as const, threshold: 8, time: never }]
    const cool = { isKnown: true as const, towards: { celsius: 6, uncertainty: 0.2 }, limits }
    expect(plain(outlookSentences({ ...known, powerFails: cool }, told))[0]).toMatch(
      /^Without power it would settle near 6\.0 °C and meet no limit, /,
    )
  })

  test('bottles: what was seen and what is reckoned are told apart', () => {
    const holdOver = {
      limit: 'high' as const,
      threshold: 8,
      without: { likely: hours(2), least: hours(1), most: hours(3) },
      litres: 6,
      withBottles: { likely: hours(4), least: hours(3), most: null },
      areInside: false,
      isReckoned: true,
      conductance: { watts: 1.2, isMeasured: false },
    }
    const said = (isReckoned: boolean) =>
      plain(outlookSentences({ ...known, holdOver: { ...holdOver, isReckoned } }, told))[1]
    expect(said(true)).toBe(
      'Without bottles it would stay short of 8.0 °C for about 2 h (1 h to 3 h); with 6 L of water in bottles for about 4 h (3 h or more). The second is reckoned with walls as of other fridges: a trial run tells it.',
    )
    expect(said(false)).toMatch(/Both were seen in trial runs\.$/)
  })

  test('a time that may never come', () => {
    expect(timeWords({ likely: null, least: hours(5), most: null })).toBe(
      'perhaps never, in 5 h at the soonest',
    )
    expect(timeWords({ likely: hours(8), least: hours(5), most: null })).toBe('in about 8 h (5 h, or never)')
    expect(timeWords({ likely: millis(0), least: millis(0), most: millis(0) })).toMatch(/minutes/)
  })
})

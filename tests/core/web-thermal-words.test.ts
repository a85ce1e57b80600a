import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { JournalLine, ThermalNow } from '../../schemas/api.ts'
import { days, hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { openedIn } from '../../web/chart/chart-data.ts'
import { pathOfPlace, placeOfPath } from '../../web/page/route.ts'
import { behindOneDoor } from '../../shared/air/one-door.ts'
import { openingsIn } from '../../web/place/openings.ts'
import { createTell } from '../../web/words/tell.ts'
import {
  animalWords,
  curveSentences,
  cycleWords,
  doorWords,
  outlookWords,
} from '../../web/words/thermal-words.ts'

const zone = 'Europe/Vienna'
const at = (iso: string) => instant(Date.parse(iso))
const now = at('2027-01-13T20:00:00+01:00')
const tell = createTell('en-GB')
const told = { tell, now, zone }
/** The unit stands after a narrow space that does not break. */
const plain = (sentence: string | null): string | null => sentence?.replaceAll('\u202f', ' ') ?? null

const learnt = {
  isLearnt: true,
  seen: 212,
  period: minutes(42),
  duty: 1 / 3,
  amplitude: 1.9,
  mean: 5.1,
}
const learning = { isLearnt: false, seen: 3, period: null, duty: null, amplitude: null, mean: null }

describe('L12: how the fridge breathes, in words', () => {
  test('period, share of cooling, swing and mean, each from the data', () => {
    expect(plain(cycleWords(learnt, told))).toBe(
      'It runs about every 42 minutes, cooling for a third of the time; the air swings by 1.9 °C round 5.1 °C.',
    )
  })

  test.each([
    [seconds(20), 'every minute,'],
    [seconds(89), 'every minute,'],
    [seconds(90), 'every 2 minutes,'],
    [minutes(119), 'every 119 minutes,'],
    [minutes(120), 'every 2 h,'],
  ])('a period of %i ms is %s', (period, words) => {
    expect(cycleWords({ ...learnt, period }, told)).toContain(words)
  })

  test.each([
    [0.049, 'less than a tenth'],
    [0.05, 'a tenth'],
    [0.29, 'a quarter'],
    [0.3, 'a third'],
    [0.5, 'half'],
    [0.9, 'four fifths'],
    [0.901, 'nearly all'],
  ])('a share of %d is %s of the time', (duty, words) => {
    expect(cycleWords({ ...learnt, duty }, told)).toContain(`cooling for ${words} of the time`)
  })

  test('while it learns it says how far it is, and claims nothing', () => {
    const known = (seen: number) => cycleWords({ ...learning, seen }, told)
    expect(known(0)).toBe('How it cools is not known yet: 0 of 8 runs seen.')
    expect(known(3)).toBe('How it cools is not known yet: 3 of 8 runs seen.')
    expect(known(9)).toBe('How it cools is not known yet: 8 of 8 runs seen.')
  })

  test('what is learnt but lacks a figure says nothing', () => {
    for (const lacking of ['period', 'duty', 'amplitude', 'mean'])
      expect(cycleWords({ ...learnt, [lacking]: null }, told)).toBeNull()
  })
})

describe('doors, in words', () => {
  const shut = (lastOpenedAt: number | null) => ({
    standing: 'shut' as const,
    since: null,
    lastOpenedAt: lastOpenedAt === null ? null : instant(lastOpenedAt),
  })
  const opened = at('2027-01-13T18:20:00+01:00')

  test('when it was last opened and how soon the air was back', () => {
    const openings = [{ at: opened, recovery: minutes(14) }]
    expect(doorWords(shut(opened), openings, told)).toBe(
      'The door was last opened today at 18:20; the air was nearly back after 14 min.',
    )
  })

  test('one opening whose recovery is not known, and one that only the journal remembers', () => {
    expect(doorWords(shut(opened), [{ at: opened }], told)).toBe('The door was last opened today at 18:20.')
    expect(doorWords(shut(opened), [], told)).toBe('The door was last opened today at 18:20.')
    expect(doorWords(shut(null), [{ at: opened }], told)).toBe('The door was last opened today at 18:20.')
    expect(doorWords(shut(null), [], told)).toBeNull()
  })

  test('a recovery is told of its own opening only, five minutes apart at most', () => {
    const of = (ms: number) => doorWords(shut(opened), [{ at: opened - ms, recovery: minutes(14) }], told)
    expect(of(299_999)).toContain('after 14 min')
    expect(of(300_000)).not.toContain('after')
  })

  test('days by the calendar of the place: midnight divides, not 24 hours', () => {
    const on = (iso: string) => doorWords(shut(at(iso)), [], told)
    expect(on('2027-01-13T00:00:00+01:00')).toBe('The door was last opened today at 00:00.')
    expect(on('2027-01-12T23:59:59+01:00')).toBe('The door was last opened yesterday at 23:59.')
    expect(on('2027-01-12T00:00:00+01:00')).toBe('The door was last opened yesterday at 00:00.')
    expect(on('2027-01-11T23:59:00+01:00')).toBe('The door was last opened on Mon 11 Jan at 23:59.')
  })

  test('yesterday stays yesterday through the day of 25 hours (end of summer time, Vienna 2026-10-25)', () => {
    const late = { tell, now: at('2026-10-25T23:30:00+01:00'), zone }
    expect(doorWords(shut(at('2026-10-25T00:10:00+02:00')), [], late)).toContain('today at 00:10')
    expect(doorWords(shut(at('2026-10-24T23:50:00+02:00')), [], late)).toContain('yesterday at 23:50')
  })

  test('open, on its way back and ajar, with and without a beginning', () => {
    const standing = (name: 'open' | 'recovering' | 'ajar', since: typeof opened | null) =>
      doorWords({ standing: name, since, lastOpenedAt: since }, [], told)
    expect(standing('open', opened)).toBe('The door was opened today at 18:20.')
    expect(standing('open', null)).toBe('The door is open.')
    expect(standing('recovering', opened)).toBe(
      'The door was opened today at 18:20; the air is on its way back.',
    )
    expect(standing('recovering', null)).toBe('The door was opened; the air is not back yet.')
    expect(standing('ajar', opened)).toBe('The door seems to have stood ajar since today at 18:20.')
    expect(standing('ajar', null)).toBe('The door seems to stand ajar.')
  })
})

describe('L11, L12: the animal’s side and what lies ahead, in words', () => {
  test('the animal’s side is told as an estimate, and no figure before it has settled', () => {
    expect(plain(animalWords({ celsius: 4.8, isSettled: true }, told))).toBe(
      'The animal’s side follows the air: about 4.8 °C now, estimated.',
    )
    expect(animalWords({ celsius: 4.8, isSettled: false }, told)).not.toMatch(/\d/)
  })

  const ahead = (soonest: string, likely: string, latest: string | null) =>
    plain(
      outlookWords(
        {
          limit: 'lowCritical',
          celsius: 1,
          soonest: at(soonest),
          likely: at(likely),
          latest: latest === null ? null : at(latest),
        },
        told,
      ),
    )

  test('today the days are not named', () => {
    expect(ahead('2027-01-13T21:50:00+01:00', '2027-01-13T22:40:00+01:00', '2027-01-13T23:59:00+01:00')).toBe(
      'If it goes on like this it reaches 1.0 °C (dangerously cold) at about 22:40, between 21:50 and 23:59.',
    )
  })

  test('one day that is another is named once', () => {
    expect(ahead('2027-01-14T02:50:00+01:00', '2027-01-14T03:40:00+01:00', '2027-01-14T05:10:00+01:00')).toBe(
      'If it goes on like this it reaches 1.0 °C (dangerously cold) tomorrow at about 03:40, between 02:50 and 05:10.',
    )
  })

  test('days that differ are named each', () => {
    expect(ahead('2027-01-13T23:50:00+01:00', '2027-01-14T03:40:00+01:00', '2027-01-15T05:10:00+01:00')).toBe(
      'If it goes on like this it reaches 1.0 °C (dangerously cold) tomorrow at about 03:40, between today at 23:50 and on Fri 15 Jan at 05:10.',
    )
  })

  test('no latest is perhaps never', () => {
    expect(ahead('2027-01-13T21:50:00+01:00', '2027-01-13T22:40:00+01:00', null)).toMatch(
      /at about 22:40, not before 21:50 and perhaps never\.$/,
    )
  })
})

test('nothing is said of what is absent, and what can wait least comes first', () => {
  expect(curveSentences({}, [], told)).toEqual([])
  const all: ThermalNow = {
    cycle: learnt,
    door: { standing: 'open', since: null, lastOpenedAt: null },
    animal: { celsius: 4, isSettled: true },
    outlook: { limit: 'highCritical', celsius: 10, soonest: now, likely: now, latest: null },
  }
  expect(curveSentences(all, [], told).map((sentence) => sentence.split(' ').slice(0, 2).join(' '))).toEqual([
    'If it',
    'The door',
    'The animal’s',
    'It runs',
  ])
  expect(curveSentences({ cycle: learnt }, [], told)).toHaveLength(1)
})

describe('which openings a place shows', () => {
  const place = (id: string, kind: 'fridge' | 'box' | 'room' | 'coldRoom', parent: string | null) => ({
    id: id as never,
    kind,
    parent: parent as never,
  })
  const places = [
    place('larder', 'room', null),
    place('fridge', 'fridge', 'larder'),
    place('other', 'fridge', 'larder'),
    place('top', 'box', 'fridge'),
    place('inner', 'box', 'top'),
    place('shelf', 'box', 'larder'),
  ]

  test('a box shares the door of its fridge; a room does not, and no fridge another’s', () => {
    const fridge = new Set(['fridge', 'top', 'inner'])
    expect(behindOneDoor('fridge', places)).toEqual(fridge)
    expect(behindOneDoor('inner', places)).toEqual(fridge)
    expect(behindOneDoor('other', places)).toEqual(new Set(['other']))
    expect(behindOneDoor('larder', places)).toEqual(new Set(['larder', 'shelf']))
    expect(behindOneDoor('shelf', places)).toEqual(new Set(['shelf']))
    expect(behindOneDoor('gone', places)).toEqual(new Set(['gone']))
  })

  test('places that stand in each other end, too', () => {
    const ring = [place('a', 'box', 'b'), place('b', 'box', 'a')]
    expect(behindOneDoor('a', ring).has('a')).toBe(true)
  })

  const line = (id: number, ago: number, more: Partial<JournalLine> = {}): JournalLine => ({
    id,
    at: later(now, -ago),
    kind: 'doorOpened',
    by: 'brumal',
    place: 'fridge' as never,
    ...more,
  })

  test('newest first, each once, from the instant on, and doors only', () => {
    const since = now - days(14)
    const lines = [
      line(1, days(14)),
      line(2, days(14) + 1),
      line(4, hours(2)),
      line(3, hours(1)),
      line(3, hours(1)),
      line(5, hours(1), { kind: 'tending' }),
      line(6, hours(1), { place: 'other' as never }),
    ]
    expect(openingsIn(lines, new Set(['fridge']), since).map(({ at }) => now - at)).toEqual([
      hours(1),
      hours(2),
      days(14),
    ])
  })

  test('a night marks what was open in it: begun before it too, after its end no more', () => {
    const night = { date: '2027-01-13', from: now, to: later(now, hours(12)) }
    const marks = (openings: { at: number; until?: number }[]) => openedIn(night, openings).length
    expect(marks([{ at: now - 1 }])).toBe(0)
    expect(marks([{ at: now }])).toBe(1)
    expect(marks([{ at: now - 60_000, until: now }])).toBe(1)
    expect(marks([{ at: now - 60_000, until: now - 1 }])).toBe(0)
    expect(marks([{ at: night.to - 1 }])).toBe(1)
    expect(marks([{ at: night.to }])).toBe(0)
  })
})

test('every place’s path leads back to it, and no other path to a place', () => {
  fc.assert(
    fc.property(fc.stringMatching(/^[a-z0-9][a-z0-9-]{0,38}[a-z0-9]$/), (id) => {
      expect(placeOfPath(pathOfPlace(id))).toBe(id)
    }),
  )
  expect(placeOfPath('/places/top-box/')).toBe('top-box')
  for (const other of ['/', '/places', '/places/', '/places/a/b', '/winter', '/x/places/a'])
    expect(placeOfPath(other)).toBeNull()
})

test('a difference has a unit and no zero to be shifted from', () => {
  expect(plain(tell.difference(1.94))).toBe('1.9 °C')
  expect(plain(tell.difference(-0.04))).toBe('0.0 °C')
})

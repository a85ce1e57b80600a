import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Animal } from '../../schemas/animal.ts'
import { AnimalId } from '../../schemas/ids.ts'
import type { Reminder } from '../../schemas/season.ts'
import { reminderCalendar } from '../../shared/telling/reminder-calendar.ts'
import { addDays, wallInstant } from '../../shared/time/wall.ts'

const timeZone = 'Europe/Vienna'
const weigh: Reminder = {
  id: 'weigh:pebble:2026-12-20',
  kind: 'weigh',
  animal: AnimalId.parse('pebble'),
  title: 'Weigh Pebble',
  on: '2026-12-20',
  standing: 'due',
  sentence: 'In hold it is weighed every 7 days.',
  source: 'BVA/BSAVA/BVZS',
  evidence: 'secondHand',
}
const at = (date: string) => ({
  at: wallInstant(date, '09:00', timeZone),
  link: 'https://brumal.home.example/day',
})
const house = { name: 'Under the stairs', timeZone, animals: [] as Animal[] }

describe('S4: reminders in a calendar', () => {
  test('on its own day while that is ahead or today', () => {
    const [event] = reminderCalendar(house, [weigh], at('2026-12-20')).events
    expect(event).toMatchObject({ on: '2026-12-20', until: '2026-12-21', title: 'Weigh Pebble', sequence: 0 })
  })

  test('late it stands on today, says since when, keeps its id, and its number counts the days', () => {
    const [event] = reminderCalendar(house, [weigh], at('2026-12-23')).events
    expect(event).toMatchObject({ on: '2026-12-23', title: 'Late: Weigh Pebble', sequence: 3 })
    expect(event?.text).toContain('Due since 2026-12-20.')
    expect(event?.uid).toBe(reminderCalendar(house, [weigh], at('2026-12-20')).events[0]?.uid)
  })

  test('what is always due today moves each day under the same id, and its number with it', () => {
    const seen = ['2026-12-20', '2026-12-21'].map((on) => {
      const count = { ...weigh, id: 'count:tub:first', on }
      return reminderCalendar(house, [count], at(on)).events[0]
    })
    expect(seen[1]?.uid).toBe(seen[0]?.uid)
    expect((seen[1]?.sequence ?? 0) - (seen[0]?.sequence ?? 0)).toBe(1)
  })

  test('S6: each says that it is not veterinary advice, and where its figure comes from', () => {
    const [event] = reminderCalendar(house, [weigh], at('2026-12-20')).events
    expect(event?.text).toMatch(/Source: BVA\/BSAVA\/BVZS\.\nNot veterinary advice/)
  })

  test('two houses never share an id', () => {
    const other = { ...house, name: 'The cellar' }
    const uids = [house, other].map((one) => reminderCalendar(one, [weigh], at('2026-12-20')).events[0]?.uid)
    expect(new Set(uids).size).toBe(2)
  })

  test('phases run from day to day; a draft says that it is one; awake and long past are left out', () => {
    const step = (phase: string, date: string) => ({ phase, from: wallInstant(date, '12:00', timeZone) })
    const pebble = Animal.parse({
      id: 'pebble',
      name: 'Pebble',
      species: 'testudo-hermanni',
      place: null,
      mode: 'goesDown',
      plan: [
        step('fast', '2026-10-20'),
        step('hold', '2026-11-10'),
        step('warmUp', '2027-02-16'),
        step('awake', '2027-02-18'),
      ],
      draft: [step('fast', '2027-10-20'), step('coolDown', '2027-11-17')],
    })
    const { events } = reminderCalendar({ ...house, animals: [pebble] }, [], at('2026-12-20'))
    expect(events.map(({ title, on, until }) => [title, on, until])).toEqual([
      ['Pebble: in hold', '2026-11-10', '2027-02-16'],
      ['Pebble: warming up', '2027-02-16', '2027-02-18'],
      ['Pebble: fasting (drafted)', '2027-10-20', '2027-11-17'],
      ['Pebble: cooling down (drafted)', '2027-11-17', '2027-11-18'],
    ])
  })

  test('a number never counts down while the same event moves on', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 200 }), fc.integer({ min: 0, max: 200 }), (one, more) => {
        const early = reminderCalendar(house, [weigh], at(addDays('2026-12-20', one))).events[0]
        const late = reminderCalendar(house, [weigh], at(addDays('2026-12-20', one + more))).events[0]
        expect(late?.sequence).toBeGreaterThanOrEqual(early?.sequence ?? 0)
        expect(late?.on !== early?.on).toBe(late?.sequence !== early?.sequence)
      }),
    )
  })
})

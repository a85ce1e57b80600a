import fc from 'fast-check'
import ICAL from 'ical.js'
import { describe, expect, test } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import { type CalendarEvent, escaped, folded, writeCalendar } from '../../shared/telling/calendar.ts'

const at = instant(Date.UTC(2026, 11, 24, 21, 5, 9))
const event = (more: Partial<CalendarEvent> = {}): CalendarEvent => ({
  uid: 'weigh:pebble:2026-12-20@under-the-stairs.brumal',
  on: '2026-12-20',
  until: '2026-12-21',
  title: 'Weigh Pebble',
  text: 'In hold it is weighed every 7 days.',
  sequence: 0,
  ...more,
})
const feed = (events: readonly CalendarEvent[], name = 'Under the stairs') =>
  writeCalendar({ name, at, link: 'https://brumal.home.example/day', events })

/** A parser of its own, not ours. */
const read = (text: string) => {
  const calendar = new ICAL.Component(ICAL.parse(text) as unknown[])
  return {
    calendar,
    events: calendar.getAllSubcomponents('vevent').map((one) => {
      const { uid, summary, description, startDate, endDate, sequence } = new ICAL.Event(one)
      return {
        uid,
        title: summary,
        text: description,
        on: startDate.toString(),
        until: endDate.toString(),
        isDate: startDate.isDate && endDate.isDate,
        sequence,
      }
    }),
  }
}

const octets = (text: string): number => new TextEncoder().encode(text).length

describe('RFC 5545: the feed as another program reads it', () => {
  test('§3.6: it says what it is, and asks to be read again (RFC 7986 §5.7)', () => {
    const { calendar } = read(feed([event()]))
    expect(calendar.getFirstPropertyValue('version')).toBe('2.0')
    expect(String(calendar.getFirstPropertyValue('prodid'))).not.toBe('')
    expect(String(calendar.getFirstPropertyValue('refresh-interval'))).toBe('PT6H')
    expect(calendar.getFirstPropertyValue('name')).toBe('Under the stairs')
    expect(calendar.getAllSubcomponents('valarm')).toEqual([])
  })

  test('§3.8.7: stamped in UTC', () => {
    expect(feed([event()])).toContain('\r\nDTSTAMP:20261224T210509Z\r\n')
  })

  test('an empty list is a calendar all the same', () => {
    expect(read(feed([])).events).toEqual([])
  })

  test('§3.3.11: commas, semicolons, backslashes and line ends arrive as they were', () => {
    const title = 'Eyes, nose; C:\\box\nand "quoted"'
    expect(read(feed([event({ title })])).events[0]?.title).toBe(title)
    expect(escaped('a\r\nb\rc')).toBe('a\\nb\\nc')
    expect(escaped('be\u0007ll')).toBe('bell')
  })

  test('§3.1: a line of 75 octets stays whole, one of 76 is folded', () => {
    expect(folded('x'.repeat(75))).toBe('x'.repeat(75))
    expect(folded('x'.repeat(76))).toBe(`${'x'.repeat(75)}\r\n x`)
  })

  test('§3.1: a sign of two, three or four octets is never cut', () => {
    for (const sign of ['ß', '€', '🐢']) {
      const lines = folded(sign.repeat(60)).split('\r\n')
      expect(lines.length).toBeGreaterThan(1)
      for (const line of lines) {
        expect(octets(line)).toBeLessThanOrEqual(75)
        expect(line).not.toContain('\ufffd')
      }
      expect(lines.map((line, i) => (i === 0 ? line : line.slice(1))).join('')).toBe(sign.repeat(60))
    }
  })

  test('whatever stands in it, nothing is lost, no line is too long, and days are those days', () => {
    const date = fc
      .integer({ min: 0, max: 40_000 })
      .map((n) => new Date(Date.UTC(1990, 0, 1) + n * 86_400_000).toISOString().slice(0, 10))
    // Control characters are left out on purpose; a text as read has plain line ends and no lone surrogate.
    const text = fc
      .string({ unit: 'grapheme', maxLength: 200 })
      .map((one) => [...one].filter((sign) => sign >= ' ' && sign !== '\u007f').join(''))
    const events = fc.array(fc.tuple(date, text, text, fc.nat(400)), { maxLength: 6 })
    fc.assert(
      fc.property(events, (list) => {
        const written = list.map(([on, title, note, sequence], i) =>
          event({ uid: `e${i}`, on, until: on, title, text: note, sequence }),
        )
        const out = feed(written)
        for (const line of out.split('\r\n')) expect(octets(line)).toBeLessThanOrEqual(75)
        expect(out.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
        const back = read(out).events
        expect(back).toEqual(
          written.map(({ uid, on, title, text: note, sequence }) => ({
            uid,
            on,
            until: on,
            title,
            text: note,
            sequence,
            isDate: true,
          })),
        )
      }),
    )
  })
})

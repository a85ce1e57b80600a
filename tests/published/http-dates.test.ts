import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { httpDate, longestWait, retryAfterOf } from '../../daemon/notify/retry-after.ts'
import type { Instant } from '../../schemas/units.ts'

const now = Date.UTC(2026, 0, 11, 2) as Instant

describe('HTTP dates', () => {
  // RFC 9110 §5.6.7; values from memory
  test.each([
    ['Sun, 06 Nov 1994 08:49:37 GMT'],
    ['Sunday, 06-Nov-94 08:49:37 GMT'],
    ['Sun Nov  6 08:49:37 1994'],
  ])('RFC 9110 §5.6.7: %s is 784111777 s after the epoch', (text) => {
    expect(httpDate(text, now)).toBe(784_111_777_000)
  })

  test.each([
    'Sun, 31 Feb 2026 08:49:37 GMT',
    'Sun, 06 Nov 1994 24:00:00 GMT',
    'Sun, 06 Nov 1994 08:49:37 CET',
    'Sun, 06 Nev 1994 08:49:37 GMT',
    '1994-11-06T08:49:37Z',
    'soon',
    '',
  ])('is not one: “%s”', (text) => expect(httpDate(text, now)).toBeNull())

  test('a two-digit year is at most 50 years ahead (RFC 9110 §5.6.7)', () => {
    const year = (text: string) => new Date(httpDate(text, now) ?? 0).getUTCFullYear()
    expect(year('Wednesday, 01-Jan-76 00:00:00 GMT')).toBe(2076)
    expect(year('Saturday, 01-Jan-77 00:00:00 GMT')).toBe(1977)
  })

  test('every second that a clock writes is read back', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4_102_444_800 }), (seconds) => {
        expect(httpDate(new Date(seconds * 1000).toUTCString(), now)).toBe(seconds * 1000)
      }),
    )
  })
})

describe('Retry-After (RFC 9110 §10.2.3)', () => {
  test.each([
    ['120', 120_000],
    ['0', 0],
    [' 7 ', 7000],
    ['3600', longestWait],
    ['3601', longestWait],
    ['99999999999999999999', longestWait],
    ['Sun, 11 Jan 2026 02:00:30 GMT', 30_000],
    ['Sun, 11 Jan 2026 01:59:00 GMT', 0],
    ['Fri, 31 Dec 9999 23:59:59 GMT', longestWait],
    ['-5', null],
    ['1.5', null],
    ['in a minute', null],
    [undefined, null],
  ])('“%s” is a wait of %s ms', (header, wait) => expect(retryAfterOf(header, now)).toBe(wait))
})

import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { readAs, reader } from '../../shared/words/reader.ts'
import { speak } from '../../shared/words/say.ts'
import { signedDecimalOf } from '../../web/diary/decimal.ts'
import { readerHere, usualIn } from '../../web/page/preferences.ts'
import { bound, held } from '../../web/words/held.ts'
import { createTell } from '../../web/words/tell.ts'
import { storedOf, typedOf } from '../../web/words/typed-figure.ts'

const usual = reader()
const american = { units: 'fahrenheit', hours: 'h12', locale: 'en-US' } as const
const now = Date.parse('2026-11-26T14:05:00Z')

afterEach(() => {
  readAs(usual)
  speak({ language: 'en', catalogue: {} })
})

describe('numbers and times of a reader in °F', () => {
  beforeEach(() => readAs(american))

  test('a temperature is shifted, a difference and a doubt are not; nothing else changes', () => {
    const tell = createTell()
    expect(tell.value(-0.5, 'temperature')).toBe('31.1\u202f°F')
    expect(tell.figure(4.5, 'temperature')).toBe('40.1')
    expect(tell.shown(0.31, 'temperature')).toBe('32.56\u202f°F')
    expect(tell.difference(-1.9)).toBe('−3.4\u202f°F')
    expect(tell.apart(0.31, 'temperature')).toBe('0.56\u202f°F')
    expect([tell.value(82, 'humidity'), tell.mass(812), tell.apart(1.5, 'humidity')]).toEqual([
      '82\u202f%RH',
      '812\u202fg',
      '1.5\u202f%RH',
    ])
  })

  test('twelve hours, the month before the day, a full hour without its minutes', () => {
    const tell = createTell()
    expect(tell.clock(now, 'UTC')).toBe('2:05\u202fPM')
    expect(tell.when(now - 2 * 86_400_000, now, 'UTC')).toBe('Tue, Nov 24, 2:05\u202fPM')
    expect(tell.day(now, 'UTC')).toBe('Nov 26, 2026')
    expect(tell.hour(Date.parse('2026-11-26T22:00:00Z'), 'UTC')).toBe('10\u202fPM')
    expect(tell.stamp(now - 2 * 86_400_000, now, 'UTC')).toBe('Tue, Nov 24 at 2:05\u202fPM')
    expect([tell.dayName(now, now, 'UTC'), tell.short(now, 'UTC')]).toEqual(['today', 'Nov 26'])
    readAs(usual)
    expect(createTell().hour(Date.parse('2026-11-26T22:00:00Z'), 'UTC')).toBe('22:00')
    expect(createTell().day(now, 'UTC')).toBe('26 Nov 2026')
  })

  test('a German page in Austria: its own words, day first, a comma', () => {
    readAs({ ...usual, locale: 'de-AT' })
    speak({ language: 'de', catalogue: {} })
    const tell = createTell()
    expect([tell.date('2026-11-26'), tell.month('2026-11-26'), tell.value(4.5, 'temperature')]).toEqual([
      'Do., 26. Nov.',
      'November 2026',
      '4,5\u202f°C',
    ])
  })

  test('a sentence of the daemon is told so too, and held; a message is quoted as it was said', () => {
    const said = 'Low box is at −0.6 °C since 03:12.'
    expect(held(said)).toBe('Low box is at 30.9\u00a0°F since 3:12\u202fAM.')
    expect(bound(said)).toBe('Low box is at −0.6\u00a0°C since 03:12.')
  })
})

describe('numbers that are typed', () => {
  test('with point or comma, with any minus; anything else is none', () => {
    expect(['4,5', ' -0.5', '−0,5', '+3', '.5', '1 000'].map(signedDecimalOf)).toEqual([
      4.5, -0.5, -0.5, 3, 0.5, 1000,
    ])
    expect(['', '-', '4.5.1', '4,5,1', '1e3', 'abc', '--1', '5-'].map(signedDecimalOf)).toEqual(
      Array.from({ length: 8 }, () => null),
    )
  })

  test('31.1 °F is −0.5 °C and comes back as 31.1; of a difference 1.8 is 1 K', () => {
    readAs(american)
    expect(storedOf('31.1', 'temperature')).toBe('-0.5')
    expect(typedOf('-0.5', 'temperature')).toBe('31.1')
    expect([storedOf('0,9', 'difference'), typedOf('0.5', 'difference')]).toEqual(['0.5', '0.9'])
    expect([storedOf('32', 'temperature'), storedOf('31,1', 'plain')]).toEqual(['0', '31.1'])
    expect([storedOf('', 'temperature'), typedOf('', 'temperature'), typedOf('NaN', 'plain')]).toEqual([
      '',
      '',
      '',
    ])
  })

  test('every two digits that are typed in °F come back, and are off by less than a thousandth of a kelvin', () => {
    readAs(american)
    fc.assert(
      fc.property(
        fc.integer({ min: -7600, max: 28_400 }),
        fc.constantFrom('temperature' as const, 'difference' as const),
        (hundredths, measures) => {
          const typed = String(hundredths / 100)
          const stored = storedOf(typed, measures)
          expect(typedOf(stored, measures)).toBe(typed)
          const exact = (hundredths / 100 - (measures === 'temperature' ? 32 : 0)) / 1.8
          expect(Math.abs(Number(stored) - exact)).toBeLessThan(0.0001)
        },
      ),
    )
  })

  test('every two digits of °C come back too, with the reader’s comma', () => {
    readAs({ ...usual, locale: 'de-DE' })
    expect([typedOf('-0.5', 'temperature'), storedOf('-0,5', 'temperature')]).toEqual(['-0,5', '-0.5'])
    fc.assert(
      fc.property(fc.integer({ min: -6000, max: 14_000 }), (hundredths) => {
        const stored = String(hundredths / 100)
        expect(storedOf(typedOf(stored, 'temperature'), 'temperature')).toBe(stored)
      }),
    )
  })
})

describe('what is usual where a browser is', () => {
  test.each([
    ['en-US', 'fahrenheit', 'h12'],
    ['es-PR', 'fahrenheit', 'h12'],
    ['en-GB', 'celsius', 'h23'],
    ['de-AT', 'celsius', 'h23'],
    ['en-AU', 'celsius', 'h12'],
    ['en', 'celsius', 'h23'],
    ['de', 'celsius', 'h23'],
  ] as const)('%s: %s, %s', (locale, units, hours) => {
    expect(usualIn(locale)).toEqual({ units, hours })
    // Nothing is kept here, nor could be: there is no storage at all
    expect(readerHere(locale)).toEqual({ units, hours, locale })
  })
})

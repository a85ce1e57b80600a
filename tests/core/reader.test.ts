import fc from 'fast-check'
import { afterEach, describe, expect, test } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import { apartWords, bandWords, clockWords, limitWords, valueWords } from '../../shared/telling/words.ts'
import { inReadersUnits } from '../../shared/words/in-readers-units.ts'
import { dateLocale, readAs, reader } from '../../shared/words/reader.ts'
import { speak } from '../../shared/words/say.ts'

const usual = reader()
const american = { units: 'fahrenheit', hours: 'h12', locale: 'en-US' } as const
afterEach(() => {
  readAs(usual)
  speak({ language: 'en', catalogue: {} })
})

const limit = (value: number) => ({ value, inclusive: true, for: 0, priority: 'high' }) as never

describe('words by their reader', () => {
  test('unless a reader says so, in °C, with a point and 24 hours', () => {
    expect(valueWords('temperature', -0.6)).toBe('−0.6 °C')
    expect(clockWords(instant(Date.parse('2027-01-13T14:05:00Z')), 'UTC')).toBe('14:05')
    expect(dateLocale()).toBe('en-GB')
  })

  test('values, limits and bands go by the reader; a contact’s own units still win', () => {
    readAs(american)
    expect(valueWords('temperature', -0.5)).toBe('31.1 °F')
    expect(valueWords('temperature', -17.8)).toBe('0.0 °F')
    expect(valueWords('humidity', 84)).toBe('84 %RH')
    expect(valueWords('temperature', -0.5, 'celsius')).toBe('−0.5 °C')
    expect(limitWords('temperature', 'low', limit(3))).toBe('37.4 °F or below')
    expect(limitWords('temperature', 'low', limit(3), 'celsius')).toBe('3.0 °C or below')
    const band = { lowCritical: null, low: limit(3), high: limit(7), highCritical: null }
    expect(bandWords('temperature', band)).toBe('safe between 37.4 and 44.6 °F')
    expect(bandWords('temperature', band, 'celsius')).toBe('safe between 3.0 and 7.0 °C')
    expect(apartWords(-1.9)).toBe('3.4\u202f°F')
  })

  test('the comma is the reader’s, in °C and °F alike', () => {
    readAs({ ...usual, locale: 'de-AT' })
    expect([valueWords('temperature', 4.5), valueWords('voltage', 2.95)]).toEqual(['4,5 °C', '2,95 V'])
    readAs({ units: 'fahrenheit', hours: 'h12', locale: 'de-DE' })
    expect(valueWords('temperature', 4.5)).toBe('40,1 °F')
  })

  test('months and days are in the language of the page, in the order of the reader’s region', () => {
    const dated = () =>
      new Intl.DateTimeFormat(dateLocale(), { day: 'numeric', month: 'long', timeZone: 'UTC' }).format(
        Date.parse('2026-11-26'),
      )
    readAs(american)
    expect(dated()).toBe('November 26')
    readAs({ ...usual, locale: 'de-AT' })
    expect(dated()).toBe('26 November')
    speak({ language: 'de', catalogue: {} })
    expect(dated()).toBe('26. November')
    readAs({ ...usual, locale: 'en' })
    expect(dateLocale()).toBe('de')
  })

  test('midnight and noon of twelve hours are 12, in the place’s own time', () => {
    readAs(american)
    const at = (text: string) => clockWords(instant(Date.parse(text)), 'Europe/Vienna')
    expect([at('2027-01-12T23:00:00Z'), at('2027-01-13T11:05:00Z'), at('2027-01-13T02:07:00Z')]).toEqual([
      '12:00\u202fAM',
      '12:05\u202fPM',
      '3:07\u202fAM',
    ])
  })
})

describe('a sentence of the daemon, as its reader writes', () => {
  test('a reader in °C and 24 hours reads it as it was made', () => {
    const said = 'Low box is dangerously cold at −0.6 °C (limit 1.0 °C) since 03:12, ±0.3 K, by 1.9\u202f°C.'
    expect(inReadersUnits(said)).toBe(said)
    readAs({ ...usual, locale: 'de-DE' })
    expect(inReadersUnits(said)).toBe(
      'Low box is dangerously cold at −0,6 °C (limit 1,0 °C) since 03:12, ±0,3 K, by 1,9\u202f°C.',
    )
  })

  test('temperatures are shifted, differences are not, clocks have twelve hours', () => {
    readAs(american)
    expect(inReadersUnits('It is −0.6 °C (limit 1.0 °C) since 03:12, until 15:00.')).toBe(
      'It is 30.9 °F (limit 33.8 °F) since 3:12\u202fAM, until 3:00\u202fPM.',
    )
    expect(inReadersUnits('colder by 1.9\u202f°C, off by ±0.31 K; at most 5 K a week')).toBe(
      'colder by 3.4\u202f°F, off by ±0.56 °F; at most 9 °F a week',
    )
    expect(inReadersUnits('Let it cool from 18 to 5 °C, between 3.0 and 7.0\u00a0°C.')).toBe(
      'Let it cool from 64.4 to 41 °F, between 37.4 and 44.6\u00a0°F.',
    )
  })

  test('what is no temperature stays: °F, days before it, names, times with seconds or with PM', () => {
    readAs(american)
    for (const said of [
      'safe between 37.4 and 44.6 °F',
      'Box 12: 3 Kestrels, 84 %RH, version 1.2.3',
      'from 10:05\u202fPM to 12:00\u202fAM',
      'at 03:12:44 of 2027-01-13',
    ])
      expect(inReadersUnits(said)).toBe(said)
    expect(inReadersUnits('Eggs need 8.5 to 11 days at 25 °C.')).toBe('Eggs need 8.5 to 11 days at 77 °F.')
  })

  test('to the tenth that was shown it says what a value of that tenth says', () => {
    readAs(american)
    fc.assert(
      fc.property(fc.integer({ min: -600, max: 1400 }), (tenths) => {
        const celsius = tenths / 10
        expect(inReadersUnits(valueWords('temperature', celsius, 'celsius'))).toBe(
          valueWords('temperature', celsius),
        )
      }),
    )
  })
})

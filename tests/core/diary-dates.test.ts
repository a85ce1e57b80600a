import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readDate, slashOrder } from '../../shared/diary/table-dates.ts'
import { localDate } from '../../shared/time/wall.ts'

const zone = 'Europe/Vienna'
const read = (date: string, time = '', order: Parameters<typeof readDate>[2] = null) => {
  const found = readDate(date, time, order, zone)
  return found.ok ? new Date(found.at).toISOString() : found.sentence
}

describe('a date of a keeper’s table', () => {
  test.each([
    ['2026-11-12', '', '2026-11-12T11:00:00.000Z'], // noon
    ['12.11.2026', '', '2026-11-12T11:00:00.000Z'],
    ['1.7.2026', '', '2026-07-01T10:00:00.000Z'],
    ['2026-11-12', '18:30', '2026-11-12T17:30:00.000Z'],
    ['2026-11-12 18:30', '', '2026-11-12T17:30:00.000Z'],
    ['2026-11-12T18:30:15', '', '2026-11-12T17:30:15.000Z'],
    ['12.11.2026 6:05', '', '2026-11-12T05:05:00.000Z'],
    ['2026-11-12T18:30:00Z', '', '2026-11-12T18:30:00.000Z'],
    ['2026-11-12T18:30+05:30', '', '2026-11-12T13:00:00.000Z'],
    ['2026-03-29', '02:30', '2026-03-29T01:00:00.000Z'], // the clocks skip it
    ['2026-10-25', '02:30', '2026-10-25T00:30:00.000Z'], // shown twice: the earlier
  ])('%s %s is %s', (date, time, expected) => {
    expect(read(date, time)).toBe(expected)
  })

  test.each([
    ['2026-02-30', '', '“2026-02-30” is not a date such as 2026-11-30 or 30.11.2026.'],
    ['2026-02-30T10:00:00Z', '', '“2026-02-30” is not a date such as 2026-11-30 or 30.11.2026.'],
    ['12.11.26', '', '“12.11.26” is not a date such as 2026-11-30 or 30.11.2026.'],
    ['', '', '“” is not a date such as 2026-11-30 or 30.11.2026.'],
    ['2026-11-12', '24:00', '“24:00” is not a time such as 18:30.'],
    ['2026-11-12', '18:60', '“18:60” is not a time such as 18:30.'],
    ['1969-12-31', '', '1969-12-31 lies before 1970.'],
    ['3/4/2026', '', '3/4/2026 may be one of two days; write it as 2026-11-30.'],
  ])('%s %s is refused: %s', (date, time, sentence) => {
    expect(read(date, time)).toBe(sentence)
  })

  test('with slashes is read as the rest of the table shows it, and one that is the same both ways always', () => {
    expect(slashOrder(['3/4/2026', '13/4/2026'])).toBe('dayFirst')
    expect(slashOrder(['3/4/2026', '4/13/2026'])).toBe('monthFirst')
    expect(slashOrder(['13/4/2026', '4/13/2026'])).toBe('both')
    expect(slashOrder(['3/4/2026', '2026-04-13'])).toBeNull()
    expect(read('3/4/2026', '', 'dayFirst')).toBe('2026-04-03T10:00:00.000Z')
    expect(read('3/4/2026', '', 'monthFirst')).toBe('2026-03-04T11:00:00.000Z')
    expect(read('4/4/2026', '')).toBe('2026-04-04T10:00:00.000Z')
    expect(read('3/4/2026', '', 'both')).toMatch(/one of two days/)
    expect(read('13/4/2026', '', 'monthFirst')).toMatch(/not a date/)
  })

  test('of any day comes out as that day in the house’s zone, in each way of writing it', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date('1971-01-01'), max: new Date('2100-01-01'), noInvalidDate: true }),
        fc.constantFrom('Europe/Vienna', 'America/Los_Angeles', 'Pacific/Apia', 'Australia/Lord_Howe'),
        (day, timeZone) => {
          const iso = day.toISOString().slice(0, 10)
          const [year, month, date] = iso.split('-') as [string, string, string]
          const ways = [
            [iso, null],
            [`${date}.${month}.${year}`, null],
            [`${date}/${month}/${year}`, 'dayFirst'],
            [`${month}/${date}/${year}`, 'monthFirst'],
          ] as const
          const found = ways.map(([text, order]) => readDate(text, '', order, timeZone))
          // Samoa left out 30 December 2011: its noon is the first instant after the gap
          const skipped = timeZone === 'Pacific/Apia' && iso === '2011-12-30'
          for (const one of found) {
            expect(one).toEqual(found[0])
            expect(one.ok && localDate(one.at, timeZone)).toBe(skipped ? '2011-12-31' : iso)
          }
        },
      ),
      { numRuns: 200 },
    )
  })
})

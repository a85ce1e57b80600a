import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { DayOrder, TableUnit } from '../../schemas/import.ts'
import type { Instant } from '../../schemas/units.ts'
import { guessColumns } from '../../shared/logger-table/columns.ts'
import { isGap, readDecimal, valueIn } from '../../shared/logger-table/decimals.ts'
import { guessWriting } from '../../shared/logger-table/dialect.ts'
import { guessEncoding } from '../../shared/logger-table/encoding.ts'
import { timeEvidence } from '../../shared/logger-table/evidence.ts'
import { type ReadingPlan, tableReader } from '../../shared/logger-table/reader.ts'
import { cellsOf, longestLine, type Row, rowCutter, separators } from '../../shared/logger-table/rows.ts'
import { orderIn, readTime } from '../../shared/logger-table/written-time.ts'
import { chosen, zoneClock } from '../../shared/logger-table/zone-clock.ts'
import { localParts } from '../../shared/time/wall.ts'

const berlin = 'Europe/Berlin'
const utc = (text: string): Instant => Date.parse(text) as Instant

function rowsOf(text: string, separator: (typeof separators)[number], pieces = [text.length]): Row[] {
  const rows: Row[] = []
  const cutter = rowCutter(separator, (row) => rows.push(row))
  let from = 0
  for (const length of pieces) cutter.feed(text.slice(from, (from += length)))
  cutter.feed(text.slice(from))
  cutter.end()
  return rows
}

/** Reads a whole table as the imports do, with what is guessed and `given` over it. */
function read(text: string, given: Partial<ReadingPlan> = {}) {
  const writing = guessWriting(text)
  if (writing === null) throw new Error('not a table')
  const columns = guessColumns(writing)
  const time = columns.filter(({ role }) => role !== 'value' && role !== 'other').map(({ index }) => index)
  const evidence = timeEvidence(writing.firstLine, time)
  const rows = rowsOf(text, writing.separator)
  for (const row of rows) evidence.row(row)
  const { dayOrder, course, every } = evidence.found()
  const plan: ReadingPlan = {
    ...writing,
    time,
    dayOrder: dayOrder === 'monthFirst' ? 'monthFirst' : 'dayFirst',
    zone: berlin,
    course,
    every,
    columns: columns.flatMap(({ index, quantity, unit }) =>
      quantity === null ? [] : [{ column: index, quantity, unit: unit ?? 'celsius' }],
    ),
    now: utc('2030-01-01T00:00:00Z'),
    ...given,
  }
  const values: [column: number, at: string, value: number][] = []
  const reader = tableReader(plan, (column, at, value) =>
    values.push([column, new Date(at).toISOString(), value]),
  )
  for (const row of rows) reader.row(row)
  reader.end()
  return {
    writing,
    columns,
    evidence: evidence.found(),
    values,
    tally: reader.tally(),
    problems: reader.problems(),
  }
}

describe('rows', () => {
  test('cells are cut by any separator, and quotes hold it, line ends and doubled quotes (RFC 4180)', () => {
    expect(cellsOf(' a ; "b;c" ;"d ""e""";', ';')).toEqual(['a', 'b;c', 'd "e"', ''])
    expect(rowsOf('a,"two\nlines"\r\nb,2\r\r\n\n', ',')).toEqual([
      { line: 1, cells: ['a', 'two\nlines'] },
      { line: 3, cells: ['b', '2'] },
    ])
  })

  test('a quote that is never closed takes no other line with it', () => {
    const text = `a,"5 inch\n${Array.from({ length: 20 }, (_, i) => `b,${i}`).join('\n')}`
    const rows = rowsOf(text, ',')
    expect(rows[0]).toEqual({ line: 1, cells: ['a', '"5 inch'] })
    expect(rows.slice(1)).toEqual(
      Array.from({ length: 20 }, (_, i) => ({ line: i + 2, cells: ['b', String(i)] })),
    )
  })

  test('X3: a line without end is cut, not gathered', () => {
    const rows: Row[] = []
    const cutter = rowCutter(',', (row) => rows.push(row))
    for (let i = 0; i < 100; i++) cutter.feed('x'.repeat(10_000))
    cutter.end()
    expect(rows[0]?.cells[0]?.length).toBe(longestLine + 1)
  })

  test('however a table comes in pieces, its rows are the same', () => {
    const cell = fc.stringMatching(/^[ -~°]{0,6}$/).filter((text) => text === text.trim())
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 8 })
    fc.assert(
      fc.property(
        table,
        fc.constantFrom(...separators),
        fc.array(fc.nat(12), { maxLength: 12 }),
        fc.constantFrom('\n', '\r\n', '\r'),
        (rows, separator, pieces, end) => {
          const text = rows
            .map((cells) => cells.map((one) => `"${one.replaceAll('"', '""')}"`).join(separator))
            .join(end)
          const whole = rowsOf(text, separator)
          expect(rowsOf(text, separator, pieces)).toEqual(whole)
          expect(whole.map(({ cells }) => cells)).toEqual(rows)
        },
      ),
    )
  })
})

describe('numbers', () => {
  test('a decimal is kept to its last digit, whatever its sign', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -999_999_999, max: 999_999_999 }),
        fc.integer({ min: 0, max: 6 }),
        (digits, places) => {
          const text = (digits / 10 ** places).toFixed(places)
          const decimal = readDecimal(text.replace('.', ','), 'comma')
          expect(decimal === null ? null : valueIn(decimal, 'celsius')).toBe(Number(text) + 0)
        },
      ),
    )
  })

  test('°F are turned exactly, and come back to their last digit (NIST SP 811, B.8)', () => {
    const turned = (text: string, unit: TableUnit) => valueIn(readDecimal(text, 'point') ?? fail(text), unit)
    expect(['32', '39.2', '212', '-40'].map((text) => turned(text, 'fahrenheit'))).toEqual([0, 4, 100, -40])
    expect(['273.15', '277', '277.155'].map((text) => turned(text, 'kelvin'))).toEqual([0, 3.85, 4.005])
    fc.assert(
      fc.property(
        fc.integer({ min: -40_000, max: 250_000 }),
        fc.integer({ min: 0, max: 4 }),
        (digits, places) => {
          const text = (digits / 10 ** places).toFixed(places)
          expect((turned(text, 'fahrenheit') * 1.8 + 32).toFixed(places)).toBe(
            text.replace(/^-(0(?:\.0+)?)$/, '$1'),
          )
        },
      ),
    )
  })

  test('units may stand in the cell; words of loggers for “no value” are gaps; anything else is no number', () => {
    expect(readDecimal('+4,5 °C', 'comma')).toEqual({ digits: 45, places: 1, unit: 'celsius' })
    expect(readDecimal('39.2F', 'point')?.unit).toBe('fahrenheit')
    expect(readDecimal('57 %RH', 'point')?.unit).toBe('percent')
    expect(readDecimal('1e-2', 'point')).toEqual({ digits: 1, places: 2, unit: null })
    for (const gap of ['', '---', 'ERR', 'NaN', '#N/A', 'n/a', '-', 'OL']) expect(isGap(gap), gap).toBe(true)
    for (const word of ['4,5', '4.5.6', '1 234', 'door', '--4', '.', '4.5 V'])
      expect(readDecimal(word, 'point'), word).toBeNull()
    expect(readDecimal('123456789012345', 'point')?.digits).toBe(123_456_789_012_345)
    expect(readDecimal('1234567890123456', 'point')).toBeNull()
  })
})

describe('times', () => {
  const at = (text: string, order: DayOrder = 'dayFirst'): string | null => {
    const time = readTime(text, order)
    if (time === null) return null
    return time.kind === 'wall'
      ? new Date(time.wall).toISOString().slice(0, 23)
      : new Date(time.at).toISOString()
  }

  test.each([
    ['2024-11-03T13:05:09+01:00', '2024-11-03T12:05:09.000Z'],
    ['2024-11-03 13:05Z', '2024-11-03T13:05:00.000Z'],
    ['2024-11-03 13:05:09.250', '2024-11-03T13:05:09.250'],
    ['03.11.2024 13:05', '2024-11-03T13:05:00.000'],
    ['3/11/2024 1:05:09 PM', '2024-11-03T13:05:09.000'],
    ['03-11-24, 12:05 a.m.', '2024-11-03T00:05:00.000'],
    ['3 Nov 2024 12:05 PM', '2024-11-03T12:05:00.000'],
    ['1730639109', '2024-11-03T13:05:09.000Z'],
    ['1730639109250', '2024-11-03T13:05:09.250Z'],
    // ECMA-376 part 1, §18.17.4.1: day 45599 is 2024-11-03
    ['45599.5452430556', '2024-11-03T13:05:09.000'],
    ['45599,54524', '2024-11-03T13:05:09.000'],
  ])('%s is understood', (text, expected) => expect(at(text)).toBe(expected))

  test('the order of day and month is asked where a sign leaves it open, and never where it is clear', () => {
    expect(at('03/04/2025', 'monthFirst')).toBe('2025-03-04T00:00:00.000')
    expect(at('03.04.2025', 'monthFirst')).toBe('2025-04-03T00:00:00.000')
    expect(['03/04/2025', '13/04/2025', '03/13/2025', '03.04.2025', '2025-04-03'].map(orderIn)).toEqual([
      'open',
      'dayFirst',
      'monthFirst',
      null,
      null,
    ])
    const table = (days: readonly string[]) =>
      `time,temp\n${days.map((day, i) => `${day} 00:00,${i}`).join('\n')}`
    expect(read(table(['01/02/2025', '02/02/2025', '12/02/2025'])).evidence.dayOrder).toBe('ambiguous')
    expect(read(table(['01/02/2025', '12/02/2025', '13/02/2025'])).evidence.dayOrder).toBe('dayFirst')
    expect(read(table(['02/12/2025', '02/13/2025'])).evidence.dayOrder).toBe('monthFirst')
  })

  test.each([
    '31.11.2024',
    '29.02.2025',
    '2024-13-01',
    '03.11.2024 24:00',
    '03.11.2024 13:60',
    '3/11/2024 13:05 PM',
    '12:05',
    'today',
    '4.50',
  ])('%s is no time', (text) => expect(at(text)).toBeNull())

  test('in the doubled hour of autumn the order of the rows decides, up or down', () => {
    const rows = ['01:30', '02:00', '02:30', '02:00', '02:30', '03:00']
    const times = ['00:00', '00:30', '01:00', '01:30'].map((time) => `2024-10-27T${time}:00.000Z`)
    const ascending = read(`time,temp\n${rows.map((time, i) => `27.10.2024 ${time},${i}`).join('\n')}`)
    expect(ascending.values.slice(1, 5).map(([, one]) => one)).toEqual(times)
    const descending = read(
      `time,temp\n${rows
        .toReversed()
        .map((time, i) => `27.10.2024 ${time},${i}`)
        .join('\n')}`,
    )
    expect(descending.values.slice(1, 5).map(([, one]) => one)).toEqual(times.toReversed())
    expect(descending.evidence.course).toBe('descending')
  })

  test('a logger that writes every two hours steps over the doubled hour, and is not an hour early then', () => {
    const times = ['2024-10-26T21:30', '2024-10-26T23:30', '2024-10-27T01:30', '2024-10-27T03:30']
    const rows = ['26.10.2024 23:30,1', '27.10.2024 01:30,2', '27.10.2024 02:30,3', '27.10.2024 04:30,4']
    const before = ['26.10.2024 19:30,1', '26.10.2024 21:30,1'] // so that two hours are its usual step
    const ascending = read(`time,temp\n${[...before, ...rows].join('\n')}`)
    expect(ascending.values.slice(2).map(([, one]) => one)).toEqual(times.map((one) => `${one}:00.000Z`))
    // one row that failed does not change that
    const gap = read(`time,temp\n${[...before, ...rows.toSpliced(1, 1)].join('\n')}`)
    expect(gap.values[3]?.[1]).toBe('2024-10-27T01:30:00.000Z')
    const descending = read(`time,temp\n${[...before, ...rows].toReversed().join('\n')}`)
    expect(descending.values.map(([, one]) => one).toReversed()).toEqual(
      ascending.values.map(([, one]) => one),
    )
  })

  test('a local time that spring leaves out is refused by its line, and the ones beside it are not', () => {
    const { values, problems } = read(
      'time,temp\n30.03.2025 01:59:59,1\n30.03.2025 02:00,2\n30.03.2025 02:59:59,3\n30.03.2025 03:00,4',
    )
    expect(values).toEqual([
      [0, '2025-03-30T00:59:59.000Z', 1],
      [0, '2025-03-30T01:00:00.000Z', 4],
    ])
    expect(problems.map(({ line }) => line)).toEqual([3, 4])
    expect(problems[0]?.sentence).toContain('the clocks went forward')
  })

  test('every instant written in a zone and read in order is itself again', () => {
    const zones = fc.constantFrom(
      berlin,
      'America/St_Johns',
      'Australia/Lord_Howe',
      'Asia/Kathmandu',
      'Africa/Casablanca',
      'UTC',
    )
    const starts = fc.integer({ min: 1_600_000_000, max: 1_760_000_000 })
    fc.assert(
      fc.property(
        zones,
        starts,
        fc.constantFrom(600, 1800, 2400, 3600, 5400, 7200, 21_600),
        fc.boolean(),
        (zone, start, step, isUp) => {
          const all = Array.from({ length: 400 }, (_, i) => (start - (start % 600) + i * step) * 1000)
          const inOrder = isUp ? all : all.toReversed()
          const instantsOf = zoneClock(zone)
          let before: Instant | null = null
          for (const one of inOrder) {
            const { year, month, day, hour, minute, second } = localParts(one as Instant, zone)
            const found = chosen(
              instantsOf(Date.UTC(year, month - 1, day, hour, minute, second)),
              before,
              isUp ? 'ascending' : 'descending',
              step * 1000,
            )
            // the very first row has none before it
            if (before !== null) expect(found).toBe(one)
            before = one as Instant
          }
        },
      ),
      { numRuns: 15 },
    )
  })
})

describe('a table', () => {
  test('preamble, heading, number of the row, two channels, gaps and footer are told apart', () => {
    const { writing, columns, values, tally, problems } = read(
      [
        'Protocol;of 2024-11-01',
        'Interval;600',
        '',
        'No.;Date;Time;Shelf [°C];Shelf [%RH];Drawer [°F];Battery [V]',
        '1;01.11.2024;00:00:00;4,5;81,2;39,2;3,01',
        '2;01.11.2024;00:10:00;---;81,1;39,38;3,01',
        '3;01.11.2024;00:20:00;4,55;;ERR;3,01',
        'End of data;;;;;;',
      ].join('\n'),
    )
    expect([writing.separator, writing.decimal, writing.headingLine, writing.firstLine]).toEqual([
      ';',
      'comma',
      4,
      5,
    ])
    expect(columns.map(({ role, quantity, unit }) => [role, quantity, unit])).toEqual([
      ['other', null, null],
      ['date', null, null],
      ['clock', null, null],
      ['value', 'temperature', 'celsius'],
      ['value', 'humidity', 'percent'],
      ['value', 'temperature', 'fahrenheit'],
      ['other', null, null],
    ])
    expect(values.map(([column, , value]) => [column, value])).toEqual([
      [0, 4.5],
      [1, 81.2],
      [2, 4],
      [1, 81.1],
      [2, 4.1],
      [0, 4.55],
    ])
    expect(tally).toMatchObject({ rows: 3, readings: 6, gaps: 3, bad: 0, footer: 1 })
    expect(problems).toEqual([])
  })

  test('each line at fault is named with what was expected; the others come in', () => {
    const { tally, problems } = read(
      'time,temp °C\n2024-11-01 00:00,4\n2024-11-01 00:10,warm\n2024-11-41 00:20,4\n2024-11-01 00:30\n2024-11-01 00:40,1000.1\n2040-01-01 00:00,4\n2024-11-01 00:50,5',
    )
    expect(tally).toMatchObject({ rows: 4, readings: 2, bad: 5 })
    expect(problems.map(({ line, sentence }) => `${line}: ${sentence}`)).toEqual([
      '3: Expected a number in “temp °C”, found “warm”.',
      '4: Expected a time, found “2024-11-41 00:20”.',
      '5: Expected 2 cells, found 1.',
      '6: “1000.1” is no temperature.',
      '7: “2040-01-01 00:00” is in the future.',
    ])
  })

  test('X3: of a thousand faults the first hundred are named and all are counted', () => {
    const { tally, problems } = read(
      `time,temp\n2024-11-01 00:00,4\n${Array.from({ length: 1000 }, () => '2024-11-01 00:10,x').join('\n')}`,
    )
    expect([tally.bad, problems.length]).toEqual([1000, 100])
  })

  test('nothing with a time and a number in it is no table', () => {
    for (const text of ['', 'a,b\nc,d', 'just words', '\u0000\u0001', 'time,temp\n', '2024-11-01'])
      expect(guessWriting(text), text).toBeNull()
  })

  test('any bytes: guessing ends, and throws nothing', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        const writing = guessWriting(new TextDecoder(guessEncoding(bytes)).decode(bytes))
        if (writing !== null) guessColumns(writing)
      }),
    )
  })

  const dialect = fc.record({
    separator: fc.constantFrom(...separators),
    isComma: fc.boolean(),
    hasHeading: fc.boolean(),
    preamble: fc.integer({ min: 0, max: 4 }),
    end: fc.constantFrom('\n', '\r\n'),
    time: fc.constantFrom('iso', 'offset', 'dots', 'unix', 'millis', 'twelve'),
    isApart: fc.boolean(),
    isQuoted: fc.boolean(),
    encoding: fc.constantFrom('utf-8', 'bom', 'windows-1252', 'utf-16le', 'utf-16be'),
  })
  const winter = fc.tuple(
    fc.integer({ min: 1_700_000_000, max: 1_760_000_000 }),
    fc.array(fc.tuple(fc.integer({ min: -2000, max: 3000 }), fc.integer({ min: 0, max: 1000 })), {
      minLength: 3,
      maxLength: 30,
    }),
  )

  test('in any dialect, what was written is read again', () => {
    fc.assert(
      fc.property(dialect, winter, (how, [start, values]) => {
        const isComma = how.isComma && (how.separator !== ',' || how.isQuoted)
        const isApart = how.isApart && ['iso', 'dots', 'twelve'].includes(how.time)
        const cell = (text: string) => (how.isQuoted ? `"${text}"` : text)
        const number = (digits: number, places: number) =>
          (digits / 10 ** places).toFixed(places).replace('.', isComma ? ',' : '.')
        const join = (cells: readonly string[]) => cells.map(cell).join(how.separator)
        const instants = values.map((_, i) => (start - (start % 60) + i * 600) * 1000)
        const lines = values.map(([temperature, humidity], i) =>
          join([
            ...written(instants[i] as number, how.time, isApart),
            number(temperature, 2),
            number(humidity, 1),
          ]),
        )
        const times = isApart ? ['date', 'clock'] : ['time']
        const text = [
          ...Array.from({ length: how.preamble }, (_, i) => join(['Serial number', String(70_000_000 + i)])),
          ...(how.hasHeading ? [join([...times, 'Temp °C', 'RH %'])] : []),
          ...lines,
          '',
        ].join(how.end)
        const decoded = new TextDecoder(guessEncoding(encoded(text, how.encoding))).decode(
          encoded(text, how.encoding),
        )
        const first = times.length
        const found = read(decoded, {
          zone: 'UTC',
          dayOrder: 'monthFirst',
          columns: [
            { column: first, quantity: 'temperature', unit: 'celsius' },
            { column: first + 1, quantity: 'humidity', unit: 'percent' },
          ],
        })
        expect(found.problems).toEqual([])
        expect(found.writing.separator).toBe(how.separator)
        expect(found.values).toEqual(
          values.flatMap(([temperature, humidity], i) => [
            [0, new Date(instants[i] as number).toISOString(), temperature / 100],
            [1, new Date(instants[i] as number).toISOString(), humidity / 10],
          ]),
        )
        if (how.hasHeading)
          expect(found.columns.slice(first).map(({ unit }) => unit)).toEqual(['celsius', 'percent'])
      }),
      { numRuns: 150 },
    )
  })
})

function written(at: number, how: string, isApart: boolean): string[] {
  const iso = new Date(at).toISOString()
  const [year = '', month = '', day = ''] = iso.slice(0, 10).split('-')
  const clock = iso.slice(11, 19)
  const hour = Number(clock.slice(0, 2))
  const twelve = `${hour % 12 === 0 ? 12 : hour % 12}${clock.slice(2)} ${hour < 12 ? 'AM' : 'PM'}`
  switch (how) {
    case 'offset':
      return [new Date(at + 5.5 * 3_600_000).toISOString().replace('.000Z', '+05:30')]
    case 'unix':
      return [String(at / 1000)]
    case 'millis':
      return [String(at)]
    case 'iso':
      return isApart ? [iso.slice(0, 10), clock] : [`${iso.slice(0, 10)} ${clock}`]
    case 'dots':
      return isApart ? [`${day}.${month}.${year}`, clock] : [`${day}.${month}.${year} ${clock}`]
    default:
      return isApart ? [`${month}/${day}/${year}`, twelve] : [`${month}/${day}/${year} ${twelve}`]
  }
}

function encoded(text: string, how: string): Buffer {
  switch (how) {
    case 'bom':
      return Buffer.from(`\uFEFF${text}`)
    case 'windows-1252':
      return Buffer.from(text, 'latin1')
    case 'utf-16le':
      return Buffer.from(text, 'utf16le')
    case 'utf-16be':
      return Buffer.from(`\uFEFF${text}`, 'utf16le').swap16()
    default:
      return Buffer.from(text)
  }
}

function fail(text: string): never {
  throw new Error(`not a number: ${text}`)
}

import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readCsv, writeCsv } from '../../shared/diary/csv.ts'

const cellsIn = (csv: string): readonly (readonly string[])[] | string => {
  const read = readCsv(csv)
  return 'sentence' in read ? `${read.line}: ${read.sentence}` : read.rows.map(({ cells }) => cells)
}

describe('RFC 4180, section 2, by its own examples', () => {
  const two = [
    ['aaa', 'bbb', 'ccc'],
    ['zzz', 'yyy', 'xxx'],
  ]
  test.each([
    ['1. each record is on a line of its own', 'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n', two],
    ['2. the last record may have no line break', 'aaa,bbb,ccc\r\nzzz,yyy,xxx', two],
    [
      '3. there may be a header line',
      'field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
      [['field_name', 'field_name', 'field_name'], ...two],
    ],
    ['4. spaces are part of a field', 'aaa, bbb ,ccc', [['aaa', ' bbb ', 'ccc']]],
    ['5. fields may stand in quotes', '"aaa","bbb","ccc"\r\nzzz,yyy,xxx', two],
    [
      '6. line breaks, quotes and commas stand in quotes',
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'b\r\nbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    ['7. a quote in quotes is written twice', '"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
  ])('%s', (_, csv, rows) => {
    expect(cellsIn(csv)).toEqual(rows)
    expect(parse(csv, { relax_column_count: true })).toEqual(rows)
  })

  test.each([
    ['a quote that is never closed', 'a,b\r\n1,"2\r\n3,4\r\n', '2: A quote is opened here and never closed.'],
    ['a quote inside a field without quotes', 'a\r\nb"c"\r\n', /^2: A quote stands inside a field/],
    ['something behind a closing quote', 'a\r\n"b" c\r\n', /^2: Something stands behind a closing quote/],
    [
      'something behind a quote of several lines',
      'a\r\n"b\n\n" c\r\n',
      /^4: Something stands behind a closing quote/,
    ],
  ])('its grammar has no place for %s', (_, csv, sentence) => {
    expect(cellsIn(csv)).toEqual(typeof sentence === 'string' ? sentence : expect.stringMatching(sentence))
    expect(() => parse(csv) as unknown).toThrow()
  })

  test('records are named by the line on which they begin, whatever ends the lines', () => {
    for (const end of ['\r\n', '\n', '\r']) {
      const read = readCsv(['a,b', '1,"x', 'y"', '', '3,4', ''].join(end))
      expect('rows' in read && read.rows.map(({ line }) => line)).toEqual([1, 2, 5])
    }
  })

  test('a mark of byte order is no part of the first name, and semicolons and tabs part fields where the first line has them', () => {
    expect(cellsIn('\uFEFFa,b\r\n1,2')).toEqual([
      ['a', 'b'],
      ['1', '2'],
    ])
    expect(cellsIn('date;animal;weight, g\r\n1;2;812,5')).toEqual([
      ['date', 'animal', 'weight, g'],
      ['1', '2', '812,5'],
    ])
    expect(cellsIn('a\tb\r\n1,5\t2')).toEqual([
      ['a', 'b'],
      ['1,5', '2'],
    ])
    expect(cellsIn('"a;b;c",d\r\n1,2')).toEqual([
      ['a;b;c', 'd'],
      ['1', '2'],
    ])
  })
})

describe('what is written', () => {
  const cell = fc.string({ maxLength: 12, unit: fc.constantFrom(...'ab,;"\r\n\t ü🐢=') })
  // a row of empty cells alone is a blank line to people, and passed over
  const row = fc
    .array(cell, { minLength: 2, maxLength: 4 })
    .filter((cells) => cells.some((one) => one !== ''))

  test('is read back by another reader and by ours, cell for cell', () => {
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 6 }), (rows) => {
        const csv = writeCsv([['one', 'two'], ...rows])
        const expected = [['one', 'two'], ...rows]
        expect(parse(csv, { relax_column_count: true, record_delimiter: '\r\n' })).toEqual(expected)
        expect(cellsIn(csv)).toEqual(expected)
      }),
      { numRuns: 1000 },
    )
  })

  test('ends every record in CRLF and puts quotes only where they are needed', () => {
    expect(
      writeCsv([
        ['a', 'b c', ''],
        ['1,2', 'x"y', 'l\nm'],
      ]),
    ).toBe('a,b c,\r\n"1,2","x""y","l\nm"\r\n')
  })
})

test('whatever is sent, it is read or refused by its line, at once', () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 200, unit: fc.constantFrom(...'a,;"\r\n\t\uFEFF') }), (csv) => {
      const read = readCsv(csv)
      const lines = csv.split(/\r\n|\r|\n/).length
      if ('sentence' in read) expect(read.line).toBeLessThanOrEqual(lines)
      else for (const { line } of read.rows) expect(line).toBeLessThanOrEqual(lines)
    }),
    { numRuns: 2000 },
  )
})

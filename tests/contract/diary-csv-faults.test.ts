import { beforeEach, describe, expect, test } from 'vitest'
import { mostRows } from '../../daemon/app/diary-rules.ts'
import type { DiaryEntry } from '../../schemas/diary.ts'
import { mostLines } from '../../shared/diary/read-table.ts'
import { bringTable, type DiaryWorldForTest, diaryWorld } from '../support/diary-world.ts'

let world: DiaryWorldForTest
beforeEach(() => {
  world = diaryWorld()
})

const bring = (csv: string, isTrial = false) => bringTable(world, csv, isTrial)
const faultsOf = (csv: string) => bring(csv, true).faults.map(({ line, sentence }) => `${line}: ${sentence}`)
const saysOf = (entries: readonly DiaryEntry[]) =>
  entries.map(({ at, animal, place, note, text }) => [
    new Date(at).toISOString(),
    animal ?? place,
    note,
    text,
  ])

describe('a table at fault', () => {
  test('is not taken in at all, and each line says what is wrong with it', () => {
    const csv = [
      'date,animal,weight (g),note',
      '2026-11-01,Pebble,812,',
      '2026-11-31,Pebble,812,',
      '2026-11-02,Nobody,812,',
      '2026-11-03,,812,',
      '2026-11-04,Pebble,eight,',
      '2026-11-05,Pebble,"1,5",',
      '2026-11-06,Pebble,-3,',
      '2026-11-07,Pebble,,',
      '2026-11-13,Pebble,812,',
      '2026-11-08,Pebble,812,fine,5',
      '2026-11-09,Pebble,0,',
    ].join('\n')
    const brought = bring(csv)
    expect(brought.faults.map(({ line, sentence }) => `${line}: ${sentence}`)).toEqual([
      '3: “2026-11-31” is not a date such as 2026-11-30 or 30.11.2026.',
      '4: There is no animal called “Nobody”.',
      '5: It does not say of whom.',
      '6: “eight” is not a number.',
      '7: “1,5” is not a number: write it with a point, or without the comma.',
      '8: “-3” is not a number.',
      '9: Nothing stands in this line but its date.',
      '10: It lies in the future; look at its date and time.',
      '11: This line has more fields than the first one has names.',
      expect.stringMatching(/^12: This does not fit: /),
    ])
    expect(brought.isKept).toBe(false)
    expect([world.desk.diary({}), world.journal]).toEqual([[], []])
  })

  test.each([
    ['', ['1: The table is empty.']],
    ['\r\n\r\n', ['1: The table is empty.']],
    ['animal,weight (g)\nPebble,1', ['1: There is no column for the date; call one “date”.']],
    ['date,weight (g)\n2026-11-01,1', ['1: There is no column that says of whom; call one “animal”.']],
    [
      'date,animal,weight\n2026-11-01,Pebble,1',
      ['1: “weight” does not say its unit; write for example “weight (g)”.'],
    ],
    [
      'date,animal,weather,Mass (g),weight (g)\n',
      [
        '1: The column “weather” is not known; rename it or take it out.',
        '1: “weight (g)” and “Mass (g)” mean the same; keep one.',
      ],
    ],
    [
      'date,animal,food\n2026-11-01,Pebble,clover',
      ['1: Beside the food a column “eaten” says how much was eaten: all, some or none.'],
    ],
    [
      'date,animal,food,eaten\n2026-11-01,Pebble,clover,much',
      ['2: “much” does not say how much was eaten: all, some or none.'],
    ],
    ['date,animal,place,note\n2026-11-01,Pebble,box-1,x', ['2: Name either an animal or a place, not both.']],
    [
      'date;animal;weight (g)\n2026-11-01;Pebble;1,5\n2026-11-02;Pebble;1.5',
      ['3: “1.5” has another decimal sign than the numbers before it.'],
    ],
    ['date,animal,note\n2026-11-01,Pebble,"x', ['2: A quote is opened here and never closed.']],
    ['at,kind,animal,weather\n', ['1: The column “weather” is not known; take it out.']],
    ['at,kind,animal,kind\n', ['1: The column “kind” stands there twice.']],
    [
      'id,at,kind,animal\na,2026-11-01T10:00:00Z,looked,pebble\na,2026-11-01T11:00:00Z,looked,pebble',
      ['3: It has the id of line 2, and says something else.'],
    ],
    [
      'at,kind,animal,picture\n2026-11-01T10:00:00Z,photographed,pebble,none',
      ['2: The picture is not here; send it first.'],
    ],
    ['at,kind,animal\n2026-11-01T10:00:00Z,looked,nobody', ['2: There is no animal nobody.']],
  ])('%j', (csv, sentences) => {
    expect(faultsOf(csv)).toEqual(sentences)
  })

  test('two animals of one name are told apart by their ids', () => {
    world.rehouse((household) => ({
      ...household,
      animals: household.animals.map((animal) => ({ ...animal, name: 'Twin' })),
    }))
    expect(faultsOf('date,animal,note\n2026-11-01,twin,x')).toEqual([
      '2: More than one animal is called “twin”; write pebble or moss.',
    ])
    expect(saysOf(bring('date,animal,note\n2026-11-01,moss,x', true).entries)[0]?.[1]).toBe('moss')
  })

  test('X3: has at most so many lines, and tells of at most a hundred faults', () => {
    const lineOf = (i: number) =>
      `2026-11-01 10:${String(Math.floor(i / 60) % 60).padStart(2, '0')}:${String(i % 60).padStart(2, '0')},Pebble,x${i}`
    const lines = (count: number) => Array.from({ length: count }, (_, i) => lineOf(i))
    const csv = (count: number) => ['date,animal,note', ...lines(count)].join('\n')
    expect(bring(csv(mostLines), true).entries).toHaveLength(mostLines)
    expect(faultsOf(csv(mostLines + 1))).toEqual([
      `${mostLines + 2}: The table has more than ${mostLines} lines; cut it into several.`,
    ])
    const wrong = faultsOf(csv(150).replaceAll('Pebble', 'Nobody'))
    expect(wrong).toHaveLength(101)
    expect(wrong.at(-1)).toBe('102: From here on 50 more are not shown.')
  })

  test('X3: does not fill an animal’s diary past its bound, looked through or not', () => {
    const insert = world.db.prepare(
      "INSERT INTO diary (id, at, animal, kind, entry, noted_by, noted_at) VALUES (?, 0, 'pebble', 'looked', NULL, 'Ada', 0)",
    )
    world.db.transaction(() => {
      for (let i = 0; i < mostRows - 1; i++) insert.run(`row-${i}`)
    })()
    const csv = 'date,animal,weight (g)\n2026-11-01,Pebble,812\n2026-11-02,Pebble,811'
    for (const isTrial of [true, false])
      expect(world.desk.importDiary(csv, isTrial, 'Ada')).toMatchObject({ ok: false, error: 'tooMany' })
    expect(world.desk.diary({})).toEqual([])
    expect(bring(csv.split('\n').slice(0, 2).join('\n')).isKept).toBe(true)
  })
})

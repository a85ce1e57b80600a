import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { beforeEach, describe, expect, test } from 'vitest'
import { mostRows } from '../../daemon/app/diary-rules.ts'
import { exportHousehold } from '../../daemon/cli/household.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import type { DiaryEntry, ImportedDiary } from '../../schemas/diary.ts'
import { EntryId } from '../../schemas/ids.ts'
import { mostLines } from '../../shared/diary/read-table.ts'
import { aPicture, feeding, weighIn } from '../support/diary-lines.ts'
import { type DiaryWorldForTest, diaryWorld, entryOf, noon } from '../support/diary-world.ts'
import { householdNamed } from '../support/kept-house.ts'
import { openStore, temporaryFolder } from '../support/store-world.ts'

let world: DiaryWorldForTest
beforeEach(() => {
  world = diaryWorld()
})

function bring(csv: string, isTrial = false, into = world): ImportedDiary {
  const outcome = into.desk.importDiary(csv, isTrial, 'Ada')
  if (!outcome.ok) throw new Error(outcome.sentence)
  return outcome.value
}

const faultsOf = (csv: string) => bring(csv, true).faults.map(({ line, sentence }) => `${line}: ${sentence}`)
const saysOf = (entries: readonly DiaryEntry[]) =>
  entries.map(({ at, animal, place, note, text }) => [
    new Date(at).toISOString(),
    animal ?? place,
    note,
    text,
  ])

const everyKind: readonly Readonly<Record<string, unknown>>[] = [
  { note: { kind: 'weighed', grams: 812.5, scaleStep: 0.5, box: 'wet' } },
  { note: { kind: 'measured', length: 14.2, height: 7 }, text: 'with callipers, "twice"' },
  { note: { kind: 'scored', scale: 'visualNine', score: 5.5 } },
  { note: { kind: 'checked', answers: { eyesClear: 'yes', skinWhole: 'unsure' } } },
  { note: { kind: 'checked', answers: {} } },
  { note: { kind: 'bathed', drank: false } },
  { note: { kind: 'drank' } },
  { note: { kind: 'fed', food: 'dandelion; clover, dry', grams: 12, eaten: 'some' } },
  { note: { kind: 'passed', faeces: true, urates: false, urine: true } },
  { note: { kind: 'active' } },
  { note: { kind: 'sign', signs: ['mould', 'weakness'] } },
  { note: { kind: 'vet', clears: true }, text: 'Line one\nline two' },
  { note: { kind: 'photographed', picture: aPicture.id } },
  { note: { kind: 'said' }, text: '=HYPERLINK("x")' },
  { note: { kind: 'looked' }, place: 'box-1' },
  { note: { kind: 'aired' }, place: 'box-1' },
  { note: { kind: 'counted', amount: 120 }, place: 'box-1' },
  { note: { kind: 'added', amount: 50 }, place: 'box-1' },
  { note: { kind: 'taken', amount: 5 }, place: 'box-1' },
]

/** A diary with an entry of each kind, those that Brumal writes among them. */
function fill(into: DiaryWorldForTest): void {
  into.desk.savePicture(aPicture.id, aPicture)
  everyKind.forEach((given, i) => {
    const outcome = into.desk.saveEntry(
      entryOf({ id: `entry-${i}`, at: noon - 60_000 * (30 - i) - i, ...given }),
      'Ada',
    )
    if (!outcome.ok) throw new Error(outcome.sentence)
  })
  const steps = [
    { phase: 'coolDown', from: noon - 9_000_000 },
    { phase: 'hold', from: noon + 9_000_000 },
  ]
  const acts = [
    { id: 'cooled', note: { kind: 'coolingBegan', steps, anyway: 'the vet said so' } },
    { id: 'warmed', note: { kind: 'warmingBegan', why: 'lost too much' } },
  ]
  into.store.saveEntries(acts.map((given) => ({ ...entryOf(given), by: 'Ada', notedAt: noon })))
}

describe('the diary as a table', () => {
  test('has a row for every entry that stands, as another reader of RFC 4180 sees it, oldest first', () => {
    fill(world)
    world.desk.removeEntry(EntryId.parse('entry-0'), 'Ada')
    const rows = parse<Record<string, string>>(world.desk.exportDiary(), { columns: true })
    expect(rows).toHaveLength(everyKind.length - 1 + 2)
    const ats = rows.map(({ at }) => at ?? '')
    expect(ats).toEqual(ats.toSorted())
    expect(rows.find(({ id }) => id === 'entry-7')).toMatchObject({
      animal: 'pebble',
      name: 'Pebble',
      says: 'Fed: dandelion; clover, dry, 12 g, ate some',
      kind: 'fed',
      food: 'dandelion; clover, dry',
      grams: '12',
      eaten: 'some',
      by: 'Ada',
    })
    expect(rows.find(({ id }) => id === 'entry-13')?.['text']).toBe(`'=HYPERLINK("x")`)
  })

  test('brought into an empty house is the same diary, entries of every kind and ids too', () => {
    fill(world)
    const other = diaryWorld()
    other.desk.savePicture(aPicture.id, aPicture)
    const brought = bring(world.desk.exportDiary(), false, other)
    expect(brought).toMatchObject({ isKept: true, known: 0, faults: [] })
    const said = (of: DiaryWorldForTest) =>
      of.desk.diary({}).map(({ by: _by, notedAt: _at, ...entry }) => entry)
    expect(said(other)).toEqual(said(world))
    expect(other.desk.exportDiary()).toBe(world.desk.exportDiary())
  })

  test('brought into its own house adds nothing, and undoes no correction made since', () => {
    fill(world)
    const csv = world.desk.exportDiary()
    world.desk.saveEntry(entryOf({ id: 'entry-0', note: { kind: 'weighed', grams: 1 } }), 'Ada')
    const before = world.desk.diary({})
    expect(bring(csv)).toEqual({ entries: [], known: everyKind.length + 2, faults: [], isKept: true })
    expect(world.desk.diary({})).toEqual(before)
  })
})

test('the console writes the diary beside the household, as the daemon does, also while it runs', () => {
  const folder = temporaryFolder()
  try {
    const { db, store } = openStore(folder.path)
    store.commit({ readings: [], journal: [], household: householdNamed('The house by the mill') })
    sqliteDiary(db).saveEntries([weighIn(812), feeding])
    const [yaml, csv] = [join(folder.path, 'house.yaml'), join(folder.path, 'diary.csv')]
    expect(exportHousehold(folder.path, { file: yaml, diary: csv }, () => {})).toBe(0)
    store.close()
    const rows = parse<Record<string, string>>(readFileSync(csv, 'utf8'), { columns: true })
    // nobody of that name is in the household any more
    expect(rows.map(({ id, name, says }) => [id, name, says])).toEqual([
      ['a-weigh-in', 'pebble', 'Weighed: 812 g'],
      ['a-feeding', 'pebble', 'Fed: dandelion, ate some'],
    ])
    expect(readFileSync(yaml, 'utf8')).not.toContain('dandelion')
  } finally {
    folder.remove()
  }
})

describe('a keeper’s own table', () => {
  test('is taken in by the names of its columns, all of it in one act with one line of the journal', () => {
    const csv = [
      'Date,Animal,Weight (g),Carapace length (cm),Food,Eaten,Notes',
      '2026-11-01,pebble,812,14.2,,,lively',
      '2.11.2026 18:30,MOSS,"640.5",,clover,some,',
      '2026-11-03,Pebble,,,,,only words',
    ].join('\n')
    const brought = bring(csv)
    expect(saysOf(brought.entries)).toEqual([
      ['2026-11-01T11:00:00.000Z', 'pebble', { kind: 'weighed', grams: 812 }, 'lively'],
      ['2026-11-01T11:00:00.000Z', 'pebble', { kind: 'measured', length: 14.2 }, undefined],
      ['2026-11-02T17:30:00.000Z', 'moss', { kind: 'weighed', grams: 640.5 }, undefined],
      ['2026-11-02T17:30:00.000Z', 'moss', { kind: 'fed', food: 'clover', eaten: 'some' }, undefined],
      ['2026-11-03T11:00:00.000Z', 'pebble', { kind: 'said' }, 'only words'],
    ])
    expect(brought.isKept).toBe(true)
    expect(world.desk.diary({})).toHaveLength(5)
    expect(world.journal.map(({ text }) => text)).toEqual(['5 entries came into the diary from a table.'])
    expect(world.told).toEqual([
      { kind: 'diary', animal: 'pebble' },
      { kind: 'diary', animal: 'moss' },
    ])
  })

  test('of a spreadsheet with decimal commas, semicolons and kilograms', () => {
    const brought = bring(
      '\uFEFFdate;animal;weight (kg)\r\n01.11.2026;Pebble;0,812\r\n02.11.2026;Pebble;1\r\n',
    )
    expect(brought.entries.map(({ note }) => note)).toEqual([
      { kind: 'weighed', grams: 812 },
      { kind: 'weighed', grams: 1000 },
    ])
  })

  test('with dates of either order of day and month, where one of them shows which', () => {
    const csv = 'date,animal,weight (g)\n3/11/2026,Pebble,812\n'
    expect(faultsOf(csv)).toEqual(['2: 3/11/2026 may be one of two days; write it as 2026-11-30.'])
    expect(saysOf(bring(`${csv}31/10/2026,Pebble,810`, true).entries)[0]?.[0]).toBe(
      '2026-11-03T11:00:00.000Z',
    )
    expect(saysOf(bring(`${csv}10/31/2026,Pebble,810`, true).entries)[0]?.[0]).toBe(
      '2026-03-11T11:00:00.000Z',
    )
  })

  test('brought a second time adds nothing, a longer one only what is new', () => {
    const csv = 'date,animal,weight (g)\n2026-11-01,Pebble,812\n'
    expect(bring(csv)).toMatchObject({ known: 0, isKept: true })
    world.move(86_400_000)
    expect(bring(csv)).toEqual({ entries: [], known: 1, faults: [], isKept: true })
    expect(bring(`${csv}2026-11-08,Pebble,808\n`)).toMatchObject({ known: 1, isKept: true })
    expect(world.desk.diary({})).toHaveLength(2)
    expect(world.store.rows(entryOf())).toBe(2)
  })

  test('with the same line twice has it once', () => {
    expect(
      bring('date,animal,weight (g)\n2026-11-01,Pebble,812\n2026-11-01,Pebble,812\n').entries,
    ).toHaveLength(1)
  })

  test('of today, before noon, is noted now and not in the future, and is known tomorrow', () => {
    world.move(-3 * 3_600_000) // nine in the morning
    const csv = 'date,animal,weight (g)\n2026-11-12,Pebble,812\n'
    expect(bring(csv).entries[0]?.at).toBe(world.now())
    world.move(86_400_000)
    expect(bring(csv)).toMatchObject({ entries: [], known: 1 })
  })

  test('looked through first changes nothing', () => {
    const brought = bring('date,animal,weight (g)\n2026-11-01,Pebble,812', true)
    expect(brought).toMatchObject({ isKept: false, faults: [] })
    expect(brought.entries).toHaveLength(1)
    expect([world.desk.diary({}), world.journal, world.told]).toEqual([[], [], []])
  })

  test('can be taken back by the ids that it brought, and brought again after that', () => {
    const csv = 'date,animal,weight (g)\n2026-11-01,Pebble,812\n2026-11-02,Pebble,811'
    const ids = bring(csv).entries.map(({ id }) => id)
    world.desk.removeEntries(ids, 'Ada')
    expect(world.desk.diary({})).toEqual([])
    expect(bring(csv)).toMatchObject({ known: 0, isKept: true })
    expect(world.desk.diary({})).toHaveLength(2)
  })
})

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

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { beforeEach, describe, expect, test } from 'vitest'
import { exportHousehold } from '../../daemon/cli/household.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import type { DiaryEntry } from '../../schemas/diary.ts'
import { EntryId } from '../../schemas/ids.ts'
import { aPicture, feeding, weighIn } from '../support/diary-lines.ts'
import { bringTable, type DiaryWorldForTest, diaryWorld, entryOf, noon } from '../support/diary-world.ts'
import { householdNamed } from '../support/kept-house.ts'
import { openStore, temporaryFolder } from '../support/store-world.ts'

let world: DiaryWorldForTest
beforeEach(() => {
  world = diaryWorld()
})

const bring = (csv: string, isTrial = false, into = world) => bringTable(into, csv, isTrial)
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

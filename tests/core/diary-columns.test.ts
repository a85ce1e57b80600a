import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import { DangerSign, type DiaryLine, DiaryNote, HealthAnswer, HealthQuestion } from '../../schemas/diary.ts'
import { AnimalId, EntryId, PictureId, PlaceId } from '../../schemas/ids.ts'
import { Phase } from '../../schemas/species.ts'
import { readCsv, writeCsv } from '../../shared/diary/csv.ts'
import { cellsOf, type EntryColumn, entryColumns, entryFrom } from '../../shared/diary/entry-columns.ts'
import { entryId } from '../../shared/diary/entry-id.ts'
import { noteWords } from '../../shared/diary/note-words.ts'

const maybe = <Value>(value: fc.Arbitrary<Value>) => fc.option(value, { nil: undefined })
const amount = fc.double({ min: 0.001, max: 900, noNaN: true })
const text = (longest: number) =>
  fc
    .string({
      minLength: 1,
      maxLength: longest,
      unit: fc.oneof(fc.constantFrom(...`",;=+-@'\r\n\t ü🐢`), fc.string({ minLength: 1, maxLength: 1 })),
    })
    .map((words) => words.trim().slice(0, longest))
    .filter((words) => words !== '')
const at = fc.integer({ min: 0, max: Date.UTC(2100, 0) }).map(instant)

/** Every kind, each with and without what it may leave out. */
const note: fc.Arbitrary<DiaryNote> = fc
  .oneof(
    fc.record({
      kind: fc.constant('weighed'),
      grams: amount,
      scaleStep: maybe(fc.constantFrom(0.1, 1, 5)),
      box: maybe(fc.constantFrom('dry', 'wet')),
    }),
    fc.record({
      kind: fc.constant('measured'),
      length: maybe(amount),
      width: maybe(amount),
      height: maybe(amount),
      girth: maybe(amount),
    }),
    fc.record({
      kind: fc.constant('scored'),
      scale: fc.constantFrom('visualFive', 'visualNine'),
      score: fc.double({ min: 1, max: 9, noNaN: true }),
    }),
    fc.record({
      kind: fc.constant('checked'),
      answers: fc.dictionary(
        fc.constantFrom(...HealthQuestion.options),
        fc.constantFrom(...HealthAnswer.options),
      ),
    }),
    fc.record({ kind: fc.constant('bathed'), drank: maybe(fc.boolean()) }),
    fc.record({
      kind: fc.constant('fed'),
      food: maybe(text(80)),
      grams: maybe(amount),
      eaten: fc.constantFrom('all', 'some', 'none'),
    }),
    fc.record({
      kind: fc.constant('passed'),
      faeces: fc.boolean(),
      urates: fc.boolean(),
      urine: fc.boolean(),
    }),
    fc.record({ kind: fc.constant('sign'), signs: fc.subarray([...DangerSign.options], { minLength: 1 }) }),
    fc.record({ kind: fc.constant('vet'), clears: fc.boolean() }),
    fc.record({ kind: fc.constant('photographed'), picture: fc.constant(PictureId.parse('a-picture')) }),
    fc.record({ kind: fc.constantFrom('counted', 'added', 'taken'), amount }),
    fc.record({ kind: fc.constantFrom('drank', 'active', 'said', 'looked', 'aired') }),
    fc.record({
      kind: fc.constant('coolingBegan'),
      steps: fc.array(fc.record({ phase: fc.constantFrom(...Phase.options), from: at }), { maxLength: 5 }),
      anyway: maybe(text(300)),
    }),
    fc.record({ kind: fc.constant('warmingBegan'), why: text(300) }),
  )
  .map((given) => DiaryNote.parse(JSON.parse(JSON.stringify(given))))

const about = fc.oneof(
  fc.constant({ animal: AnimalId.parse('pebble') }),
  fc.constant({ place: PlaceId.parse('box-1') }),
)
const line: fc.Arbitrary<DiaryLine> = fc
  .record({ at, about, note, text: maybe(text(1000)) })
  .map(({ at, about, note, text }) => ({
    id: EntryId.parse('one'),
    at,
    ...about,
    note,
    ...(text === undefined ? {} : { text }),
    by: 'Ada',
    notedAt: at,
  }))

const table = (lines: readonly DiaryLine[]): string =>
  writeCsv([entryColumns, ...lines.map((one) => cellsOf(one, () => '=Pebble'))])

function readBack(csv: string) {
  const read = readCsv(csv)
  if ('sentence' in read) throw new Error(read.sentence)
  const [header, ...rows] = read.rows
  return rows.map(({ cells }) =>
    entryFrom(new Map((header?.cells ?? []).map((name, i) => [name as EntryColumn, cells[i] ?? '']))),
  )
}

describe('an entry in a row of a table', () => {
  test('of any kind, with any text, comes back as it was', () => {
    fc.assert(
      fc.property(fc.array(line, { minLength: 1, maxLength: 3 }), (lines) => {
        const said = lines.map(({ by: _by, notedAt: _notedAt, ...entry }) => ({ ok: true, entry }))
        expect(readBack(table(lines))).toEqual(said)
      }),
      { numRuns: 600 },
    )
  })

  test('holds no cell that a spreadsheet would reckon', () => {
    fc.assert(
      fc.property(line, (one) => {
        for (const cell of cellsOf(one, () => '=1+1')) expect(cell).not.toMatch(/^[=+\-@\t\r]/)
      }),
    )
  })

  const cells = (given: Partial<Record<EntryColumn, string>>) =>
    entryFrom(
      new Map(
        Object.entries({
          at: '2026-11-12T18:30:00Z',
          animal: 'pebble',
          kind: 'weighed',
          grams: '812',
          ...given,
        }) as [EntryColumn, string][],
      ),
    )

  test('without an id has one made of what it says, the same each time, and another for anything else', () => {
    const [one, again, other] = [cells({}), cells({}), cells({ grams: '813' })]
    expect(one).toEqual(again)
    expect(one.ok && other.ok && one.entry.id !== other.entry.id).toBe(true)
    expect(one.ok && EntryId.safeParse(one.entry.id).success).toBe(true)
  })

  test.each([
    [{ at: '12.11.2026' }, '“at” does not fit: expected an instant such as 2026-11-12T18:30:00Z.'],
    [{ at: '2026-02-30T10:00:00Z' }, '“at” does not fit: expected an instant such as 2026-11-12T18:30:00Z.'],
    [{ grams: '812 g' }, '“grams” does not fit: it cannot be read.'],
    [{ grams: '' }, /^“grams” does not fit: /],
    [{ grams: '-1' }, /^“grams” does not fit: /],
    [{ kind: 'juggled' }, /^“kind” does not fit: /],
    [{ kind: 'aired' }, /does not fit: .*"grams"/],
    [{ place: 'box-1' }, '“animal” does not fit: name either an animal or a place.'],
    [{ animal: '' }, '“animal” does not fit: name either an animal or a place.'],
    [{ id: 'Not An Id' }, /^“id” does not fit: /],
    [{ kind: 'bathed', grams: '', drank: 'perhaps' }, '“drank” does not fit: it cannot be read.'],
    [{ kind: 'checked', grams: '', answers: 'eyesClear' }, '“answers” does not fit: it cannot be read.'],
    [{ kind: 'coolingBegan', grams: '', steps: 'hold=soon' }, '“steps” does not fit: it cannot be read.'],
  ])('with %j is refused in words', (given, sentence) => {
    const read = cells(given)
    expect(read.ok ? 'taken' : read.sentence).toMatch(
      typeof sentence === 'string' ? new RegExp(`^${sentence.replaceAll('.', '\\.')}$`) : sentence,
    )
  })
})

describe('ids made of what entries say', () => {
  test('do not meet, however alike the entries are', () => {
    const ids = new Set<string>()
    for (let grams = 1; grams <= 100; grams++)
      for (let hour = 0; hour < 200; hour++)
        ids.add(
          entryId({
            at: instant(hour * 3_600_000),
            animal: AnimalId.parse('pebble'),
            note: { kind: 'weighed', grams },
          }),
        )
    expect(ids.size).toBe(20_000)
  })

  test('do not depend on the order in which a form sends its fields', () => {
    const [at, animal] = [instant(0), AnimalId.parse('pebble')]
    expect(entryId({ at, animal, note: { kind: 'weighed', grams: 1 } })).toBe(
      entryId({ note: { grams: 1, kind: 'weighed' }, animal, at }),
    )
  })
})

describe('an entry in words', () => {
  test.each<[string, DiaryNote]>([
    ['Weighed: 812 g', { kind: 'weighed', grams: 812 }],
    ['Weighed: 31.46 g, box wet', { kind: 'weighed', grams: 31.456, box: 'wet' }],
    ['Measured: length 14.2 cm, height 7 cm', { kind: 'measured', length: 14.2, height: 7 }],
    ['Condition by eye: 3 of 5', { kind: 'scored', scale: 'visualFive', score: 3 }],
    [
      'Health list: 1 of 3 well; not skin whole; unsure mouth clean',
      {
        kind: 'checked',
        answers: { eyesClear: 'yes', skinWhole: 'no', mouthClean: 'unsure', fedWell: 'notAsked' },
      },
    ],
    ['Bathed', { kind: 'bathed' }],
    ['Bathed: did not drink', { kind: 'bathed', drank: false }],
    ['Fed: crickets, 3 g, ate some', { kind: 'fed', food: 'crickets', grams: 3, eaten: 'some' }],
    ['Fed: ate nothing', { kind: 'fed', eaten: 'none' }],
    ['Passed: faeces, urine', { kind: 'passed', faeces: true, urates: false, urine: true }],
    ['Passed: nothing', { kind: 'passed', faeces: false, urates: false, urine: false }],
    ['Danger sign: mould, weakness', { kind: 'sign', signs: ['mould', 'weakness'] }],
    ['Counted: 120', { kind: 'counted', amount: 120 }],
    ['Note', { kind: 'said' }],
    ['Warming began: it is spring', { kind: 'warmingBegan', why: 'it is spring' }],
  ])('%s', (words, given) => {
    expect(noteWords(given)).toBe(words)
  })

  test('of any kind is one line without a gap left open', () => {
    fc.assert(
      fc.property(note, (given) => {
        const words = noteWords(given)
        expect(words).not.toMatch(/undefined|null|NaN|\[object/)
        expect(words).not.toMatch(/: ?$/)
      }),
    )
  })
})

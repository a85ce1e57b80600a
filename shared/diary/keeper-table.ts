import { DiaryEntry, type DiaryNote, type NoteOf } from '../../schemas/diary.ts'
import type { AnimalId, PlaceId } from '../../schemas/ids.ts'
import type { CsvFault, CsvRow, Separator } from './csv.ts'
import { entryId } from './entry-id.ts'
import { type Meaning, meaningOf } from './keeper-columns.ts'
import type { TableEntry, TableWorld } from './table-world.ts'
import { type DateRead, readDate, slashOrder } from './table-dates.ts'
import { say } from '../words/say.ts'

type Found = Partial<Record<Meaning['is'], { readonly cell: number; readonly times: number }>>

/** A keeper's own table: a column for the date, one for the animal, and what was weighed, measured, fed or said. */
export function readKeeperTable(
  header: CsvRow,
  rows: readonly CsvRow[],
  separator: Separator,
  world: TableWorld,
): { readonly entries: readonly TableEntry[]; readonly faults: readonly CsvFault[] } {
  const { found, sentences } = columnsIn(header)
  if (sentences.length > 0)
    return { entries: [], faults: sentences.map((sentence) => ({ line: header.line, sentence })) }
  const cellOf = (row: CsvRow, is: Meaning['is']): string => (row.cells[found[is]?.cell ?? -1] ?? '').trim()
  const order = slashOrder(rows.map((row) => cellOf(row, 'date')))
  const decimal = decimalsOf(separator)
  const entries: TableEntry[] = []
  const faults: CsvFault[] = []

  for (const row of rows) {
    const wrong = (sentence: string) => void faults.push({ line: row.line, sentence })
    const about = subjectOf(cellOf(row, 'animal'), cellOf(row, 'place'), world)
    if (!about.ok) {
      wrong(about.sentence)
      continue
    }
    const when = readDate(cellOf(row, 'date'), cellOf(row, 'time'), order, world.timeZone)
    if (!when.ok) {
      wrong(when.sentence)
      continue
    }
    const notes: DiaryNote[] = []
    const amount = (is: 'grams' | 'length' | 'width' | 'height' | 'girth'): number | undefined => {
      const cell = cellOf(row, is)
      if (cell === '') return undefined
      const read = decimal(cell)
      if (typeof read === 'number') return Math.round(read * (found[is]?.times ?? 1) * 100) / 100
      wrong(read)
      return undefined
    }
    const grams = amount('grams')
    if (grams !== undefined) notes.push({ kind: 'weighed', grams })
    const [length, width, height, girth] = [
      amount('length'),
      amount('width'),
      amount('height'),
      amount('girth'),
    ]
    const sizes = {
      ...(length === undefined ? {} : { length }),
      ...(width === undefined ? {} : { width }),
      ...(height === undefined ? {} : { height }),
      ...(girth === undefined ? {} : { girth }),
    }
    if (Object.keys(sizes).length > 0) notes.push({ kind: 'measured', ...sizes })
    const fed = fedOf(cellOf(row, 'food'), cellOf(row, 'eaten'))
    if (typeof fed === 'string') wrong(fed)
    else if (fed !== null) notes.push(fed)
    const text = cellOf(row, 'text')
    if (notes.length === 0 && text !== '') notes.push({ kind: 'said' })
    if (notes.length === 0 && faults.at(-1)?.line !== row.line)
      wrong(say('Nothing stands in this line but its date.'))
    notes.forEach((note, i) => {
      const said = { ...about.value, note, ...(i === 0 && text !== '' ? { text } : {}) }
      const parsed = DiaryEntry.safeParse({ id: 'x', at: when.at, ...said })
      if (!parsed.success)
        return wrong(say('This does not fit: {why}.', { why: parsed.error.issues[0]?.message ?? note.kind }))
      const { id: _, ...entry } = parsed.data
      entries.push({ line: row.line, entry: { ...entry, id: entryId(entry), at: notAhead(when, world) } })
    })
  }
  return { entries, faults }
}

/** Noon of today may still be to come; the id is that of noon, so that it is the same tomorrow. */
const notAhead = (when: Extract<DateRead, { ok: true }>, { now }: TableWorld) =>
  !when.hasTime && when.at > now && when.at - now < 43_200_000 ? now : when.at

function columnsIn(header: CsvRow): { readonly found: Found; readonly sentences: readonly string[] } {
  const found: Found = {}
  const sentences: string[] = []
  header.cells.forEach((name, cell) => {
    if (name.trim() === '') return
    const meaning = meaningOf(name)
    if (meaning === null)
      sentences.push(
        say('The column “{name}” is not known; rename it or take it out.', { name: name.slice(0, 40) }),
      )
    else if ('sentence' in meaning) sentences.push(meaning.sentence)
    else if (found[meaning.is] !== undefined)
      sentences.push(
        say('“{one}” and “{other}” mean the same; keep one.', {
          one: name.slice(0, 40),
          other: header.cells[found[meaning.is]?.cell ?? 0],
        }),
      )
    else found[meaning.is] = { cell, times: 'times' in meaning ? meaning.times : 1 }
  })
  if (found.date === undefined) sentences.push(say('There is no column for the date; call one “date”.'))
  if (found.animal === undefined && found.place === undefined)
    sentences.push(say('There is no column that says of whom; call one “animal”.'))
  if (found.food !== undefined && found.eaten === undefined)
    sentences.push(say('Beside the food a column “eaten” says how much was eaten: all, some or none.'))
  return { found, sentences }
}

type Subject =
  | { readonly ok: true; readonly value: { readonly animal: AnimalId } | { readonly place: PlaceId } }
  | { readonly ok: false; readonly sentence: string }

function subjectOf(animal: string, place: string, { animals, places }: TableWorld): Subject {
  if (animal !== '' && place !== '')
    return { ok: false, sentence: say('Name either an animal or a place, not both.') }
  if (animal === '' && place === '') return { ok: false, sentence: say('It does not say of whom.') }
  const [word, list] = animal !== '' ? [animal, animals] : [place, places]
  const byId = list.find(({ id }) => id === word)
  const named = list.filter(({ name }) => name.trim().toLowerCase() === word.toLowerCase())
  const one = byId ?? (named.length === 1 ? named[0] : undefined)
  if (one !== undefined)
    return { ok: true, value: animal !== '' ? { animal: one.id as AnimalId } : { place: one.id as PlaceId } }
  const name = word.slice(0, 60)
  const ids = named.map(({ id }) => id).join(say(' or '))
  return {
    ok: false,
    sentence:
      animal !== ''
        ? named.length > 1
          ? say('More than one animal is called “{name}”; write {ids}.', { name, ids })
          : say('There is no animal called “{name}”.', { name })
        : named.length > 1
          ? say('More than one place is called “{name}”; write {ids}.', { name, ids })
          : say('There is no place called “{name}”.', { name }),
  }
}

function fedOf(food: string, eaten: string): NoteOf<'fed'> | string | null {
  if (food === '' && eaten === '') return null
  const word = /^(all|some|none)$/i.exec(eaten)?.[0].toLowerCase()
  if (word === undefined)
    return say('“{eaten}” does not say how much was eaten: all, some or none.', { eaten: eaten.slice(0, 40) })
  return { kind: 'fed', ...(food === '' ? {} : { food }), eaten: word as NoteOf<'fed'>['eaten'] }
}

/** A comma is a decimal sign only where it parts no columns, and never beside a point in the same table. */
function decimalsOf(separator: Separator): (cell: string) => number | string {
  let sign: ',' | '.' | null = null
  return (cell) => {
    const match = /^\d+(?:([.,])\d+)?$/.exec(cell)
    if (match === null) return say('“{cell}” is not a number.', { cell: cell.slice(0, 40) })
    const own = match[1] as ',' | '.' | undefined
    if (own === undefined) return Number(cell)
    if (own === ',' && separator === ',')
      return say('“{cell}” is not a number: write it with a point, or without the comma.', { cell })
    if (sign !== null && own !== sign)
      return say('“{cell}” has another decimal sign than the numbers before it.', { cell })
    sign = own
    return Number(cell.replace(',', '.'))
  }
}

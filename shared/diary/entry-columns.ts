import { DiaryEntry, type DiaryLine, type DiaryNote } from '../../schemas/diary.ts'
import { asSaid, harmless } from './csv.ts'
import { entryId } from './entry-id.ts'
import { noteWords } from './note-words.ts'
import { say } from '../words/say.ts'

/** Of Brumal's own table, in order. `name` and `says` are for people, `by` and `notedAt` tell whose it was: not read. */
export const entryColumns = [
  'id',
  'at',
  'animal',
  'place',
  'name',
  'says',
  'kind',
  'grams',
  'scaleStep',
  'box',
  'length',
  'width',
  'height',
  'girth',
  'scale',
  'score',
  'answers',
  'drank',
  'food',
  'eaten',
  'faeces',
  'urates',
  'urine',
  'signs',
  'clears',
  'picture',
  'amount',
  'steps',
  'anyway',
  'why',
  'text',
  'by',
  'notedAt',
] as const
export type EntryColumn = (typeof entryColumns)[number]

/** The cells of one entry. Lists are parted by spaces, answers and steps are `question=answer` and `phase=instant`. */
export function cellsOf(line: DiaryLine, nameOf: (line: DiaryLine) => string): readonly string[] {
  const note: Readonly<Record<string, unknown>> = line.note
  const cell = (column: EntryColumn): string => {
    switch (column) {
      case 'id':
        return line.id
      case 'at':
        return isoOf(line.at)
      case 'notedAt':
        return isoOf(line.notedAt)
      case 'animal':
        return line.animal ?? ''
      case 'place':
        return line.place ?? ''
      case 'name':
        return harmless(nameOf(line))
      case 'says':
        return harmless(noteWords(line.note))
      case 'text':
        return harmless(line.text ?? '')
      case 'by':
        return harmless(line.by)
      default:
        return harmless(listOf(column, line.note) ?? cellOf(note[column]))
    }
  }
  return entryColumns.map(cell)
}

export type CellRead =
  | { readonly ok: true; readonly entry: DiaryEntry }
  | { readonly ok: false; readonly sentence: string }

/** An entry from the cells of its row, by the names of their columns. */
export function entryFrom(cells: ReadonlyMap<EntryColumn, string>): CellRead {
  const given = (column: EntryColumn): string | undefined => cells.get(column) || undefined
  const at = instantFrom(given('at') ?? '')
  if (at === null) return fault('at', say('expected an instant such as 2026-11-12T18:30:00Z'))
  const note: Record<string, unknown> = { kind: given('kind') }
  if (note['kind'] === 'checked') note['answers'] = {}
  if (note['kind'] === 'coolingBegan') note['steps'] = []
  if (note['kind'] === 'warmingBegan') note['why'] = ''
  for (const [column, cell] of cells) {
    const read = readers[column]
    if (cell === '' || read === undefined) continue
    const value = read(asSaid(cell))
    if (value === null) return fault(column, say('it cannot be read'))
    note[column] = value
  }
  const said = {
    at,
    animal: given('animal'),
    place: given('place'),
    note,
    text: given('text') && asSaid(given('text') ?? ''),
  }
  const parsed = DiaryEntry.safeParse(withoutGaps({ id: given('id') ?? 'x', ...said }))
  if (!parsed.success) {
    const [issue] = parsed.error.issues
    const path = issue?.path.filter((part) => part !== 'note').join(' ')
    return fault(path === undefined || path === '' ? 'kind' : path, issue?.message ?? say('it does not fit'))
  }
  const { id, ...entry } = parsed.data
  return { ok: true, entry: { ...entry, id: given('id') === undefined ? entryId(entry) : id } }
}

const fault = (column: string, why: string): CellRead => ({
  ok: false,
  sentence: say('“{column}” does not fit: {why}.', { column, why: why.slice(0, 160) }),
})

const number = (cell: string): number | null =>
  /^-?\d+(?:\.\d+)?(?:e[+-]?\d+)?$/i.test(cell) ? Number(cell) : null
const word = (cell: string): string => cell
const trueOrFalse = (cell: string): boolean | null =>
  /^true$/i.test(cell) ? true : /^false$/i.test(cell) ? false : null
const words = (cell: string): readonly string[] => cell.trim().split(/\s+/)

/** `question=answer question=answer` */
function answers(cell: string): Record<string, string> | null {
  const pairs = words(cell).map((pair) => pair.split('='))
  return pairs.every((pair) => pair.length === 2)
    ? Object.fromEntries(pairs.map(([question = '', answer = '']) => [question, answer]))
    : null
}

function steps(cell: string): readonly { phase: string; from: number }[] | null {
  const read = words(cell).map((pair) => {
    const [phase = '', from = ''] = pair.split('=')
    return { phase, from: instantFrom(from) }
  })
  return read.every((step): step is { phase: string; from: number } => step.from !== null) ? read : null
}

/** How the cells of a note are read; null: not so. What belongs to which kind is for the schema to say. */
const readers: Partial<Record<EntryColumn, (cell: string) => unknown>> = {
  grams: number,
  scaleStep: number,
  box: word,
  length: number,
  width: number,
  height: number,
  girth: number,
  scale: word,
  score: number,
  answers,
  drank: trueOrFalse,
  food: word,
  eaten: word,
  faeces: trueOrFalse,
  urates: trueOrFalse,
  urine: trueOrFalse,
  signs: words,
  clears: trueOrFalse,
  picture: word,
  amount: number,
  steps,
  anyway: word,
  why: word,
}

function cellOf(value: unknown): string {
  switch (typeof value) {
    case 'string':
      return value
    case 'number':
    case 'boolean':
      return String(value)
    default:
      return ''
  }
}

/** The lists of a note; null for any other column. */
function listOf(column: EntryColumn, note: DiaryNote): string | null {
  if (column === 'answers' && note.kind === 'checked')
    return Object.entries(note.answers)
      .map((pair) => pair.join('='))
      .join(' ')
  if (column === 'steps' && note.kind === 'coolingBegan')
    return note.steps.map(({ phase, from }) => `${phase}=${isoOf(from)}`).join(' ')
  return column === 'signs' && note.kind === 'sign' ? note.signs.join(' ') : null
}

const isoOf = (at: number): string => new Date(at).toISOString()

/** An instant with its zone, to the millisecond; null where it is none. */
export function instantFrom(text: string): number | null {
  const match =
    /^([+-]\d{6}|\d{4})-(\d{2})-(\d{2})T\d{2}:\d{2}(?::\d{2}(?:\.\d{1,3})?)?(?:Z|[+-]\d{2}:\d{2})$/.exec(text)
  const at = match === null ? Number.NaN : Date.parse(text)
  if (match === null || Number.isNaN(at)) return null
  // Date.parse takes 30 February for 2 March
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])]
  return new Date(Date.UTC(year, month - 1, day)).getUTCDate() === day ? at : null
}

const withoutGaps = (of: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> =>
  Object.fromEntries(Object.entries(of).filter(([, value]) => value !== undefined))

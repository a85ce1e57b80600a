import type {
  ImportChoice,
  ImportId,
  ImportLine,
  LookChoice,
  TableLook,
  UndoneImport,
} from '../../schemas/import.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Outcome } from './outcome.ts'
import type { ZonesOf } from './zones.ts'

/** Readings of one series and clock hour from a table: ascending and unique in `at`; quality as its stored code. */
export interface ImportedHour {
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly at: readonly number[]
  readonly value: readonly number[]
  readonly quality: readonly number[]
}

/** What came of some hours. */
export interface TakenIn {
  readonly added: number
  /** There already: a repeat changes nothing (L5). */
  readonly known: number
  /** Of hours of which only the summary is kept. */
  readonly thinned: number
}

/** Where what came from tables is kept, and what of it came from which. In the same database as the readings. */
export interface ImportStore {
  /** Newest first. */
  imports(): readonly ImportLine[]
  saveImport(line: ImportLine): void
  forgetImport(id: ImportId): void
  /** One transaction: the readings that are new, the list of them, and the line as it then is. */
  takeIn(
    id: ImportId,
    hours: readonly ImportedHour[],
    lineOf: (taken: TakenIn) => ImportLine,
    zonesOf: ZonesOf,
  ): ImportLine
  /** Takes the readings of at most `atMost` hours of an import out again, in one transaction. */
  takeOut(id: ImportId, atMost: number, zonesOf: ZonesOf): UndoneImport & { readonly isDone: boolean }
}

/** Where a table waits until it is taken in: as it came, byte for byte. */
export interface Scratch {
  /** Resolves with the number of bytes once they are kept; leaves nothing of a table that does not come whole. */
  keep(id: ImportId, bytes: AsyncIterable<Uint8Array>): Promise<Outcome<number, 'tooLarge' | 'diskFull'>>
  read(id: ImportId): AsyncIterable<Uint8Array>
  remove(id: ImportId): Promise<void>
}

export type ImportRefusal =
  | 'noSuchImport'
  | 'notATable'
  | 'tooLarge'
  | 'tooManyRows'
  | 'diskFull'
  | 'busy'
  | 'askZone'
  | 'askDayOrder'
  | 'noSuchColumn'
  | 'noSuchSensor'
  | 'noSuchPlace'
  | 'sameTwice'
  | 'tooMany'
  | 'notStored'

/** A past winter from any logger's table. */
export interface ImportDesk {
  /** Newest first. */
  imports(): readonly ImportLine[]
  /** Keeps a table as it comes and looks it through; it waits until it is taken in, for as long as Brumal runs. */
  holdTable(
    file: string,
    bytes: AsyncIterable<Uint8Array>,
    by: string,
  ): Promise<Outcome<TableLook, ImportRefusal>>
  /** Looks it through again, by what is known now. */
  lookThrough(id: ImportId, choice: LookChoice): Promise<Outcome<TableLook, ImportRefusal>>
  /** Begins to take it in, and goes on after the answer; `imports` says how far it is. */
  beginImport(id: ImportId, choice: ImportChoice, by: string): Promise<Outcome<ImportLine, ImportRefusal>>
  /** Takes back all that it added, and only that. One that only waits is forgotten. */
  undoImport(id: ImportId, by: string): Promise<Outcome<UndoneImport, ImportRefusal>>
}

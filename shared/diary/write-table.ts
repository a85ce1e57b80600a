import type { DiaryEntry, DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import { writeCsv } from './csv.ts'
import { cellsOf, entryColumns } from './entry-columns.ts'

/** Entries as a table, as `readTable` takes it. Of whom the household knows nothing any more, the id stands for the name. */
export const writeTable = (
  lines: readonly DiaryLine[],
  household: Pick<Household, 'animals' | 'places'>,
): string =>
  writeCsv([entryColumns, ...lines.map((line) => cellsOf(line, () => subjectName(line, household)))])

/** The animal or the place that it is about, as the keeper calls it. */
export function subjectName(
  { animal, place }: Pick<DiaryEntry, 'animal' | 'place'>,
  { animals, places }: Pick<Household, 'animals' | 'places'>,
): string {
  const [list, id] = animal === undefined ? [places, place] : [animals, animal]
  return list.find((one) => one.id === id)?.name ?? id ?? ''
}

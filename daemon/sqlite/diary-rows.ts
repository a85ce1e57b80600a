import { z } from 'zod'
import { DiaryKind, DiaryLine } from '../../schemas/diary.ts'
import { AnimalId, EntryId, PictureId, PlaceId } from '../../schemas/ids.ts'

const Whole = z.int()

/** A row of the diary as it was written; `entry` null: what stood before is hidden. */
const Columns = z.strictObject({
  seq: Whole.min(1),
  id: EntryId,
  at: Whole,
  animal: AnimalId.nullable(),
  place: PlaceId.nullable(),
  kind: DiaryKind,
  entry: z.string().nullable(),
  noted_by: z.string(),
  noted_at: Whole,
})

const PictureRow = z.strictObject({
  id: PictureId,
  type: z.enum(['image/jpeg', 'image/png', 'image/webp']),
  bytes: z.instanceof(Uint8Array),
  saved_at: Whole,
})

/** Whether nothing in the row has changed since it was written, as far as can be told. */
export function isDiaryRow(row: unknown): boolean {
  const { success, data } = Columns.safeParse(row)
  return success && (data.entry === null || saysAs(data.entry, data))
}
export const isPictureRow = (row: unknown): boolean => PictureRow.safeParse(row).success

/** A row's columns are what its document says. */
function saysAs(document: string, row: z.infer<typeof Columns>): boolean {
  let json: unknown
  try {
    json = JSON.parse(document)
  } catch {
    return false
  }
  const line = DiaryLine.safeParse(json)
  if (!line.success) return false
  const { id, at, animal, place, note } = line.data
  return (
    id === row.id &&
    at === row.at &&
    (animal ?? null) === row.animal &&
    (place ?? null) === row.place &&
    note.kind === row.kind
  )
}

import type { DiaryEntry } from '../../schemas/diary.ts'
import type { EntryId } from '../../schemas/ids.ts'

/** An id made of what an entry says: the same is said under the same id, whoever reads the table and however often. */
export function entryId(entry: Omit<DiaryEntry, 'id'>): EntryId {
  return `csv-${digest(canonical(entry))}` as EntryId
}

/** JSON with the keys of every object in order. */
export const canonical = (value: unknown): string =>
  JSON.stringify(value, (_key, part: unknown) =>
    typeof part === 'object' && part !== null && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).toSorted(([a], [b]) => (a < b ? -1 : 1)))
      : part,
  )

/**
 * 128 bits in hexadecimal: four rounds of FNV-1a (32 bits, over UTF-16 units) with other beginnings, each stirred at its
 * end. Not against forgers: whoever may import may write any id.
 */
function digest(text: string): string {
  return [0x811c9dc5, 0x01000193, 0x9e3779b9, 0x85ebca6b]
    .map((beginning) => {
      let hash = beginning
      for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193)
      hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d)
      hash = Math.imul(hash ^ (hash >>> 12), 0x297a2d39)
      return ((hash ^ (hash >>> 15)) >>> 0).toString(16).padStart(8, '0')
    })
    .join('')
}

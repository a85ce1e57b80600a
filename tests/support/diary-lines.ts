import type { DiaryLine } from '../../schemas/diary.ts'
import { AnimalId, EntryId, PictureId } from '../../schemas/ids.ts'
import { clock } from './store-world.ts'

const animal = AnimalId.parse('pebble')

/** One entry, weighed again each time that it is asked for. */
export const weighIn = (grams: number): DiaryLine => ({
  id: EntryId.parse('a-weigh-in'),
  at: clock(1),
  animal,
  note: { kind: 'weighed', grams },
  by: 'Ada',
  notedAt: clock(2),
})

export const feeding: DiaryLine = {
  id: EntryId.parse('a-feeding'),
  at: clock(1.5),
  animal,
  note: { kind: 'fed', food: 'dandelion', eaten: 'some' },
  text: 'slowly',
  by: 'Ada',
  notedAt: clock(2),
}

/** The signature of a PNG and nothing else. */
export const aPicture = {
  id: PictureId.parse('a-picture'),
  type: 'image/png',
  bytes: new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
} as const

import { days, later } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import { pictureKind } from '../../shared/diary/picture-kind.ts'
import type { Clock } from '../ports/clock.ts'
import type { DiaryDesk, DiaryStore } from '../ports/season.ts'
import { notStored } from './not-stored.ts'
import { stored } from './stored.ts'
import { say } from '../../shared/words/say.ts'

/** What is kept in all (X3): each copy of the database holds it again, and 30 animals once a week fill it in three years. */
export const pictureBounds = { count: 5000, bytes: 500_000_000 } as const

/** A picture is sent before the entry that names it; after a day nobody is still writing that. */
const unusedAfter = days(1)

/** Pictures of animals and places. One is never written over: an id stands for the same bytes for good. */
export function openPictures(world: {
  readonly household: () => Household
  readonly diary: DiaryStore
  readonly clock: Clock
}): Pick<DiaryDesk, 'savePicture' | 'picture'> {
  const { diary, clock, household } = world

  return {
    savePicture(id, picture) {
      if (pictureKind(picture.bytes) !== picture.type)
        return {
          ok: false,
          error: 'notAPicture',
          sentence: say('This is not a JPEG, PNG or WebP picture of its type.'),
        }
      const before = diary.picture(id)
      if (before !== null)
        return isSamePicture(before.bytes, picture.bytes)
          ? { ok: true, value: null }
          : { ok: false, error: 'idTaken', sentence: say('Another picture has this name already.') }
      const now = clock.now()
      const portraits = household().animals.flatMap(({ portrait }) => portrait ?? [])
      if (!stored(() => diary.sweepPictures(later(now, -unusedAfter), portraits))) return notStored
      const { count, bytes } = diary.pictures()
      if (count >= pictureBounds.count || bytes + picture.bytes.length > pictureBounds.bytes)
        return {
          ok: false,
          error: 'tooMany',
          sentence: say('There is no room for more pictures: {count}, or 500 MB, are kept at most.', {
            count: pictureBounds.count,
          }),
        }
      return stored(() => diary.savePicture(id, picture, now)) ? { ok: true, value: null } : notStored
    },
    picture: (id) => diary.picture(id),
  }
}

const isSamePicture = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i])

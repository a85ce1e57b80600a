import type { EntryId, PictureId } from '../../schemas/ids.ts'

/** Bytes of an id: chance enough that no two phones ever make the same. */
const idBytes = 8

/** A new entry's id, made once: the same entry sent again after a broken answer is still one. */
export const freshEntryId = (): EntryId => freshId() as EntryId
export const freshPictureId = (): PictureId => freshId() as PictureId

const freshId = (): string =>
  [...crypto.getRandomValues(new Uint8Array(idBytes))]
    .map((byte) => byte.toString(16).padStart(2, '0'))
    .join('')

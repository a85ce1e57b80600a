export type PictureKind = 'image/jpeg' | 'image/png' | 'image/webp'

/**
 * What the first bytes say: the JPEG start of image and its first marker (ITU-T T.81, B.1.1.3), the PNG signature (ISO/IEC
 * 15948, 5.2), a RIFF container of form WEBP (RFC 9649, 2.4). Null: none of these.
 */
export function pictureKind(bytes: Uint8Array): PictureKind | null {
  if (hasAt(bytes, 0, [0xff, 0xd8, 0xff])) return 'image/jpeg'
  if (hasAt(bytes, 0, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return 'image/png'
  if (hasAt(bytes, 0, [0x52, 0x49, 0x46, 0x46]) && hasAt(bytes, 8, [0x57, 0x45, 0x42, 0x50]))
    return 'image/webp'
  return null
}

const hasAt = (bytes: Uint8Array, from: number, wanted: readonly number[]): boolean =>
  wanted.every((byte, i) => bytes[from + i] === byte)

/** Longest side of a kept picture, pixels: enough to see an eye or a shell on any screen. */
const longestSide = 1600
/** Largest kept picture, bytes: a hundred of them stay small beside a winter of readings. */
const mostBytes = 400_000

/** Tried in turn until it is small enough. */
const qualities = [0.82, 0.7, 0.55, 0.4] as const
/** When even the coarsest is too large, the sides shrink by this. */
const shrink = 0.75

/**
 * The picture as a JPEG that fits. It is drawn anew, so that nothing else of the file goes along: no place, no time, no
 * name of the phone. Null: the file is no picture that this browser can read.
 */
export async function scaledPicture(file: Blob, canvas: HTMLCanvasElement): Promise<Blob | null> {
  const bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' }).catch(() => null)
  if (bitmap === null) return null
  let scale = Math.min(1, longestSide / Math.max(bitmap.width, bitmap.height))
  try {
    for (;;) {
      canvas.width = Math.max(1, Math.round(bitmap.width * scale))
      canvas.height = Math.max(1, Math.round(bitmap.height * scale))
      const pen = canvas.getContext('2d')
      if (pen === null) return null
      pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height)
      for (const quality of qualities) {
        const blob = await new Promise<Blob | null>((resolve) =>
          canvas.toBlob(resolve, 'image/jpeg', quality),
        )
        if (blob === null) return null
        if (blob.size <= mostBytes) return blob
      }
      scale *= shrink
    }
  } finally {
    bitmap.close()
  }
}

/**
 * Watches an MQTT byte stream and calls `onTooLarge` once when a packet announces more than `limit` bytes after its
 * fixed header. The libraries' parser would first collect it whole, up to 256 MB (MQTT 3.1.1 §2.2.3).
 */
export function packetSizeGuard(limit: number, onTooLarge: () => void): (chunk: Uint8Array) => void {
  let skip = 0 // bytes of the packet in hand still to come
  let isInLength = false
  let length = 0
  let factor = 1
  let isOver = false

  return (chunk) => {
    let at = 0
    while (at < chunk.length && !isOver) {
      if (skip > 0) {
        const step = Math.min(skip, chunk.length - at)
        skip -= step
        at += step
      } else if (!isInLength) {
        isInLength = true
        length = 0
        factor = 1
        at += 1 // packet type and flags
      } else {
        const byte = chunk[at] ?? 0
        at += 1
        length += (byte & 0x7f) * factor
        factor *= 128
        if (length > limit) {
          isOver = true
          onTooLarge()
        } else if (byte < 0x80) {
          isInLength = false
          skip = length
        }
      }
    }
  }
}

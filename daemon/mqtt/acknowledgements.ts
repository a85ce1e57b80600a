export interface Acknowledgements {
  /** Notes a packet that waits for its acknowledgement; the answer marks it as stored. */
  add(messageId: number): () => void
  /** Writes now what may be written. */
  flush(): void
}

/**
 * PUBACKs of one connection, written in the order of arrival (MQTT 3.1.1 [MQTT-4.6.0-2]) whatever the order of
 * storing, and as one buffer for all that are stored in the same turn. Message ids belong to one connection: make a
 * new one for the next.
 */
export function acknowledgements(write: (bytes: Uint8Array) => void): Acknowledgements {
  const waiting: { readonly messageId: number; isStored: boolean }[] = []
  let isFlushDue = false

  function flush(): void {
    isFlushDue = false
    let count = 0
    while (waiting[count]?.isStored) count += 1
    if (count === 0) return
    const bytes = new Uint8Array(count * 4)
    waiting.splice(0, count).forEach(({ messageId }, i) => {
      bytes.set([PUBACK, 2, messageId >> 8, messageId & 0xff], i * 4)
    })
    write(bytes)
  }

  return {
    add(messageId) {
      const entry = { messageId, isStored: false }
      waiting.push(entry)
      return () => {
        entry.isStored = true
        if (isFlushDue) return
        isFlushDue = true
        queueMicrotask(flush)
      }
    },
    flush,
  }
}

const PUBACK = 0x40 // MQTT 3.1.1 §3.4

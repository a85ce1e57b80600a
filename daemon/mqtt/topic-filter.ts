/** Levels of a topic: the deepest sensible one, `house/floor/room/rack/fridge/box/probe/quantity`, has eight (X3). */
const MAX_TOPIC_LEVELS = 12

/** Bytes in UTF-8, as long as a sensor's filter may be (X3). */
const MAX_TOPIC_BYTES = 200

/** A topic that may be looked at: not empty, not too deep or long, no wildcard, control character or lone surrogate. */
export function isUsableTopic(topic: string): boolean {
  if (topic.length === 0 || topic.length > MAX_TOPIC_BYTES || UNUSABLE.test(topic)) return false
  if (Buffer.byteLength(topic) > MAX_TOPIC_BYTES) return false
  return topic.split('/', MAX_TOPIC_LEVELS + 1).length <= MAX_TOPIC_LEVELS
}

export const hasWildcard = (filter: string): boolean => /[+#]/.test(filter)

/**
 * MQTT 3.1.1 §4.7: `+` stands for one level, even an empty one; `#` for its parent and everything below. A filter that
 * begins with a wildcard matches no topic that begins with `$`.
 */
export function matchesFilter(filter: string, topic: string): boolean {
  return matchesLevels(filter.split('/'), topic.split('/'))
}

/** The same on levels already split. */
export function matchesLevels(filter: readonly string[], topic: readonly string[]): boolean {
  if (topic[0]!.startsWith('$') && (filter[0] === '+' || filter[0] === '#')) return false
  for (const [i, level] of filter.entries()) {
    if (level === '#') return true // also where the topic has ended: `sport/#` matches `sport`
    if (i >= topic.length || (level !== '+' && level !== topic[i])) return false
  }
  return filter.length === topic.length
}

const UNUSABLE = /[\p{Cc}\p{Cs}+#]/u

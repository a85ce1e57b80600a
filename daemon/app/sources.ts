import type { Refusal, Source } from '../../schemas/source.ts'
import type { Instant } from '../../schemas/units.ts'
import type { ReadingCounts } from '../../shared/metrics/facts.ts'
import type { Arrival } from '../ports/intake.ts'

/** Topics remembered (X3): ten times a large household; the one heard longest ago makes room. */
const mostTopics = 500
const sampleLength = 200

export interface Sources {
  /** Says whether this topic was heard for the first time. */
  hear(arrival: Arrival, at: Instant): boolean
  /** Newest first. */
  list(): readonly Source[]
  /** Messages since the start, and those that were refused, by the reason. */
  counts(): Pick<ReadingCounts, 'messages' | 'refused'>
}

/** What each topic last carried and why anything was refused. Kept in memory: a source shows itself again soon enough. */
export function rememberSources(): Sources {
  const sources = new Map<string, Kept>()
  let messages = 0
  const refused = new Map<Refusal, number>()
  return {
    counts: () => ({ messages, refused: Object.fromEntries(refused) }),
    hear(arrival, at) {
      messages += 1
      if (arrival.refusal !== null) refused.set(arrival.refusal, (refused.get(arrival.refusal) ?? 0) + 1)
      const known = sources.get(arrival.topic)
      const kept = known ?? { source: emptySource(arrival.topic, at), payload: arrival.payload }
      // Moved to the end of the map: its order is the order of last hearing.
      sources.delete(arrival.topic)
      sources.set(arrival.topic, kept)
      const { source } = kept
      source.heard += 1
      source.lastAt = at
      source.claimedBy = arrival.claimedBy
      source.lastRefusal = arrival.refusal
      kept.payload = arrival.payload
      if (arrival.refusal !== null)
        source.refused[arrival.refusal] = (source.refused[arrival.refusal] ?? 0) + 1
      else if (arrival.found.length > 0) source.found = arrival.found
      if (known === undefined && sources.size > mostTopics) {
        const oldest = sources.keys().next().value
        if (oldest !== undefined) sources.delete(oldest)
      }
      return known === undefined
    },
    list: () =>
      [...sources.values()].reverse().map(({ source, payload }) => ({
        ...source,
        topic: source.topic.slice(0, 200),
        claimedBy: [...source.claimedBy],
        found: source.found.slice(0, 20),
        refused: { ...source.refused },
        sample: sampleOf(payload),
      })),
  }
}

type Draft = Omit<Source, 'sample' | 'claimedBy' | 'found'> & {
  claimedBy: Arrival['claimedBy']
  found: Arrival['found']
}

interface Kept {
  readonly source: Draft
  /** Turned to text only when somebody looks. */
  payload: Uint8Array
}

function emptySource(topic: string, at: Instant): Draft {
  return { topic, claimedBy: [], heard: 0, refused: {}, lastAt: at, found: [], lastRefusal: null }
}

/** Text as it is, anything else as hex; control characters made visible. */
function sampleOf(payload: Uint8Array): string {
  const start = payload.subarray(0, sampleLength)
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(payload.subarray(0, sampleLength * 4))
    // Text with control characters is no text for people.
    if (!/[\u0000-\u0008\u000e-\u001f\u007f]/.test(text)) return text.slice(0, sampleLength)
  } catch {
    // Not text: shown as hex below.
  }
  return Buffer.from(start.subarray(0, sampleLength / 2)).toString('hex')
}

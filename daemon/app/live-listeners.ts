import type { LiveEvent } from '../../schemas/api.ts'

interface LiveListeners {
  isHeard(): boolean
  subscribe(listener: (event: LiveEvent) => void): () => void
  publish(event: LiveEvent): void
}

/** Those who want to hear at once what happens: open pages. */
export function liveListeners(): LiveListeners {
  const listeners = new Set<(event: LiveEvent) => void>()
  return {
    isHeard: () => listeners.size > 0,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    publish(event) {
      for (const listener of listeners) listener(event)
    },
  }
}

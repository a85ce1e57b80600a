import { signal, type ReadonlySignal } from '@preact/signals'
import type { LiveEvent } from '../../schemas/api.ts'
import type { JournalKind } from '../../schemas/journal.ts'
import type { TellingNow } from '../../schemas/telling-now.ts'
import type { Ask } from './ask.ts'

export interface Telling {
  /** Who is told and whether it works; null for whoever may not see it, and before the first answer. */
  readonly now: ReadonlySignal<TellingNow | null>
  refresh(): Promise<void>
  /** Asks anew where the event says that a message came to something, or that contacts have changed. */
  hear(event: LiveEvent): void
  forget(): void
}

/** Keepers alone may see how people are reached. `soon` gathers several events into one question. */
export function createTelling(ask: Ask, isKeeper: () => boolean, soon: (run: () => void) => void): Telling {
  const now = signal<TellingNow | null>(null)
  let isDue = false

  const refresh = async (): Promise<void> => {
    if (!isKeeper()) return
    const answer = await ask<TellingNow>('GET', '/api/telling')
    if (answer.ok && isKeeper()) now.value = answer.value
  }

  return {
    now,
    refresh,
    hear(event) {
      if (isDue || event.kind !== 'journal' || !telling.has(event.line.kind)) return
      isDue = true
      soon(() => {
        isDue = false
        void refresh()
      })
    },
    forget() {
      now.value = null
    },
  }
}

const telling: ReadonlySet<JournalKind> = new Set(['told', 'notTold', 'channelGone', 'rang', 'changed'])

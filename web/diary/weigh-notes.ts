import { useSignal, type ReadonlySignal } from '@preact/signals'
import type { EntryId } from '../../schemas/ids.ts'

/** A weigh-in that is not saved yet. */
export interface WeighNote {
  readonly id: EntryId
  /** When it was first to be saved, in ms: a second try is still the same weigh-in. */
  readonly at: number | null
  readonly typed: string
  readonly box: 'dry' | 'wet' | null
}

export type WeighNotes = Readonly<Record<string, WeighNote>>

const key = 'brumal-weigh'
const stepKey = 'brumal-scale-step'

/** What was typed and not saved, by animal. Kept as long as this tab is: a cellar often has no network. */
export function useWeighNotes(): {
  readonly notes: ReadonlySignal<WeighNotes>
  keep(animal: string, note: WeighNote | null): void
} {
  const notes = useSignal<WeighNotes>(read())
  return {
    notes,
    keep(animal, note) {
      const { [animal]: _, ...others } = notes.value
      notes.value = note === null ? others : { ...others, [animal]: note }
      try {
        sessionStorage.setItem(key, JSON.stringify(notes.value))
      } catch {
        // A browser that keeps nothing: what was typed stays as long as the page is open
      }
    },
  }
}

/** The step of the scale that is used with this device, g; null: never said. */
export function useScaleStep(): {
  readonly step: ReadonlySignal<number | null>
  keep(step: number | null): void
} {
  const step = useSignal<number | null>(readStep())
  return {
    step,
    keep(next) {
      step.value = next
      try {
        if (next === null) localStorage.removeItem(stepKey)
        else localStorage.setItem(stepKey, String(next))
      } catch {
        // Said again next time
      }
    },
  }
}

/** Written by `keep` alone. */
function read(): WeighNotes {
  try {
    const kept: unknown = JSON.parse(sessionStorage.getItem(key) ?? '{}')
    return typeof kept === 'object' && kept !== null ? (kept as WeighNotes) : {}
  } catch {
    return {}
  }
}

function readStep(): number | null {
  try {
    const step = Number(localStorage.getItem(stepKey))
    return step > 0 ? step : null
  } catch {
    return null
  }
}

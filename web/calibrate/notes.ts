import { useSignal, type ReadonlySignal } from '@preact/signals'
import type { CalibratedQuantity, Reference } from '../../schemas/calibration.ts'
import type { Instant } from '../../schemas/units.ts'
import type { BathQuality } from '../../shared/sensing/ice-point.ts'
import type { Way } from './ways.ts'

/** What somebody has said of a check so far; the readings are the daemon's. */
export interface Notes {
  readonly way: Way
  readonly bath: BathQuality
  readonly quantity: CalibratedQuantity
  /** It was taken away, and a check is running. */
  readonly isAway: boolean
  readonly since: Instant
  readonly immersedAt: Instant | null
  readonly points: readonly Reference[]
  /** Over but for putting the sensor back: whether a correction was taken. */
  readonly ended: 'taken' | 'givenUp' | null
}

export interface KeptNotes {
  readonly notes: ReadonlySignal<Notes | null>
  keep(notes: Notes | null): void
}

/** Kept as long as this tab is, so that loading the page anew loses nothing, and signing out leaves nothing to the next. */
export function useNotes(sensor: string): KeptNotes {
  const key = `brumal-check ${sensor}`
  const notes = useSignal<Notes | null>(read(key))
  return {
    notes,
    keep(next) {
      notes.value = next
      try {
        if (next === null) sessionStorage.removeItem(key)
        else sessionStorage.setItem(key, JSON.stringify(next))
      } catch {
        // A browser that keeps nothing: the check goes on as long as the page is open
      }
    },
  }
}

/** Written by `keep` alone; of an earlier page's shape it would be without a way. */
function read(key: string): Notes | null {
  try {
    const kept: unknown = JSON.parse(sessionStorage.getItem(key) ?? 'null')
    return typeof kept === 'object' && kept !== null && 'way' in kept ? (kept as Notes) : null
  } catch {
    return null
  }
}

import { type Signal, signal } from '@preact/signals'

/** A choice about the first steps that this browser remembers; no secret. */
export interface KeptChoice {
  readonly value: Signal<string | null>
  keep(choice: string | null): void
}

/** The first steps are put away. */
export const putAway: KeptChoice = keptChoice('brumal-first-steps')
/** The house's time zone that was kept although this browser has another. */
export const keptZone: KeptChoice = keptChoice('brumal-zone-kept')

function keptChoice(key: string): KeptChoice {
  const value = signal(read(key))
  return {
    value,
    keep(choice) {
      value.value = choice
      try {
        if (choice === null) localStorage.removeItem(key)
        else localStorage.setItem(key, choice)
      } catch {
        // a browser that keeps nothing asks again at the next visit
      }
    },
  }
}

function read(key: string): string | null {
  try {
    return localStorage.getItem(key)
  } catch {
    return null
  }
}

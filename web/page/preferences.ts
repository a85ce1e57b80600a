import { signal } from '@preact/signals'
import { type Hours, type Reader, readAs, reader, type Units } from '../../shared/words/reader.ts'

/**
 * How this browser shows what it is told, whoever is signed in at it. The language stands beside it, in `language.ts`,
 * since the words come before everything else.
 */
export interface Preferences {
  readonly units: Units
  readonly hours: Hours
}

/** Where this browser keeps them. */
const keptAt = { units: 'brumal-units', hours: 'brumal-hours' } as const

/** Counts the times that they were changed on this page: what is drawn already asks it whether it is to be drawn anew. */
export const changes = signal(0)

/** What is usual where the browser says that it is. */
export function usualIn(locale: string): Preferences {
  const region = new Intl.Locale(locale).region
  // A browser that tells a language and no place: English of no place is not taken for one of the places of °F
  if (region === undefined) return { units: 'celsius', hours: 'h23' }
  const cycle = new Intl.DateTimeFormat(locale, { hour: 'numeric' }).resolvedOptions().hourCycle
  return {
    units: fahrenheitIn.has(region) ? 'fahrenheit' : 'celsius',
    hours: cycle === 'h11' || cycle === 'h12' ? 'h12' : 'h23',
  }
}

/** Regions by Unicode CLDR, supplemental data, measurement system of temperature; from memory. */
const fahrenheitIn: ReadonlySet<string> = new Set(['US', 'BS', 'BZ', 'KY', 'PR', 'PW'])

/** Who reads here: what was chosen at this browser, else what is usual where it is. */
export function readerHere(locale: string): Reader {
  const usual = usualIn(locale)
  return {
    units: one(['celsius', 'fahrenheit'], kept(keptAt.units)) ?? usual.units,
    hours: one(['h23', 'h12'], kept(keptAt.hours)) ?? usual.hours,
    locale,
  }
}

/** Keeps a choice in this browser and reads by it from here on. */
export function prefer(chosen: Partial<Preferences>): void {
  readAs({ ...reader(), ...chosen })
  changes.value += 1
  try {
    for (const [name, value] of Object.entries(chosen))
      localStorage.setItem(keptAt[name as keyof Preferences], value)
  } catch {
    // a browser that keeps nothing goes by it until the page is closed
  }
}

const one = <T extends string>(among: readonly T[], value: string | null): T | null =>
  among.find((known) => known === value) ?? null

function kept(name: string): string | null {
  try {
    return localStorage.getItem(name)
  } catch {
    return null
  }
}

import { later } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { type Airing as OxygenPoint, daysPerOxygenPoint } from './oxygen.ts'

/** A door that was opened, by the air's jump or a contact's word; `until` is when it was shut, where that is known. */
export interface DoorOpening {
  readonly at: number
  readonly until?: number | undefined
}

/** When fresh air last came in. `ago` in ms, nothing while the door stands open. */
export interface LastAiring {
  readonly at: Instant
  readonly ago: Millis
}

/**
 * The newest airing among the openings of one door, in any order; null where none is known. Each opening counts, however short: what
 * air comes in is not measured (S4). Those ahead of the clock do not count.
 */
export function lastAiring(openings: readonly DoorOpening[], now: Instant): LastAiring | null {
  let newest: LastAiring | null = null
  for (const { at, until = at } of openings) {
    if (!(at <= now)) continue
    const shut = Math.min(now, Math.max(at, until))
    const ago = now - shut
    if (newest === null || ago < newest.ago || (ago === newest.ago && at > newest.at))
      newest = { at: at as Instant, ago: ago as Millis }
  }
  return newest
}

/**
 * When a door is to be opened again, `every` so long; null where that is not asked for. Before the first opening it counts from `since`,
 * when its animals went in; an older opening does not count.
 */
export function nextAiring(
  last: LastAiring | null,
  { since, every, now }: { readonly since: Instant; readonly every: Millis; readonly now: Instant },
): { readonly at: Instant; readonly isDue: boolean } | null {
  if (!(every > 0)) return null
  const shut = last === null ? since : later(now, -last.ago)
  const at = later(shut > since ? shut : since, every)
  return { at, isDue: at <= now }
}

/** One who breathes in there; null where its mass is not known. */
interface Breather {
  readonly name: string
  readonly kilograms: number | null
}

/** What the air inside is reckoned from, as far as it is known. */
export interface InnerAir {
  readonly litres: number | null
  readonly celsius: number | null
  readonly breathers: readonly Breather[]
}

export type OxygenLeft =
  | { readonly kind: 'known'; readonly days: number; readonly leastDays: number }
  /** Nobody uses up air. */
  | { readonly kind: 'nobody' }
  /** Which figures are missing: `masses` by the names of those who were not weighed. */
  | {
      readonly kind: 'missing'
      readonly litres: boolean
      readonly celsius: boolean
      readonly masses: readonly string[]
    }

/** In how many days they take one percentage point of oxygen out of closed air, or what is missing to say so. */
export function oxygenLeft({ litres, celsius, breathers }: InnerAir): OxygenLeft {
  if (breathers.length === 0) return { kind: 'nobody' }
  const masses = breathers.filter(({ kilograms }) => !isMass(kilograms)).map(({ name }) => name)
  const kilograms = breathers.map((one) => one.kilograms).filter(isMass)
  const hasLitres = litres !== null && litres > 0
  if (!hasLitres || celsius === null || masses.length > 0)
    return { kind: 'missing', litres: !hasLitres, celsius: celsius === null, masses }
  const point: OxygenPoint = daysPerOxygenPoint({ litres, kilograms, celsius })
  if (!point.ok) return { kind: 'missing', litres: false, celsius: true, masses: [] }
  return { kind: 'known', days: point.value.days, leastDays: point.value.leastDays }
}

const isMass = (kilograms: number | null): kilograms is number => kilograms !== null && kilograms > 0

import type { BandColumns } from '../../schemas/api.ts'
import type { Limit, LimitName } from '../../schemas/band.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { silentAfter } from '../sensing/freshness.ts'
import { limitNames } from './limit-names.ts'
import type { Layout } from './layout.ts'
import { isOut } from './limit.ts'
import { rulesAt } from './place-rules.ts'
import type { PlaceRules } from './watch-state.ts'

/** Time in ms on each side of the band; together they fill the stretch. */
export interface Zones {
  lowCritical: number
  low: number
  inside: number
  high: number
  highCritical: number
  unknown: number
}

type Point = readonly [at: Instant, value: number]

/**
 * How long the values of one sensor lay on each side of the band in force, from `from` (included) to `to` (left out).
 * A value holds until the next one or until its sensor is stale (L2); then nothing is known. `good` is ascending.
 */
export function zoneTimes(
  layout: Layout,
  s: number,
  quantity: Quantity,
  stretch: { readonly from: Instant; readonly to: Instant },
  before: Point | null,
  good: readonly Point[],
): Zones {
  const zones: Zones = { lowCritical: 0, low: 0, inside: 0, high: 0, highCritical: 0, unknown: 0 }
  const spec = layout.sensors[s]
  if (spec === undefined) return { ...zones, unknown: stretch.to - stretch.from }
  const patience = silentAfter(spec)
  const bandOf = bandWalker(layout, layout.placeOfSensor[s] ?? -1)

  let at = stretch.from
  let held = before
  const fill = (until: Instant) => {
    const staleAt = held === null ? at : ((held[0] + patience) as Instant)
    const known = Math.min(until, Math.max(at, staleAt)) as Instant
    while (held !== null && at < known) {
      const rules = bandOf(at)
      const next = Math.min(known, rules?.until ?? known) as Instant
      zones[zoneOf(rules?.limits[quantity], held[1])] += next - at
      at = next
    }
    zones.unknown += until - Math.max(at, Math.min(at, known))
    at = until
  }
  for (const point of good) {
    if (point[0] >= stretch.to) break
    if (point[0] > at) fill(point[0])
    held = point
  }
  if (at < stretch.to) fill(stretch.to)
  return zones
}

/** The band of a place from `from` (included) to `to` (left out), a row at each instant where it changes. */
export function bandColumns(
  layout: Layout,
  p: number,
  quantity: Quantity,
  from: Instant,
  to: Instant,
): BandColumns {
  const columns: BandColumns = { at: [], lowCritical: [], low: [], high: [], highCritical: [] }
  const bandOf = bandWalker(layout, p)
  let at: Instant | null = from
  while (at !== null && at < to) {
    const rules = bandOf(at)
    columns.at.push(at)
    for (const name of limitNames) columns[name].push(rules?.bands[quantity]?.[name]?.value ?? null)
    at = rules?.until ?? null
  }
  return columns
}

/** On which side of the band of place `p` a value lies, asked at ascending instants. */
export function zoneWalker(
  layout: Layout,
  p: number,
  quantity: Quantity,
): (at: Instant, value: number) => keyof Zones {
  const bandOf = bandWalker(layout, p)
  return (at, value) => zoneOf(bandOf(at)?.limits[quantity], value)
}

/** Rules of place `p` at ascending instants, worked out anew only when they change. */
function bandWalker(layout: Layout, p: number): (at: Instant) => PlaceRules | null {
  const here = layout.places[p]
  let rules: PlaceRules | null = null
  return (at) => {
    if (here === undefined) return null
    if (rules === null || (rules.until !== null && rules.until <= at))
      rules = rulesAt(here, layout.household.guidance, at)
    return rules
  }
}

function zoneOf(limits: readonly (Limit | null)[] | undefined, value: number): keyof Zones {
  if (limits === undefined) return 'inside'
  for (const name of ['lowCritical', 'highCritical', 'low', 'high'] as const satisfies readonly LimitName[]) {
    const limit = limits[limitNames.indexOf(name)]
    if (limit && isOut(limit, value)) return name
  }
  return 'inside'
}

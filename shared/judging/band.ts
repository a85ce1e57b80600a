import type { Animal } from '../../schemas/animal.ts'
import type { Band, BandLimit, Bands, Limit, LimitName } from '../../schemas/band.ts'
import type { OwnLimit, Place } from '../../schemas/place.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Guidance, PhaseBand, SourcedLimit, SpeciesProfile } from '../../schemas/species.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { foodFigures, limitSource } from '../animals/live-food.ts'
import { valueWords } from '../telling/words.ts'
import { nearFreezing } from './guard-figures.ts'
import { isCritical, isLowSide, usualClearFor, usualDeadband, usualFor } from './limit-names.ts'
import { type PhaseNow, phaseAt } from './phase-at.ts'
import { say } from '../words/say.ts'

/** How often an interpolated band is drawn anew: at 5 K a week it moves by 0.002 K in this time. */
const interpolationStep: Millis = minutes(5)

export interface Tenant {
  readonly animal: Animal
  readonly profile: SpeciesProfile
}

/** A band that could not be met: no value suits both owners. */
export interface BandConflict {
  readonly quantity: Quantity
  readonly first: string
  readonly second: string
}

export interface BandsNow {
  readonly bands: Bands
  /** Until when this band holds as it is; null for ever. */
  readonly until: Instant | null
  readonly conflict: BandConflict | null
  /** The near-freezing limit of the animals, °C, that is guarded (L9); null where none is. */
  readonly guarded: number | null
}

/**
 * The band in force in a place (L8): the intersection of its animals' bands in their phases, of what its live food needs
 * (S5) and of the keeper's own limits. During cool-down and warm-up each limit moves linearly in time between the active and the hold band; a limit
 * that only one of them knows waits for that phase.
 */
export function bandsAt(place: Place, tenants: readonly Tenant[], guidance: Guidance, at: Instant): BandsNow {
  const edges = new Map<Quantity, Map<LimitName, BandLimit>>()
  let until: Instant | null = null
  let guarded: number | null = null
  for (const tenant of tenants) {
    const now = phaseAt(tenant.animal, at)
    until = earlier(until, now.until)
    if (isMoving(now)) until = earlier(until, (at + interpolationStep) as Instant)
    for (const quantity of ['temperature', 'humidity'] as const)
      for (const limit of limitsOf(tenant, quantity, now, guidance, at)) {
        tighten(edges, quantity, limit.name, limit.limit)
        if (quantity === 'temperature' && limit.name === 'lowCritical' && limit.limit.value <= nearFreezing)
          guarded = Math.max(guarded ?? -Infinity, limit.limit.value)
      }
  }
  for (const { name, limit } of cultureLimits(place)) tighten(edges, 'temperature', name, limit)
  for (const own of place.ownLimits) tighten(edges, own.quantity, own.limit, ownLimit(own))
  const bands: Bands = {}
  let conflict: BandConflict | null = null
  for (const [quantity, band] of edges) {
    bands[quantity] = bandOf(band)
    conflict ??= conflictIn(quantity, band)
  }
  return { bands, until, conflict, guarded }
}

/** The limit as the judge sees it. */
export function asLimit(quantity: Quantity, name: LimitName, limit: BandLimit): Limit {
  const low = isLowSide(name)
  return {
    id: name,
    quantity,
    compare: low ? (limit.inclusive ? 'atOrBelow' : 'below') : limit.inclusive ? 'atOrAbove' : 'above',
    value: limit.value,
    for: limit.for,
    clearFor: limit.clearFor,
    deadband: limit.deadband,
    counting: 'continuous',
    priority: limit.priority,
  }
}

interface NamedLimit {
  readonly name: LimitName
  readonly limit: BandLimit
}

const isMoving = (now: PhaseNow): boolean =>
  (now.phase === 'coolDown' || now.phase === 'warmUp') && now.from !== null && now.until !== null

function limitsOf(
  tenant: Tenant,
  quantity: 'temperature' | 'humidity',
  now: PhaseNow,
  guidance: Guidance,
  at: Instant,
): NamedLimit[] {
  const { profile, animal } = tenant
  const active = profile.active[quantity]
  const hold = (profile.hold ?? ({ temperature: [], humidity: [] } satisfies PhaseBand))[quantity]
  const whose = (phase: string) => `${animal.name} (${profile.common}, ${phase})`
  switch (now.phase) {
    case 'feedUp':
    case 'fast':
    case 'awake':
      return active.map((sourced) =>
        named(sourced, valueOf(sourced, guidance), whose(say('awake')), quantity),
      )
    case 'hold':
      return hold.map((sourced) =>
        named(sourced, valueOf(sourced, guidance), whose(say('in hold')), quantity),
      )
    case 'coolDown':
    case 'warmUp': {
      const cooling = now.phase === 'coolDown'
      const [start, end] = cooling ? [active, hold] : [hold, active]
      return start.flatMap((from) => {
        const to = end.find((other) => other.limit === from.limit)
        if (to === undefined) return []
        const value = between(from.limit, valueOf(from, guidance), valueOf(to, guidance), now, at)
        return [named(to, value, whose(cooling ? say('cooling down') : say('warming up')), quantity)]
      })
    }
    default:
      return now.phase satisfies never
  }
}

/** Linear in time; the looser of the two while the end is not planned. */
function between(limit: LimitName, start: number, end: number, now: PhaseNow, at: Instant): number {
  if (now.from === null || now.until === null)
    return isLowSide(limit) ? Math.min(start, end) : Math.max(start, end)
  const done = (at - now.from) / (now.until - now.from)
  return start + (end - start) * Math.min(1, Math.max(0, done))
}

const valueOf = (sourced: SourcedLimit, guidance: Guidance): number =>
  guidance === 'lenient' ? (sourced.lenient ?? sourced.value) : sourced.value

function named(sourced: SourcedLimit, value: number, because: string, quantity: Quantity): NamedLimit {
  return {
    name: sourced.limit,
    limit: {
      value,
      inclusive: sourced.inclusive,
      for: sourced.for,
      clearFor: usualClearFor,
      deadband: usualDeadband[quantity] ?? 0,
      priority: sourced.priority,
      because: because.slice(0, 200),
      source: sourced.source.slice(0, 400),
    },
  }
}

/** Live food is lost slowly: its limits are of low and medium priority. */
const cultureLimits = ({ culture }: Place): readonly NamedLimit[] =>
  culture === undefined
    ? []
    : foodFigures[culture.food].limits.map(({ limit, celsius, for: delay, priority }) => ({
        name: limit,
        limit: {
          value: celsius,
          // "Below 20 °C": at the limit itself they are well.
          inclusive: false,
          for: delay,
          clearFor: usualClearFor,
          deadband: usualDeadband.temperature ?? 0,
          priority,
          because: foodFigures[culture.food].name,
          source: limitSource,
        },
      }))

function ownLimit(own: OwnLimit): BandLimit {
  return {
    value: own.value,
    inclusive: true,
    for: own.for ?? usualFor(own.limit),
    clearFor: own.clearFor ?? usualClearFor,
    deadband: own.deadband ?? usualDeadband[own.quantity] ?? 0,
    priority: own.priority ?? (isCritical(own.limit) ? 'high' : 'medium'),
    because: say('set by the keeper'),
    source: null,
  }
}

function tighten(
  edges: Map<Quantity, Map<LimitName, BandLimit>>,
  quantity: Quantity,
  name: LimitName,
  limit: BandLimit,
): void {
  let band = edges.get(quantity)
  if (band === undefined) {
    band = new Map()
    edges.set(quantity, band)
  }
  const held = band.get(name)
  if (held === undefined || isTighter(name, limit, held)) band.set(name, limit)
}

function isTighter(name: LimitName, one: BandLimit, other: BandLimit): boolean {
  if (one.value !== other.value) return isLowSide(name) ? one.value > other.value : one.value < other.value
  if (one.inclusive !== other.inclusive) return one.inclusive
  return one.for < other.for
}

function bandOf(edges: ReadonlyMap<LimitName, BandLimit>): Band {
  return {
    lowCritical: edges.get('lowCritical') ?? null,
    low: edges.get('low') ?? null,
    high: edges.get('high') ?? null,
    highCritical: edges.get('highCritical') ?? null,
  }
}

/** The first pair of a low and a high edge that leave no value between them. */
function conflictIn(quantity: Quantity, edges: ReadonlyMap<LimitName, BandLimit>): BandConflict | null {
  for (const lowName of ['low', 'lowCritical'] as const)
    for (const highName of ['high', 'highCritical'] as const) {
      const low = edges.get(lowName)
      const high = edges.get(highName)
      if (low === undefined || high === undefined || low.value < high.value) continue
      return {
        quantity,
        first: say('{because} needs more than {value}', {
          because: low.because,
          value: valueWords(quantity, low.value),
        }),
        second: say('{because} needs less than {value}', {
          because: high.because,
          value: valueWords(quantity, high.value),
        }),
      }
    }
  return null
}

function earlier(one: Instant | null, other: Instant | null): Instant | null {
  if (one === null) return other
  return other === null || one < other ? one : other
}

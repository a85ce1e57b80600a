import type { Band, BandLimit, Bands } from '../../schemas/band.ts'
import type { TriedLimit } from '../../schemas/what-if.ts'
import type { BandsNow } from './band.ts'
import { isCritical, usualClearFor, usualDeadband, usualFor } from './limit-names.ts'
import { nearFreezing } from './guard-figures.ts'

/**
 * The bands with the limits that somebody tries in place of those in force. A value that is given stands for what the
 * animals need, whatever the plan says; where only delays are given, the value follows the plan.
 */
export function withTried(now: BandsNow, tried: readonly TriedLimit[]): BandsNow {
  const bands: Bands = { ...now.bands }
  let { guarded } = now
  for (const one of tried) {
    const band: Band = bands[one.quantity] ?? none
    const limit = triedLimit(one, band[one.limit])
    bands[one.quantity] = { ...band, [one.limit]: limit }
    // Guarded as the limit of the animals is that it stands for (L9); elsewhere there is none to guard.
    if (one.quantity !== 'temperature' || one.limit !== 'lowCritical' || one.value === undefined) continue
    guarded = guarded !== null && limit !== null && limit.value <= nearFreezing ? limit.value : null
  }
  return { ...now, bands, guarded }
}

const none: Band = { lowCritical: null, low: null, high: null, highCritical: null }

function triedLimit(tried: TriedLimit, today: BandLimit | null): BandLimit | null {
  const { quantity, limit, value = today?.value ?? null } = tried
  if (value === null) return null
  return {
    value,
    inclusive: today?.inclusive ?? true,
    for: tried.for ?? today?.for ?? usualFor(limit),
    clearFor: tried.clearFor ?? today?.clearFor ?? usualClearFor,
    deadband: tried.deadband ?? today?.deadband ?? usualDeadband[quantity] ?? 0,
    priority: tried.priority ?? today?.priority ?? (isCritical(limit) ? 'high' : 'medium'),
    because: today !== null && value === today.value ? today.because : 'tried',
    source: today !== null && value === today.value ? today.source : null,
  }
}

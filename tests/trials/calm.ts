import { millis } from '../../schemas/amounts.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { nearFreezing } from '../../shared/judging/guard-figures.ts'
import type { TriedBand } from './band.ts'
import { airLooksAhead, airLooksBack } from './definitions.ts'
import type { Told } from './judge.ts'
import type { Span } from './span.ts'

/**
 * What an alarm was that was raised while the animal was well and nothing was broken. `airOut`: what the probes lie in truly
 * passed the limit (right by L11, early for the animal). `silent`, `open`: the sensor truly said nothing for longer than it
 * may, the door truly stood open. `nearly`: the air came nearer to the limit than the error that the probe's data sheet
 * allows it. `guarded`: the same of the limit near freezing, moved inwards by the probe's uncertainty (L9). `moved`: the
 * probe truly lay outside, and nobody had said so. `wrong`: none of these.
 */
export const calmSorts = ['airOut', 'silent', 'open', 'nearly', 'guarded', 'moved', 'wrong'] as const
export type CalmSort = (typeof calmSorts)[number]

/** A stretch of one probe: in which nothing of it was heard, from what was heard last to what was heard next, or it lay outside. */
export interface Gap extends Span {
  readonly probe: string
}

/** What was so in truth, besides the animal. */
export interface Surrounding {
  readonly band: TriedBand
  readonly start: number
  readonly stepMs: number
  /** °C of air and of what the animal lies in, the colder and the warmer of both, at the end of each step. */
  readonly coldest: Float32Array
  readonly warmest: Float32Array
  readonly gaps: readonly Gap[]
  /** When each probe lay outside of the place. */
  readonly moved: readonly Gap[]
  readonly openings: readonly Span[]
  readonly probes: readonly {
    readonly id: string
    readonly tolerance: number
    readonly guard: number
    readonly every: number
  }[]
}

export function calmSortOf(
  { at, kind, sensor }: Omit<Told, 'priority' | 'isHere'>,
  so: Surrounding,
): CalmSort {
  if (kind === 'silent' || kind === 'unwatched') {
    const own = so.probes.filter(({ id }) => sensor === null || id === sensor)
    return own.length > 0 && own.every((probe) => isSilent(probe, at, so)) ? 'silent' : 'wrong'
  }
  if (/door/i.test(kind)) return so.openings.some(({ from, to }) => from <= at && at < to) ? 'open' : 'wrong'
  const limit = limitOf(kind, so.band)
  if (limit === null) return 'wrong'
  const { coldest, warmest } = extremes(at, at + (isAhead(kind) ? airLooksAhead : 0), so)
  const short = limit.side === 'low' ? coldest - limit.value : limit.value - warmest
  const own = so.probes.filter(({ id }) => sensor === null || id === sensor)
  const tolerance = Math.max(0, ...own.map((probe) => probe.tolerance))
  if (short <= 0) return 'airOut'
  if (short <= tolerance) return 'nearly'
  const isGuarded = limit.side === 'low' && limit.value === so.band.lowCritical && limit.value <= nearFreezing
  const guard = isGuarded ? Math.max(0, ...own.map((probe) => probe.guard)) : 0
  if (short <= tolerance + guard) return 'guarded'
  const isOutside = ({ probe, from, to }: Gap): boolean =>
    own.some(({ id }) => id === probe) && from <= at && at < to + airLooksBack
  return !isAhead(kind) && so.moved.some(isOutside) ? 'moved' : 'wrong'
}

const isAhead = (kind: string): boolean => /ahead/i.test(kind)

function limitOf(
  kind: string,
  band: TriedBand,
): { readonly side: 'low' | 'high'; readonly value: number } | null {
  const side = /low/i.test(kind) ? 'low' : /high/i.test(kind) ? 'high' : null
  if (side === null) return null
  const isWarning = kind === `limit ${side}`
  if (side === 'low') return { side, value: isWarning ? band.low : band.lowCritical }
  return { side, value: isWarning ? band.high : band.highCritical }
}

function isSilent({ id, every }: Surrounding['probes'][number], at: number, { gaps }: Surrounding): boolean {
  const patience = silentAfter({ expectedEvery: millis(every) })
  return gaps.some(({ probe, from, to }) => probe === id && from + patience <= at && at <= to)
}

function extremes(from: number, to: number, { start, stepMs, coldest, warmest }: Surrounding) {
  const first = Math.max(0, Math.floor((from - airLooksBack - start) / stepMs))
  const last = Math.min(coldest.length, Math.ceil((to - start) / stepMs))
  let [least, most] = [Infinity, -Infinity]
  for (let i = first; i < last; i++) {
    least = Math.min(least, coldest[i] ?? least)
    most = Math.max(most, warmest[i] ?? most)
  }
  return { coldest: least, warmest: most }
}

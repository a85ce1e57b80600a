import type { TriedBand } from './band.ts'
import { type CalmSort, calmSortOf, type Surrounding } from './calm.ts'
import { calmAfter, calmBefore, sameWithin } from './definitions.ts'
import type { Harm } from './harm.ts'
import type { Told } from './judge.ts'
import type { Verdict } from './outcome.ts'
import type { Span } from './span.ts'

/** What a winter was in truth, for judging its judges. */
export interface Truth {
  readonly band: TriedBand
  readonly start: number
  readonly stepMs: number
  /** °C at the animal at the end of each step. */
  readonly truth: Float32Array
  readonly begins: number | null
  readonly harm: Harm | null
  readonly isFaultAtWork: (at: number) => boolean
  readonly tended: readonly Span[]
}

/** `anyway`: what would have been told without the fault. */
export function verdictOn(
  told: readonly Told[],
  winter: Truth & Surrounding,
  anyway: readonly Told[],
): Verdict {
  const { begins, harm } = winter
  const inTime = told.filter(
    (one) =>
      begins !== null &&
      harm !== null &&
      one.isHere &&
      one.priority !== 'low' &&
      one.at >= begins &&
      one.at < harm.at &&
      !anyway.some((other) => other.kind === one.kind && Math.abs(other.at - one.at) <= sameWithin),
  )
  const wrong = told.filter((one) => isFalse(one, winter))
  const sorted = wrong.map((one) => ({ ...one, sort: calmSortOf(one, winter) }))
  const calm = (sort: CalmSort) => {
    const own = sorted.filter((one) => one.sort === sort)
    return { high: own.filter(({ priority }) => priority === 'high').length, any: own.length }
  }
  return {
    first: inTime[0] ?? null,
    firstHigh: inTime.find(({ priority }) => priority === 'high') ?? null,
    falseHigh: wrong.filter(({ priority }) => priority === 'high').length,
    falseAny: wrong.length,
    calm: {
      airOut: calm('airOut'),
      silent: calm('silent'),
      open: calm('open'),
      nearly: calm('nearly'),
      guarded: calm('guarded'),
      moved: calm('moved'),
      wrong: calm('wrong'),
    },
    falseKinds: countedByKind(wrong),
    wrongKinds: countedByKind(sorted.filter(({ sort }) => sort === 'wrong')),
    alarms: told.length,
  }
}

function countedByKind(told: readonly Told[]): Record<string, number> {
  const kinds: Record<string, number> = {}
  for (const { kind, priority } of told) {
    const name = `${kind} (${priority})`
    kinds[name] = (kinds[name] ?? 0) + 1
  }
  return kinds
}

export function isFalse({ at }: Pick<Told, 'at'>, winter: Truth): boolean {
  if (winter.isFaultAtWork(at)) return false
  if (winter.tended.some(({ from, to }) => from <= at && at < to)) return false
  const { band, start, stepMs, truth } = winter
  const first = Math.max(0, Math.floor((at - calmBefore - start) / stepMs))
  const last = Math.min(truth.length, Math.ceil((at + calmAfter - start) / stepMs))
  for (let i = first; i < last; i++) {
    const value = truth[i] ?? 0
    if (value <= band.low || value >= band.high) return false
  }
  return true
}

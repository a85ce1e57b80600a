import type { Instant, Kilopascal, Millis } from '../../schemas/units.ts'
import { say } from '../words/say.ts'

/** Vapour deficit over a stretch as sums: two of them merge into the one of both. Times in ms. */
export interface DryingTime {
  readonly known: number
  readonly unknown: number
  /** ∫VPD dt in kPa·ms. */
  readonly sum: number
}

export const noDrying: DryingTime = { known: 0, unknown: 0, sum: 0 }

/** A deficit that held for `ms`; null where it was not known. */
export function addDrying(so: DryingTime, deficit: Kilopascal | null, ms: Millis): DryingTime {
  if (deficit === null) return { ...so, unknown: so.unknown + ms }
  return { ...so, known: so.known + ms, sum: so.sum + deficit * ms }
}

export const mergeDrying = (one: DryingTime, other: DryingTime): DryingTime => ({
  known: one.known + other.known,
  unknown: one.unknown + other.unknown,
  sum: one.sum + other.sum,
})

/** Mean deficit in kPa over the time known; null where none is. */
export const meanDeficit = ({ known, sum }: DryingTime): number | null => (known > 0 ? sum / known : null)

interface WeighIn {
  readonly at: Instant
  readonly grams: number
}

/** From one weigh-in to the next, and how dry the air was meanwhile. */
export interface LossInterval {
  readonly from: WeighIn
  readonly to: WeighIn
  readonly drying: DryingTime
}

/**
 * `ratio`: grams a day for each kPa of deficit, with its standard uncertainty. What it cannot tell: how much of the loss is water. Fat
 * burnt and urine passed are in it, so water alone is at most this.
 */
export type LossRatio =
  | { readonly ok: true; readonly ratio: number; readonly uncertainty: number; readonly intervals: number }
  | {
      readonly ok: false
      readonly error: 'tooFew' | 'tooScattered' | 'noLoss' | 'badWeighIn'
      readonly sentence: string
    }

/** A line through the origin with a scatter of its own needs more than two. Derived. */
export const fewestIntervals = 4
/** An interval whose air is known for less than this share of it says nothing about the air. Derived: as in 9 of 10 days. */
const leastKnownShare = 0.9
/** A ratio known worse than this share of itself is not known yet. Derived: twice that reaches zero. */
const largestShare = 0.5

/**
 * One animal's loss of mass against how dry its air was, by least squares through the origin: without a deficit no water
 * is lost (water loss follows the vapour deficit; FAO-56 of leaves, common practice of animals). Each animal by itself; leave out
 * intervals in which it drank, ate or passed urine.
 */
export function lossRatio(intervals: readonly LossInterval[]): LossRatio {
  const rows: { readonly dry: number; readonly lost: number }[] = []
  for (const { from, to, drying } of intervals) {
    const ms = to.at - from.at
    if (!(ms > 0) || !(from.grams > 0) || !(to.grams > 0)) return notKnown('badWeighIn')
    const mean = meanDeficit(drying)
    if (mean === null || mean === 0 || drying.known < leastKnownShare * ms) continue
    rows.push({ dry: (mean * ms) / msPerDay, lost: from.grams - to.grams })
  }
  if (rows.length < fewestIntervals) return notKnown('tooFew')
  const square = rows.reduce((all, { dry }) => all + dry * dry, 0)
  const ratio = rows.reduce((all, { dry, lost }) => all + dry * lost, 0) / square
  if (!(ratio > 0)) return notKnown('noLoss')
  const rest = rows.reduce((all, { dry, lost }) => all + (lost - ratio * dry) ** 2, 0)
  const uncertainty = Math.sqrt(rest / (rows.length - 1) / square)
  if (uncertainty > largestShare * ratio) return notKnown('tooScattered')
  return { ok: true, ratio, uncertainty, intervals: rows.length }
}

/** Grams that an animal of this ratio would lose, ± one standard uncertainty. */
export function expectedLoss(
  { ratio, uncertainty }: { readonly ratio: number; readonly uncertainty: number },
  drying: DryingTime,
): { readonly grams: number; readonly uncertainty: number } {
  const dry = drying.sum / msPerDay
  return { grams: ratio * dry, uncertainty: uncertainty * dry }
}

const sentences = {
  tooFew: say(
    'Not known yet: this needs {fewestIntervals} stretches between weigh-ins whose air was measured.',
    { fewestIntervals },
  ),
  tooScattered: say('Not known yet: the weigh-ins scatter more than they follow the air.'),
  noLoss: say('Not known: no mass was lost.'),
  badWeighIn: say('Weigh-ins must ascend in time and weigh something.'),
} as const

const notKnown = (error: keyof typeof sentences): LossRatio => ({
  ok: false,
  error,
  sentence: sentences[error],
})

const msPerDay = 86_400_000

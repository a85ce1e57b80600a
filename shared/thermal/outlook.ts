import { hours, millis } from '../../schemas/amounts.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { OutlookLimit, OutlookUnknown } from '../../schemas/outlook.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { largestShare } from './step-response.ts'
import type { ThermalModel } from './fit-nodes.ts'
import { type Estimate, timesTo } from './forecast.ts'
import { conductanceFrom } from './hold-over.ts'
import { slower, type StretchFit, type StretchRefusal } from './outlook-fit.ts'

/** How a place warms or cools when nothing holds it, learnt from its past. */
export interface OutlookModel {
  readonly tau: Millis
  readonly share: number
  /** See `StretchFit`. */
  readonly start: { readonly share: number; readonly uncertainty: number }
  /** See `StretchFit`. */
  readonly quick: Millis | null
  readonly two: (ThermalModel & { readonly nodes: 2 }) | null
  readonly stretches: number
  readonly lasted: Millis
  readonly newest: Instant
  /** Where it went last, where no thermometer was in the room. */
  readonly wentTo: Estimate | null
  /** Water inside in those stretches, L; null where nobody said. */
  readonly litres: number | null
  readonly conductance: Conductance
  /** As it was with other bottles, or without any: learnt in another trial run. */
  readonly other: OutlookModel | null
}

/** W/K through the walls, and the standard uncertainty of its logarithm. */
interface Conductance {
  readonly watts: number
  readonly share: number
  readonly isMeasured: boolean
}

export type ModelFound =
  | { readonly ok: true; readonly model: OutlookModel }
  | { readonly ok: false; readonly why: OutlookUnknown }

/** The next time it will be a little fuller or emptier than when it was measured: a share of the constant. Derived. */
const nextTime = 0.06
/** Where no start was seen, all starts as it stands. Derived. */
const unseenStart = { share: 1, uncertainty: 0.08 }
/** Domestic fridges, small to large: most lie between 0.7 and 2 W/K. Common practice, no source. */
const assumedConductance: Conductance = { watts: 1.2, share: 0.3, isMeasured: false }
/** A conductance known worse than this share of itself is no better than the assumed one. */
const sureConductance = 0.3

/** From what the stretches showed; `litres` are inside now, null where nobody said. */
export function outlookModel(
  fits: readonly StretchFit[],
  refused: readonly StretchRefusal[],
  litres: number | null,
): ModelFound {
  const conductance = conductanceOf(fits) ?? assumedConductance
  const asNow = fits.filter((fit) => fit.litres === null || litres === null || fit.litres === litres)
  const model = modelOf(asNow, litres, conductance)
  if (model !== null) {
    const others = fits.filter((fit) => fit.litres !== null && !asNow.includes(fit))
    // Of several amounts that which makes the most of a difference: none at all, or the most.
    const amounts = others.flatMap((fit) => fit.litres ?? [])
    const amount = (litres ?? 0) > 0 ? Math.min(...amounts) : Math.max(...amounts)
    const other = modelOf(
      others.filter((fit) => fit.litres === amount),
      amount,
      conductance,
    )
    return { ok: true, model: { ...model, other } }
  }
  if (asNow.length > 0 || refused.includes('tooUnsure')) return { ok: false, why: 'tooUnsure' }
  return { ok: false, why: refused.includes('tooShort') ? 'tooShort' : 'noStretch' }
}

/** Null where there are none, or they do not agree well enough. */
function modelOf(
  fits: readonly StretchFit[],
  litres: number | null,
  conductance: Conductance,
): OutlookModel | null {
  const one = together(fits)
  const newest = fits.toSorted((a, b) => b.at - a.at)[0]
  if (one === null || newest === undefined) return null
  const share = Math.hypot(one.share, nextTime)
  if (share > largestShare) return null
  const twos = fits.flatMap(({ two }) => (two === null ? [] : slower(two, nextTime)))
  const best = twos.toSorted((a, b) => doubtOf(a) - doubtOf(b))[0]
  return {
    tau: one.tau,
    share,
    start: startOf(fits.flatMap(({ start }) => start ?? [])),
    quick: meanQuick(fits),
    two: best === undefined || doubtOf(best) > largestShare ? null : best,
    stretches: fits.length,
    lasted: millis(fits.reduce((sum, { lasted }) => sum + lasted, 0)),
    newest: newest.at,
    wentTo: newest.room.isMeasured ? null : newest.room,
    litres: newest.litres ?? litres,
    conductance,
    other: null,
  }
}

/** Mean of the logarithms, each weighed by how well it is known; widened where they differ by more than they say. */
function together(fits: readonly StretchFit[]): { readonly tau: Millis; readonly share: number } | null {
  if (fits.length === 0) return null
  const weights = fits.map(({ share }) => 1 / Math.max(share, 1e-3) ** 2)
  const sum = weights.reduce((all, w) => all + w, 0)
  const mean = fits.reduce((all, { tau }, i) => all + Math.log(tau) * (weights[i] ?? 0), 0) / sum
  const chi2 = fits.reduce((all, { tau }, i) => all + (Math.log(tau) - mean) ** 2 * (weights[i] ?? 0), 0)
  const birge = fits.length > 1 ? Math.max(1, chi2 / (fits.length - 1)) : 1
  return { tau: millis(Math.round(Math.exp(mean))), share: Math.sqrt(birge / sum) }
}

function startOf(starts: readonly OutlookModel['start'][]): OutlookModel['start'] {
  if (starts.length === 0) return unseenStart
  const share = starts.reduce((sum, one) => sum + one.share, 0) / starts.length
  const scatter = Math.max(...starts.map((one) => Math.abs(one.share - share)))
  return { share, uncertainty: Math.hypot(Math.max(...starts.map((one) => one.uncertainty)), scatter) }
}

function meanQuick(fits: readonly StretchFit[]): Millis | null {
  const some = fits.flatMap(({ quick }) => quick ?? [])
  return some.length === 0 ? null : millis(Math.round(some.reduce((sum, one) => sum + one, 0) / some.length))
}

/** Of the worst known of its constants. */
const doubtOf = ({ covariance }: { readonly covariance: readonly (readonly number[])[] }): number =>
  Math.sqrt(Math.max(...covariance.map((row, i) => row[i] ?? Infinity)))

/** From stretches with different amounts of water: the only heat capacity that is known. */
function conductanceOf(fits: readonly StretchFit[]): Conductance | null {
  const litres = [...new Set(fits.flatMap((fit) => fit.litres ?? []))].toSorted((a, b) => a - b)
  const [least, most] = [litres[0], litres.at(-1)]
  if (least === undefined || most === undefined || least === most) return null
  const [little, much] = [least, most].map((of) => together(fits.filter((fit) => fit.litres === of)))
  if (!little || !much) return null
  const watts = conductanceFrom(little.tau, much.tau, most - least)
  if (watts === null) return null
  const share = Math.hypot(much.tau * much.share, little.tau * little.share) / (much.tau - little.tau)
  return share <= sureConductance ? { watts, share, isMeasured: true } : null
}

/** The place as it is at the moment of asking. */
export interface OutlookPresent {
  /** Of the sensor that judges: its mean while a thermostat holds it, its value once nothing does. */
  readonly here: Estimate
  /** How far the air swings round that mean with the compressor, K; absent where it does not. */
  readonly swing?: number
  /** Of air and load, where the sensors that the two nodes were learnt from speak. */
  readonly both: { readonly air: Estimate; readonly load: Estimate; readonly isOfLoad: boolean } | null
  /** No thermostat holds it now: it is already on its slow way. */
  readonly isLeftAlone: boolean
}

export interface OutlookThreshold {
  readonly limit: LimitName
  readonly threshold: number
}

/** When each limit would be met on the way to `towards`. */
export function outlookLimits(
  model: OutlookModel,
  present: OutlookPresent,
  towards: Estimate,
  limits: readonly OutlookThreshold[],
): OutlookLimit[] {
  const { of, ...now } = wayFrom(model, present, towards)
  const outlook = { ...now, towards, isRoomMeasured: true }
  const times = timesTo(
    outlook,
    limits.map(({ limit, threshold }) => ({ of, celsius: threshold, side: sideOf(limit) })),
  )
  return limits.map(({ limit, threshold }, i) => {
    const time = times[i]
    const isMet =
      sideOf(limit) === 'low' ? present.here.celsius <= threshold : present.here.celsius >= threshold
    if (isMet) return { limit, threshold, time: { likely: none, least: none, most: none } }
    return {
      limit,
      threshold,
      time: {
        likely: time?.likely ?? null,
        least: time?.earliest ?? null,
        most: time?.latest ?? null,
      },
    }
  })
}

const none = millis(0)

function wayFrom(
  model: OutlookModel,
  present: OutlookPresent,
  towards: Estimate,
): { of: 'air' | 'load'; model: ThermalModel; air: Estimate; load: Estimate } {
  const { here, both, isLeftAlone, swing = 0 } = present
  const inAir = (air: Estimate): Estimate => ({
    ...air,
    uncertainty: Math.hypot(air.uncertainty, ofSwing * swing),
  })
  if (model.two !== null && both !== null)
    return { of: both.isOfLoad ? 'load' : 'air', model: model.two, air: inAir(both.air), load: both.load }
  const seen = isLeftAlone ? null : fromAirAlone(model)
  if (seen !== null) return { of: 'air', model: seen, air: inAir(here), load: here }
  const lump = lumpNow(model, present, towards)
  return { of: 'load', model: { nodes: 1, tau: model.tau, share: model.share }, air: lump, load: lump }
}

/**
 * Air and an unseen load that rest together, from the air's slow and quick constants and the share of its way that is slow:
 * the inverse of `twoNodeDecay` for a start from rest. Null where the air shows no such load.
 */
function fromAirAlone({
  tau,
  share,
  quick,
  start,
}: OutlookModel): (ThermalModel & { readonly nodes: 2 }) | null {
  if (quick === null || start.share >= 1) return null
  const logsOf = (slow: number, fast: number, of: number): readonly number[] => {
    const [s, f] = [1 / slow, 1 / fast]
    const a = f - Math.min(0.99, Math.max(0.01, of)) * (f - s)
    const c = (s * f) / a
    return [1 / a, 1 / (s + f - a - c), 1 / c].map(Math.log)
  }
  const middle = logsOf(tau, quick, start.share)
  // Each source of doubt moved by one standard deviation.
  const moved = [
    logsOf(tau * Math.exp(share), quick, start.share),
    logsOf(tau, quick * Math.exp(ofQuick), start.share),
    logsOf(tau, quick, start.share + start.uncertainty),
  ].map((logs) => logs.map((log, i) => log - (middle[i] ?? 0)))
  const covariance = middle.map((_, i) =>
    middle.map((__, j) => moved.reduce((sum, one) => sum + (one[i] ?? 0) * (one[j] ?? 0), 0)),
  )
  const [outside = 1, inside = 1, load = 1] = middle.map(Math.exp)
  return { nodes: 2, constants: { outside, inside, load }, covariance }
}

/** Standard deviation of a swing round its mean over its whole height: of a sine 1/√8. */
const ofSwing = 0.354

/** Standard uncertainty of the logarithm of the quick constant, that one area tells. Derived. */
const ofQuick = 0.3

/** Where the slow way starts: in the first minutes the air meets what lies in it. */
function lumpNow(
  { start }: OutlookModel,
  { here, isLeftAlone }: OutlookPresent,
  towards: Estimate,
): Estimate {
  if (isLeftAlone) return here
  const way = towards.celsius - here.celsius
  return {
    celsius: towards.celsius - start.share * way,
    uncertainty: Math.hypot(here.uncertainty, start.uncertainty * way),
  }
}

const sideOf = (limit: LimitName): 'low' | 'high' =>
  limit === 'low' || limit === 'lowCritical' ? 'low' : 'high'

/** Looking back further, it was another winter with another filling. A design choice. */
export const lookBack: Millis = hours(24 * 60)

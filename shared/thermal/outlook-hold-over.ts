import { millis } from '../../schemas/amounts.ts'
import type { OutlookHoldOver, OutlookTime } from '../../schemas/outlook.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Estimate } from './forecast.ts'
import { waterHeat } from './hold-over.ts'
import { outlookLimits, type OutlookModel, type OutlookPresent, type OutlookThreshold } from './outlook.ts'

/** Bottles that fit into most fridges beside a box: told of where none are inside. A design choice. */
const suggestedLitres = 6
/**
 * How long the first limit that a power cut leads to is held off, with and without bottles: as seen in trial runs with and
 * without them, or else reckoned. Then all is one lump, whose times are as its heat capacity: water adds its own, divided by
 * the walls’ conductance, to the time constant.
 */
export function outlookHoldOver(
  model: OutlookModel,
  present: OutlookPresent,
  towards: Estimate,
  limits: readonly OutlookThreshold[],
): OutlookHoldOver | null {
  const first = outlookLimits(model, present, towards, limits)
    .filter(({ time }) => time.likely !== null && time.likely > 0)
    .toSorted((one, other) => (one.time.likely ?? 0) - (other.time.likely ?? 0))[0]
  if (first === undefined || model.litres === null) return null
  const { limit, threshold, time } = first
  const areInside = model.litres > 0
  const seen = model.other === null ? undefined : outlookLimits(model.other, present, towards, [first])[0]
  const litres = areInside ? model.litres : (model.other?.litres ?? suggestedLitres)
  const other = seen === undefined ? reckoned(model, litres, areInside, time) : seen.time
  if (other === null) return null
  return {
    limit,
    threshold,
    without: areInside ? other : time,
    litres,
    withBottles: areInside ? time : other,
    areInside,
    isReckoned: seen === undefined,
    conductance: { watts: model.conductance.watts, isMeasured: model.conductance.isMeasured },
  }
}

function reckoned(
  { tau, conductance }: OutlookModel,
  litres: number,
  areInside: boolean,
  time: OutlookTime,
): OutlookTime | null {
  const by = (spreads: number): number => {
    const watts = conductance.watts * Math.exp(spreads * conductance.share)
    return 1 + ((areInside ? -1 : 1) * ((litres * waterHeat) / watts) * 1000) / tau
  }
  if (!(by(0) > leastShare)) return null
  // Walls that let little through make the water count for more.
  const [least, most] = areInside ? [by(-z90), by(z90)] : [by(z90), by(-z90)]
  return {
    likely: times(time.likely, by(0)),
    least: times(time.least, Math.max(leastShare, least)),
    most: times(time.most, most),
  }
}

/** Of the standard normal law: 5 % on either side. */
const z90 = 1.6449
/** A fridge that is nothing but its bottles is none: shelves and walls hold a tenth of it at least. Derived. */
const leastShare = 0.1

const times = (ms: Millis | null, by: number): Millis | null =>
  ms === null ? null : millis(Math.round(ms * by))

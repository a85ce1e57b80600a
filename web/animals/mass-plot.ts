import type { MassNow } from '../../schemas/condition.ts'
import type { LastMass } from '../diary/weigh-order.ts'

const dayMs = 86_400_000
/** How far ahead a limit is shown that will be met. */
const mostAheadMs = 90 * dayMs

/** What is drawn, in g and ms. */
export interface MassPlot {
  readonly from: number
  readonly to: number
  readonly least: number
  readonly most: number
  /** Mass at which the loss in all ends the hold. */
  readonly total: { readonly grams: number; readonly percent: number } | null
  /** The most that may be lost month by month, from the entry on. */
  readonly monthly: { readonly percent: number; readonly from: LastMass; readonly to: LastMass } | null
  /** Corners of what the trend leaves open, from the last weigh-in on. */
  readonly ahead: readonly LastMass[]
  readonly likely: number | null
}

export function massPlot(masses: readonly LastMass[], mass: MassNow | null): MassPlot {
  const first = masses[0] ?? { at: 0, grams: 0 }
  const last = masses[masses.length - 1] ?? first
  const entry = mass?.entry ?? null
  const limit = (rule: 'monthly' | 'total'): number | null =>
    mass?.rules.find((one) => one.rule === rule)?.limitPercent ?? null
  const [monthlyPercent, totalPercent] = [limit('monthly'), limit('total')]
  const meets = mass?.meetsTotal ?? null
  const reach = meets === null ? last.at : Math.min(meets.latest ?? Infinity, last.at + mostAheadMs)
  const from = entry?.at ?? first.at
  const to = Math.max(last.at, reach, from + 7 * dayMs)
  const total =
    entry === null || totalPercent === null
      ? null
      : { grams: entry.grams * (1 - totalPercent / 100), percent: totalPercent }
  const monthly =
    entry === null || monthlyPercent === null
      ? null
      : {
          percent: monthlyPercent,
          from: { at: entry.at, grams: entry.grams },
          to: {
            at: to,
            grams: entry.grams * (1 - (monthlyPercent / 100) * ((to - entry.at) / (30 * dayMs))),
          },
        }
  const ahead =
    meets === null || total === null
      ? []
      : [
          last,
          { at: meets.soonest, grams: total.grams },
          { at: meets.latest ?? to, grams: total.grams },
          ...(meets.latest === null ? [{ at: to, grams: last.grams }] : []),
        ]
  const all = [...masses.map(({ grams }) => grams), ...(total === null ? [] : [total.grams])]
  const [least, most] = [Math.min(...all), Math.max(...all, entry?.grams ?? 0)]
  const pad = Math.max((most - least) * 0.12, most * 0.005)
  return {
    from,
    to,
    least: least - pad,
    most: most + pad,
    total,
    monthly,
    ahead,
    likely: meets?.likely ?? null,
  }
}

/** Round steps of an axis: 1, 2 or 5 of a power of ten, so that about `count` fit. */
export function ticks(from: number, to: number, count: number): readonly number[] {
  const rough = (to - from) / count
  const power = 10 ** Math.floor(Math.log10(rough))
  const step = [1, 2, 5, 10].map((one) => one * power).find((one) => one >= rough) ?? rough
  const found: number[] = []
  for (let at = Math.ceil(from / step) * step; at <= to; at += step) found.push(Number(at.toPrecision(12)))
  return found
}

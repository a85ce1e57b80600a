import type { NightCurve, Series } from '../../schemas/api.ts'

/** The part of the night that is on the screen, in ms since the epoch. */
export interface Stretch {
  readonly from: number
  readonly to: number
}

/** Whether a narrower look at this curve could show more: some of it is drawn in columns of several readings. */
export const mayBeFiner = (curve: NightCurve, { from, to }: Stretch): boolean =>
  to - from < curve.night.to - curve.night.from && curve.series.some((one) => one.resolution === 'columns')

/** The same curve with the rows of a stretch put in the place of its own there; what lies outside stays as it was. */
export function withFiner(curve: NightCurve, finer: readonly Series[], { from, to }: Stretch): NightCurve {
  return {
    ...curve,
    series: curve.series.map((one) => {
      const closer = finer.find(({ sensor }) => sensor === one.sensor)
      if (closer === undefined) return one
      const before = one.columns.at.findIndex((at) => at >= from)
      const after = one.columns.at.findIndex((at) => at >= to)
      const joined = <Value>(coarse: readonly Value[], fine: readonly Value[]): Value[] => [
        ...coarse.slice(0, before === -1 ? coarse.length : before),
        ...fine,
        ...(after === -1 ? [] : coarse.slice(after)),
      ]
      return {
        ...one,
        columns: {
          at: joined(one.columns.at, closer.columns.at),
          low: joined(one.columns.low, closer.columns.low),
          mean: joined(one.columns.mean, closer.columns.mean),
          high: joined(one.columns.high, closer.columns.high),
        },
      }
    }),
  }
}

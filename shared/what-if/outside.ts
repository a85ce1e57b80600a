import type { Night } from '../../schemas/api.ts'
import type { Stretch } from './tally.ts'

/** Time outside, in all and night by night. It changes with each interval, which come in order of time. */
export interface OutsideTally {
  readonly stretch: Stretch
  readonly nights: readonly Night[]
  readonly byNight: number[]
  total: number
  /** The first night that is not over yet. */
  night: number
}

export const noneOutside = (stretch: Stretch, nights: readonly Night[]): OutsideTally => ({
  stretch,
  nights,
  byNight: nights.map(() => 0),
  total: 0,
  night: 0,
})

export function addOutside(tally: OutsideTally, from: number, to: number): void {
  const [start, end] = [Math.max(from, tally.stretch.from), Math.min(to, tally.stretch.to)]
  if (end <= start) return
  tally.total += end - start
  for (;;) {
    const night = tally.nights[tally.night]
    if (night === undefined || night.from >= end) return
    const part = Math.min(end, night.to) - Math.max(start, night.from)
    if (part > 0) tally.byNight[tally.night] = (tally.byNight[tally.night] ?? 0) + part
    if (night.to > end) return
    tally.night++
  }
}

import { days, hours, instant, millis } from '../../schemas/amounts.ts'
import type { Trial } from '../../schemas/trial.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

export interface Stretch {
  readonly from: Instant
  readonly to: Instant
}

/** Two days and nights at least. Common practice, no source. */
export const longEnough: Millis = hours(48)
/** A week has a warm and a cold day in it, and a weekend. Common practice, no source. */
export const goodLength: Millis = days(7)
/** A run that nobody ended says no more after this; more would only be slow to read (X3). */
const longestCounted: Millis = days(60)
/** Just filled and switched on, it comes down from the room: shown, not counted. Common practice, no source. */
export const settling: Millis = hours(12)
/** After its plug was out it cools back: counted again after twice that time, two hours at least. Derived. */
const coolingBack = { times: 2, least: hours(2) } as const

/** From begin to end, or to now while it runs. */
export function stretchOf(trial: Trial, now: Instant): Stretch {
  const to = Math.min(trial.until ?? now, now, trial.from + longestCounted)
  return { from: trial.from, to: instant(Math.max(trial.from, to)) }
}

/** The times with its plug out, up to the run's end. */
export function plugsOf(trial: Trial, { to }: Stretch): readonly Stretch[] {
  return trial.plugOut
    .map(({ from, until }) => ({ from, to: instant(Math.min(until ?? to, to)) }))
    .filter((plug) => plug.from < plug.to)
}

/** What says nothing about the place: settling, the plug out and cooling back, and the sensor being checked elsewhere. */
export function skipsOf(
  run: Stretch,
  plugs: readonly Stretch[],
  check: { readonly since: Instant; readonly until: Instant } | undefined,
): readonly Stretch[] {
  const all = [
    { from: run.from, to: instant(run.from + settling) },
    ...plugs.map(({ from, to }) => ({
      from,
      to: instant(to + Math.max(coolingBack.least, coolingBack.times * (to - from))),
    })),
    ...(check === undefined ? [] : [{ from: check.since, to: check.until }]),
  ]
  return merged(all)
}

/** Time of the run outside `skips`. */
export function countedOf(run: Stretch, skips: readonly Stretch[]): Millis {
  const left = skips.reduce(
    (sum, { from, to }) => sum + Math.max(0, Math.min(to, run.to) - Math.max(from, run.from)),
    0,
  )
  return millis(run.to - run.from - left)
}

/** In order, and none touching another. */
function merged(all: readonly Stretch[]): readonly Stretch[] {
  const out: Stretch[] = []
  for (const one of all.toSorted((a, b) => a.from - b.from)) {
    const last = out.at(-1)
    if (last !== undefined && one.from <= last.to)
      out[out.length - 1] = { from: last.from, to: instant(Math.max(last.to, one.to)) }
    else out.push(one)
  }
  return out
}

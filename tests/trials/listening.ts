import { seconds } from '../../schemas/amounts.ts'
import { shortestSilence } from '../../shared/sensing/freshness.ts'
import type { TriedBand } from './band.ts'
import { bareThreshold, type Baseline, thresholdWithDwell } from './baselines.ts'
import { realJudge, type Told } from './judge.ts'
import type { Gap } from './calm.ts'
import type { JudgeName } from './outcome.ts'
import type { Delivery } from './post.ts'
import type { Probe, Setting } from './setting.ts'
import type { Span } from './span.ts'

/** How often whoever judges is told that time has passed. */
const tick = seconds(30)

export interface Listening {
  readonly told: Readonly<Record<JudgeName, readonly Told[]>>
  readonly readings: () => number
  /** Longer than any sensor may be silent, up to `end`. */
  readonly gaps: (end: number) => readonly Gap[]
  /** Takes what was sent, and hears it and what was held up before, as it arrives, before `until`. */
  hear(sent: readonly Delivery[], until: number): void
}

/** The judge and the baselines, side by side on the same readings in the order in which they arrive. */
export function listening(setting: Setting, band: TriedBand, tended: readonly Span[]): Listening {
  const critical = { low: band.lowCritical, high: band.highCritical }
  const judge = realJudge(setting)
  const bare = baselineOver(() => bareThreshold(critical), setting.probes)
  const dwell = baselineOver(() => thresholdWithDwell(critical), setting.probes)
  let readings = 0
  const heard = new Map(setting.probes.map(({ id }) => [id, setting.start]))
  const gaps: Gap[] = []
  let nextTick = setting.start + tick
  let nextTending = 0
  let held: Delivery[] = []

  function passTo(at: number): void {
    for (;;) {
      const opening = tended[nextTending]
      if (opening !== undefined && opening.from <= at && opening.from <= nextTick) {
        nextTending += 1
        judge.tend(Math.ceil(opening.from), Math.ceil(opening.to))
      } else if (nextTick <= at) {
        judge.timePassed(nextTick)
        bare.timePassed(nextTick)
        dwell.timePassed(nextTick)
        nextTick += tick
      } else return
    }
  }

  /** A gap begins with the newest reading's own time (L2) and ends when a newer one is heard. */
  function noteGap({ probe, at, heardAt }: Delivery): void {
    const from = heard.get(probe) ?? setting.start
    if (at <= from) return
    if (heardAt - from >= shortestSilence) gaps.push({ probe, from, to: heardAt })
    heard.set(probe, at)
  }

  function take(delivery: Delivery): void {
    passTo(delivery.heardAt)
    readings += 1
    noteGap(delivery)
    judge.reading(delivery.probe, delivery.at, delivery.value, delivery.heardAt)
    bare.reading(delivery)
    dwell.reading(delivery)
  }

  return {
    told: { judge: judge.told, bare: bare.told, dwell: dwell.told },
    readings: () => readings,
    gaps: (end) => [...gaps, ...[...heard].map(([probe, from]) => ({ probe, from, to: end }))],
    hear(sent, until) {
      if (held.length === 0 && sent.every(({ heardAt }) => heardAt < until)) sent.forEach(take)
      else {
        held = [...held, ...sent].sort((one, other) => one.heardAt - other.heardAt)
        const due = held.filter(({ heardAt }) => heardAt < until)
        held = held.slice(due.length)
        due.forEach(take)
      }
      // Time passes while nothing is heard, too.
      passTo(until - 1)
    },
  }
}

/** A baseline for each probe in the place; the room's own is no business of theirs. */
function baselineOver(make: () => Baseline, probes: readonly Probe[]) {
  const told: Told[] = []
  const each = new Map(probes.filter(({ node }) => node !== 'outside').map(({ id }) => [id, make()]))
  const tell = (at: number): void =>
    void told.push({ at, kind: 'threshold', priority: 'high', isHere: true, sensor: null })
  return {
    told,
    reading({ probe, value, at, heardAt }: Delivery): void {
      if (each.get(probe)?.reading(value, at) === true) tell(heardAt)
    },
    timePassed(at: number): void {
      for (const one of each.values()) if (one.timePassed(at)) tell(at)
    },
  }
}

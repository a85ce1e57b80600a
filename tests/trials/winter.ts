import { type Random, seededRandom } from '../../daemon/practice/random.ts'
import { days, instant } from '../../schemas/amounts.ts'
import { guardAt, guardsOf } from '../../shared/judging/guard.ts'
import { bandOf, type TriedBand } from './band.ts'
import type { Nodes } from './body.ts'
import type { Surrounding } from './calm.ts'
import { afterHarm, leastLead, type Lengths, noiseSigmas, recovery } from './definitions.ts'
import { between, pick } from './draw.ts'
import { drawEveryday, type Everyday } from './everyday.ts'
import { type Family, faultOf, lastingOf } from './families.ts'
import { harmWatch } from './harm.ts'
import { type Seen, type TimedFault, trialHouse } from './house.ts'
import type { Told } from './judge.ts'
import { type Listening, listening } from './listening.ts'
import { type JudgeName, judges, type Outcome } from './outcome.ts'
import { surroundingsOver } from './outside.ts'
import { type Delivery, post } from './post.ts'
import { drawSetting, type Probe, type Setting } from './setting.ts'
import type { Span } from './span.ts'
import { type Truth, verdictOn } from './verdict.ts'

/** What `--explain` tells, as it happens. */
export interface Explaining {
  house(setting: Setting, everyday: Everyday, fault: TimedFault | null): void
  hour(at: number, outside: number, nodes: Nodes, twin: number, seen: readonly Seen[]): void
  told(by: JudgeName, told: Told): void
}

/** One winter: the seed and the family decide everything in it. */
export function runWinter(seed: number, family: Family, lengths: Lengths, explain?: Explaining): Outcome {
  const drawn = drawWinter(seed, family, lengths)
  const { setting, timed, tended, band } = drawn
  const { start, stepMs } = setting
  explain?.house(setting, drawn.everyday, timed)
  const played = play(drawn, explain)
  const { truth, harm, twinHarm, visible, last, ears } = played
  const begins = timed?.from ?? null
  const ends = timed === null ? 0 : timed.from + lastingOf(timed.fault) + recovery
  const isFaultAtWork = (at: number): boolean => timed !== null && at >= timed.from && at < ends
  const isCounted =
    harm !== null &&
    twinHarm === null &&
    begins !== null &&
    visible !== null &&
    harm.at - begins >= leastLead &&
    harm.at - visible >= leastLead
  const winter: Truth & Surrounding = {
    ...{ band, start, stepMs, truth, begins, harm, isFaultAtWork, tended },
    coldest: played.coldest,
    warmest: played.warmest,
    gaps: ears.gaps(last),
    moved: [...drawn.everyday.probes].flatMap(([probe, { moved }]) =>
      moved.map((span) => ({ ...span, probe })),
    ),
    openings: drawn.everyday.openings,
    probes: setting.probes.map(({ id, type }) => ({
      id,
      tolerance: toleranceOf[type],
      guard: guardAt(guardsOf({ type, calibrations: [] }), instant(start)),
      every: stepMs,
    })),
  }
  const anyway = isCounted ? toldAnyway(drawn, harm.at) : null
  if (explain !== undefined) for (const by of judges) for (const told of ears.told[by]) explain.told(by, told)
  return {
    seed,
    family,
    sort: setting.sort,
    species: setting.species,
    fault: timed?.fault ?? null,
    begins,
    harm,
    twinHarm,
    visible,
    isCounted,
    days: (last - start) / days(1),
    calmDays:
      (begins === null ? last - start : Math.min(last, begins) - start + Math.max(0, last - ends)) / days(1),
    readings: ears.readings(),
    verdicts: {
      judge: verdictOn(ears.told.judge, winter, anyway?.judge ?? []),
      bare: verdictOn(ears.told.bare, winter, anyway?.bare ?? []),
      dwell: verdictOn(ears.told.dwell, winter, anyway?.dwell ?? []),
    },
  }
}

/** Greatest errors by data sheet, K (values from memory), as `drawProbe` draws them. */
const toleranceOf: Readonly<Record<Probe['type'], number>> = { ds18b20: 0.5, sht3x: 0.3 }

interface Drawn {
  readonly random: Random
  readonly setting: Setting
  readonly everyday: Everyday
  readonly timed: TimedFault | null
  readonly band: TriedBand
  readonly tended: readonly Span[]
  readonly end: number
}

function drawWinter(seed: number, family: Family, lengths: Lengths): Drawn {
  const random = seededRandom(seed).fork(family)
  const setting = drawSetting(family, random.fork('setting'))
  const end = setting.start + lengths.learning + lengths.stretch
  const everyday = drawEveryday(setting, setting.start, end, random.fork('everyday'))
  const timed = drawFault(family, setting, lengths, random.fork('fault'))
  const tended = everyday.openings.flatMap(({ from, tendedUntil }) =>
    tendedUntil === null ? [] : [{ from, to: tendedUntil }],
  )
  return { random, setting, everyday, timed, band: bandOf(setting.species), tended, end }
}

/** What chance does step by step, the same each time that it is begun anew: weather, noise, radio. */
function chances({ random, setting, everyday }: Drawn) {
  const { probes, stepMs } = setting
  const outsideAt = surroundingsOver(setting.surroundings, everyday.spells, random.fork('weather'))
  const noises = probes.map(({ id }) => random.fork(`noise ${id}`))
  const posts = probes.map((probe) =>
    post(probe, everyday.probes.get(probe.id) ?? noLife, stepMs, random.fork(`radio ${probe.id}`)),
  )
  return {
    outsideAt,
    noise: (): number[] => noises.map((one, p) => (probes[p]?.noise ?? 0) * one.normal()),
    /** What each probe sends; empty where nothing gets away. */
    sent: (at: number, seen: readonly Seen[]): (readonly Delivery[])[] =>
      posts.map((deliver, p) => deliver(at, seen[p]?.shown ?? 0, seen[p]?.isMute ?? true)),
  }
}

/** The winter with its fault, and beside it the twin without, up to its end or a while after harm. */
function play(drawn: Drawn, explain?: Explaining) {
  const { setting, everyday, timed, band, end } = drawn
  const { start, stepMs, probes } = setting
  const house = trialHouse(setting, everyday, timed)
  const twin = trialHouse(setting, everyday, null)
  const { outsideAt, noise, sent } = chances(drawn)
  const ears = listening(setting, band, drawn.tended)
  const [harms, twinHarms] = [harmWatch(band), harmWatch(band)]
  const truth = new Float32Array(Math.ceil((end - start) / stepMs))
  const [coldest, warmest] = [new Float32Array(truth.length), new Float32Array(truth.length)]
  let steps = 0
  let visible: number | null = null
  for (let at = start + stepMs; at <= end; at += stepMs) {
    const outside = outsideAt(at, stepMs)
    const noises = noise()
    house.step(at, outside, noises)
    twin.step(at, outside, noises)
    const [air, , box] = house.nodes()
    coldest[steps] = Math.min(air, box)
    warmest[steps] = Math.max(air, box)
    truth[steps++] = house.truth()
    harms.see(at, house.truth())
    twinHarms.see(at, twin.truth())
    const deliveries = sent(at, house.seen)
    if (visible === null && timed !== null && at > timed.from)
      if (probes.some((probe, p) => isVisible(probe, house.seen[p], twin.seen[p], deliveries[p])))
        visible = at
    ears.hear(deliveries.flat(), at + stepMs)
    if (explain !== undefined && (at - start) % 3_600_000 < stepMs)
      explain.hour(at, outside, house.nodes(), twin.truth(), house.seen)
    const harm = harms.harm()
    if (harm !== null && at >= harm.at + afterHarm) break
  }
  return {
    truth: truth.subarray(0, steps),
    coldest: coldest.subarray(0, steps),
    warmest: warmest.subarray(0, steps),
    harm: harms.harm(),
    twinHarm: twinHarms.harm(),
    visible,
    last: start + steps * stepMs,
    ears,
  }
}

/** What would have been told without the fault: nobody earns anything by that. */
function toldAnyway(drawn: Drawn, until: number): Listening['told'] {
  const { setting, everyday, band } = drawn
  const twin = trialHouse(setting, everyday, null)
  const { outsideAt, noise, sent } = chances(drawn)
  const ears = listening(setting, band, drawn.tended)
  for (let at = setting.start + setting.stepMs; at <= until; at += setting.stepMs) {
    twin.step(at, outsideAt(at, setting.stepMs), noise())
    ears.hear(sent(at, twin.seen).flat(), at + setting.stepMs)
  }
  return ears.told
}

/** Whether a probe in the place shows, or by its silence betrays, what the twin's does not. */
function isVisible(
  { node, noise, step }: Probe,
  seen: Seen | undefined,
  usual: Seen | undefined,
  delivered: readonly Delivery[] | undefined,
): boolean {
  if (node === 'outside' || seen === undefined || usual === undefined) return false
  if (seen.isMute) return !usual.isMute
  const sigma = Math.sqrt(noise ** 2 + step ** 2 / 12)
  return delivered?.length !== 0 && Math.abs(seen.signal - usual.signal) > noiseSigmas * sigma
}

const noLife = { battery: [], moved: [], lost: [], late: [] }

function drawFault(family: Family, setting: Setting, lengths: Lengths, random: Random): TimedFault | null {
  const fault = faultOf(family, random)
  if (fault === null) return null
  const inHouse = setting.probes.filter(({ node }) => node !== 'outside').map(({ id }) => id)
  const probe = setting.readsProbe?.id ?? pick(random, inHouse as [string, ...string[]])
  const into = between(random, 0, lengths.faultWithin)
  return {
    fault,
    probe,
    from: setting.start + lengths.learning + Math.floor(into / setting.stepMs) * setting.stepMs,
  }
}

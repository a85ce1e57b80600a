import type { Random } from '../../daemon/practice/random.ts'
import { days, hours, minutes } from '../../schemas/amounts.ts'
import { between, chance, spread } from './draw.ts'
import type { Spell } from './outside.ts'
import type { Setting } from './setting.ts'
import { inOrder, type Span } from './span.ts'

interface Opening extends Span {
  /** Whether the keeper has said so ("tending"), until when. */
  readonly tendedUntil: number | null
}

/** What happens to one probe without anything being broken. */
export interface ProbeLife {
  /** Its battery is changed: it says nothing, and starts anew. */
  readonly battery: readonly Span[]
  /** It lies outside while its place is cleaned. */
  readonly moved: readonly Span[]
  /** Radio gaps: what it says then is lost. */
  readonly lost: readonly Span[]
  /** Held up on the way, and heard at the end. */
  readonly late: readonly Span[]
}

/** Everyday life of one winter, in which nothing is broken. */
export interface Everyday {
  readonly openings: readonly Opening[]
  readonly spells: readonly Spell[]
  readonly blinks: readonly Span[]
  readonly defrosts: readonly Span[]
  readonly probes: ReadonlyMap<string, ProbeLife>
}

/** How often and how long is plausible, without a source: look two or three times a week to daily, weigh weekly. */
export function drawEveryday(setting: Setting, from: number, to: number, random: Random): Everyday {
  const openings = drawOpenings(from, to, random.fork('openings'))
  const forked = random.fork('rest')
  return {
    openings,
    spells: inOrder(
      every(from, to, days(10), forked).map((at) => ({
        from: at,
        to: at + hours(between(forked, 12, 48)),
        by: between(forked, 1, setting.sort === 'enclosure' ? 3 : 5),
      })),
    ),
    blinks: spans(from, to, days(8), () => minutes(spread(forked, 1, 10)), forked),
    defrosts: drawDefrosts(setting, from, to, forked),
    probes: new Map(
      setting.probes.map(({ id }) => [id, drawProbeLife(openings, from, to, random.fork(`probe ${id}`))]),
    ),
  }
}

function drawOpenings(from: number, to: number, random: Random): Opening[] {
  const between2 = days(between(random, 1, 7))
  const announces = random.uniform()
  return every(from, to, between2, random).map((at) => {
    const isLong = chance(random, 0.12)
    const lasts = minutes(isLong ? spread(random, 6, 25) : spread(random, 0.5, 4))
    const isSaid = chance(random, announces)
    return { from: at, to: at + lasts, tendedUntil: isSaid ? at + Math.max(lasts, minutes(20)) : null }
  })
}

function drawDefrosts({ defrost }: Setting, from: number, to: number, random: Random): Span[] {
  if (defrost === null) return []
  const first = from + random.uniform() * defrost.every
  const made: Span[] = []
  for (let at = first; at < to; at += defrost.every) made.push({ from: at, to: at + defrost.lasts })
  return made
}

function drawProbeLife(openings: readonly Opening[], from: number, to: number, random: Random): ProbeLife {
  return {
    battery: spans(from, to, days(25), () => minutes(spread(random, 1, 15)), random),
    // Cleaning happens while the place is open.
    moved: openings
      .filter(() => chance(random, 0.06))
      .map((opening) => ({ from: opening.from, to: opening.from + minutes(spread(random, 3, 20)) })),
    lost: spans(from, to, days(2), () => minutes(spread(random, 1, 14)), random),
    late: spans(from, to, days(3), () => minutes(spread(random, 1, 8)), random),
  }
}

function spans(from: number, to: number, apart: number, lasts: () => number, random: Random): Span[] {
  return every(from, to, apart, random).map((at) => ({ from: at, to: at + lasts() }))
}

/** Instants at random, so far apart on average and never nearer than a tenth of that. */
function every(from: number, to: number, apart: number, random: Random): number[] {
  const made: number[] = []
  for (let at = from; ; ) {
    at += apart * (0.1 - 0.9 * Math.log(1 - random.uniform()))
    if (at >= to) return made
    made.push(at)
  }
}
